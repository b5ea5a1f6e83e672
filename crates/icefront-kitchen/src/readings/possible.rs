//! Readings that cannot be true: weight that rises, food lighter than its dry matter, a meter that runs backwards.

use icefront_core::learning::{Backwards, Errors, Quantity, Reading, backwards};
use icefront_core::load::Load;
use icefront_core::result::BatchResult;
use icefront_core::units::UnitSystem;

use crate::format;
use crate::readings::{Row, SetAside};

/// A reading is believed within this many standard deviations of its tool.
const DEVIATIONS: f64 = 3.0;
/// The sheet's amounts are believed within this share.
const SHEET_SHARE: f64 = 0.25;

/// Splits the rows into those that can be true and those that cannot.
pub fn sort(
    rows: Vec<Row>,
    load: &Load,
    typical: &BatchResult,
    errors: &Errors,
    units: UnitSystem,
) -> (Vec<Row>, Vec<SetAside>) {
    let mut set_aside = Vec::new();
    let mut possible = Vec::with_capacity(rows.len());
    for row in rows {
        match impossible(&row.reading, typical, errors, units) {
            Some(reason) => set_aside.push(SetAside { line: row.line, reason }),
            None => possible.push(row),
        }
    }
    let readings: Vec<Reading> = possible.iter().map(|row| row.reading).collect();
    let back = backwards(&readings, load, typical, errors);
    let set_back = |b: &Backwards| SetAside {
        line: possible[b.place].line,
        reason: back_in_words(&readings[b.place.min(b.against)], &readings[b.place.max(b.against)], units),
    };
    set_aside.extend(back.iter().map(set_back));
    set_aside.sort_by_key(|s| s.line);
    let goes_back = |place: usize| back.iter().any(|b| b.place == place);
    let used = possible.into_iter().enumerate().filter(|(place, _)| !goes_back(*place)).map(|(_, row)| row).collect();
    (used, set_aside)
}

/// What is odd about two readings of one quantity.
fn back_in_words(first: &Reading, second: &Reading, units: UnitSystem) -> String {
    let (a, b) = (first.value, second.value);
    match first.quantity {
        Quantity::Weight { .. } => format!("weight rises from {} to {}", units.mass(a), units.mass(b)),
        Quantity::Energy => {
            let kwh = |j: f64| format::digits(format::kilowatt_hours(j));
            format!("the meter runs back from {} to {} kWh", kwh(a), kwh(b))
        }
        Quantity::Drained => format!("water drained falls from {} to {}", units.mass(a), units.mass(b)),
        _ => format!("water lost falls from {} to {}", units.mass(a), units.mass(b)),
    }
}

/// Why a reading cannot be true by itself.
fn impossible(reading: &Reading, typical: &BatchResult, errors: &Errors, units: UnitSystem) -> Option<String> {
    let value = reading.value;
    let slack = DEVIATIONS * std::f64::consts::SQRT_2 * errors.of(reading.quantity).own;
    let tray = |i: usize| typical.trays.get(i);
    match reading.quantity {
        Quantity::Weight { tray: i } => {
            let dry = tray(i)?.dry_matter_kg;
            (value < dry * (1.0 - SHEET_SHARE) - slack).then_some(())?;
            Some(format!(
                "{} is less than the dry matter of {} ({}); is the weight without the tray?",
                units.mass(value),
                tray(i)?.name,
                units.mass(dry)
            ))
        }
        Quantity::WaterLost { tray: i } => {
            let water = tray(i)?.water_kg;
            (value > water * (1.0 + SHEET_SHARE) + slack).then_some(())?;
            let (lost, there) = (units.mass(value), units.mass(water));
            Some(format!("{lost} is more water than {} holds ({there})", tray(i)?.name))
        }
        _ => None,
    }
}
