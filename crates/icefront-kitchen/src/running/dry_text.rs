//! `icefront dry` as text.

use crate::blocks::{Column, List, Part, Table, Words, in_order};
use crate::format::{self, capital};
use crate::running::Dryness;
use crate::running::dryness::DryTray;
use crate::running::interruptions::interruptions;
use crate::running::left;
use crate::running::words::{check, fit, mind, read, set_aside, uncertain};
use crate::{Look, Readings, Sheet};
use icefront_core::learning::Quantity;
use icefront_core::result::BatchResult;
use icefront_core::units::UnitSystem;

/// Chance from which it may be called dry; below one half it is not.
const LIKELY: f64 = 0.9;

/// The whole report.
pub fn text(sheet: &Sheet, typical: &BatchResult, readings: &Readings, answer: &Dryness, look: Look) -> String {
    let parts: [&dyn Part; 10] = [
        &read(readings),
        &Words::new("", headline(readings, answer)),
        &set_aside(readings),
        &check(&answer.doubtful),
        &interruptions(&sheet.load, typical, readings),
        &fit(&answer.misfit),
        &uncertain(answer.uncertain),
        &trays(answer),
        &signs(sheet.load.units, answer),
        &mind(),
    ];
    in_order(&parts, look)
}

/// The answer in a sentence or two.
pub fn headline(readings: &Readings, answer: &Dryness) -> String {
    let chance = whole_percent(answer.chance_dry);
    let target = format::percent(answer.target_wet_frac);
    if answer.chance_dry >= LIKELY {
        return format!(
            "Most likely dry: the chance that no spot holds more than {target} moisture is {chance}. Run on for an hour, then \
             break the thickest piece: there must be no cold or soft spot in it."
        );
    }
    let so = format!("Don't seal it yet: the chance that no spot holds more than {target} moisture is {chance}.");
    let (half, sure) = (answer.wait_s.as_likely_as_not, answer.wait_s.nine_in_ten);
    let wait = if !half.is_finite() {
        "As it looks now, it never gets that dry like this.".into()
    } else if !sure.is_finite() {
        format!("The chance is even in {}, but it never gets to 9 in 10.", left::left(half))
    } else if left::left(half) == "now" {
        format!("It is about even now; dry it for {} more to be 9 in 10 sure.", left::left(sure))
    } else {
        format!(
            "Dry it for {} more for an even chance, or {} more to be 9 in 10 sure.",
            left::left(half),
            left::left(sure)
        )
    };
    let read = readings.used.iter().any(|r| matches!(r.quantity, Quantity::Weight { .. } | Quantity::WaterLost { .. }));
    let outside = if read {
        ""
    } else {
        " This is a rough guess from outside the chamber. Weighing a tray would tell \
                                         you much more."
    };
    format!("{so} {wait}{outside}")
}

fn whole_percent(chance: f64) -> String {
    match (100.0 * chance).round() {
        p if p < 1.0 => "below 1 %".into(),
        p if p > 99.0 => "above 99 %".into(),
        p => format!("{p:.0} %"),
    }
}

fn trays(answer: &Dryness) -> Table {
    let row = |t: &DryTray| vec![format!("{}, {}", t.tray, t.food), whole_percent(t.chance_dry)];
    Table::new("trays", [Column::words("", 50), Column::number("chance that it is dry")], answer.trays.iter().map(row))
        .about(", bottom to top")
}

fn signs(units: UnitSystem, answer: &Dryness) -> List {
    let rates = answer.rates.iter().map(|r| {
        let (lost, over) = (units.mass(r.lost_kg), format::hours(r.over_s));
        let per_hour = units.small_mass().written(r.lost_kg / format::in_hours(r.over_s), 1);
        format!("{} lost {lost} in {over} ({per_hour}/h).", capital(&r.tray))
    });
    List { label: "signs", items: rates.chain(SIGNS.lines().map(String::from)).collect() }
}

/// What weight and probe can tell.
const SIGNS: &str = include_str!("signs.txt");
