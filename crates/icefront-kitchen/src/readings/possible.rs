//! Readings that cannot be true: weight that rises, food lighter than its dry matter, a meter that runs backwards.

use std::collections::HashMap;

use icefront_core::learning::{Errors, Quantity, Reading};
use icefront_core::result::BatchResult;
use icefront_core::units::UnitSystem;

use crate::format;
use crate::readings::{Row, SetAside};

/// A reading is believed within this many standard deviations of its tool.
const DEVIATIONS: f64 = 3.0;
/// The sheet's amounts are believed within this share.
const SHEET_SHARE: f64 = 0.25;

/// Splits the rows into those that can be true and those that cannot.
pub fn sort(rows: &[Row], typical: &BatchResult, errors: &Errors, units: UnitSystem) -> (Vec<Row>, Vec<SetAside>) {
    let (mut used, mut set_aside) = (Vec::new(), Vec::new());
    let mut last = HashMap::new();
    for row in rows {
        let Row { line, reading, .. } = row;
        match impossible(reading, last.get(&reading.quantity).copied(), (typical, errors), units) {
            Some(reason) => set_aside.push(SetAside { line: *line, reason }),
            None => {
                last.insert(reading.quantity, reading.value);
                used.push(*row);
            }
        }
    }
    (used, set_aside)
}

/// Why a reading cannot be true; `last` is the believed one of the same quantity before it.
fn impossible(
    reading: &Reading,
    last: Option<f64>,
    (typical, errors): (&BatchResult, &Errors),
    units: UnitSystem,
) -> Option<String> {
    let value = reading.value;
    let slack = DEVIATIONS * std::f64::consts::SQRT_2 * errors.of(reading.quantity).own;
    let tray = |i: usize| typical.trays.get(i);
    match reading.quantity {
        Quantity::Weight { tray: i } => {
            let dry = tray(i)?.dry_matter_kg;
            if value < dry * (1.0 - SHEET_SHARE) - slack {
                return Some(format!(
                    "{} is less than the dry matter of {} ({}); is the weight without the tray?",
                    units.mass(value),
                    tray(i)?.name,
                    units.mass(dry)
                ));
            }
            let last = last.filter(|last| value > last + slack)?;
            Some(format!("weight rises from {} to {}", units.mass(last), units.mass(value)))
        }
        Quantity::WaterLost { tray: i } => {
            let water = tray(i)?.water_kg;
            if value > water * (1.0 + SHEET_SHARE) + slack {
                let (lost, there) = (units.mass(value), units.mass(water));
                return Some(format!("{lost} is more water than {} holds ({there})", tray(i)?.name));
            }
            let last = last.filter(|last| value < last - slack)?;
            Some(format!("water lost falls from {} to {}", units.mass(last), units.mass(value)))
        }
        Quantity::Energy => {
            let last = last.filter(|last| value < *last)?;
            let kwh = |j: f64| format::digits(format::kilowatt_hours(j));
            Some(format!("the meter runs back from {} to {} kWh", kwh(last), kwh(value)))
        }
        _ => None,
    }
}
