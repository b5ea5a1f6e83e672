//! Readings that do not go with the others: what was written, what the others suggest.

use icefront_core::learning::{Quantity, Updated};
use icefront_core::load::Load;
use icefront_core::units::{Duration, UnitSystem};
use serde::Serialize;

use crate::{Readings, format};

/// A reading that was left out.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Doubtful {
    /// Its line in the file.
    pub line: usize,
    /// What is odd about it, in a sentence.
    pub sentence: String,
    /// Chance of a reading as far off among so many, 0 to 1.
    pub chance: f64,
}

/// The readings that an update left out, the worst first.
pub fn doubtful(load: &Load, readings: &Readings, updated: &Updated) -> Vec<Doubtful> {
    let one = |wrong: &icefront_core::learning::Wrong| {
        let reading = readings.used.get(wrong.place)?;
        let line = *readings.lines.get(wrong.place)?;
        let shown = |value: f64| value_in_words(reading.quantity, value, load.units);
        let low = wrong.expected - 1.3 * wrong.deviation;
        let low = if matches!(reading.quantity, Quantity::Product { .. } | Quantity::Shelf { .. }) {
            low
        } else {
            low.max(0.0)
        };
        let advice = match wrong.slip {
            Some(slip) => format!("Were two digits swapped ({})?", shown(slip.meant)),
            None => "Check the digits, the tray and the time.".to_string(),
        };
        let sentence = format!(
            "{} is {}, but the other readings suggest {} to {}. {advice} The answer leaves it out.",
            format::capital(&what(load, reading.quantity)),
            shown(reading.value),
            shown(low),
            shown(wrong.expected + 1.3 * wrong.deviation)
        );
        Some(Doubtful { line, sentence, chance: wrong.chance })
    };
    updated.wrong.iter().filter_map(one).collect()
}

/// `the weight of tray 2, chili`
fn what(load: &Load, quantity: Quantity) -> String {
    let of_tray = |what: &str, tray: usize| match load.trays.get(tray) {
        Some(t) => format!("{what} of {}, {}", t.name, t.food),
        None => what.to_string(),
    };
    match quantity {
        Quantity::Weight { tray } => of_tray("the weight", tray),
        Quantity::WaterLost { tray } => of_tray("the water lost", tray),
        Quantity::Product { tray } => of_tray("the food temperature", tray),
        Quantity::Shelf { tray } => of_tray("the shelf temperature", tray),
        Quantity::Pressure => "the pressure".into(),
        Quantity::PressureRise => "the pressure rise".into(),
        Quantity::Drained => "the water drained".into(),
        Quantity::Energy => "the plug meter".into(),
        Quantity::PumpStarted => "the start of the pump".into(),
        Quantity::Finished => "the end of the run".into(),
    }
}

fn value_in_words(quantity: Quantity, value: f64, units: UnitSystem) -> String {
    match quantity {
        Quantity::Weight { .. } | Quantity::WaterLost { .. } | Quantity::Drained => {
            units.mass((1e3 * value).round() / 1e3)
        }
        Quantity::Product { .. } | Quantity::Shelf { .. } => units.whole_degrees(value),
        Quantity::Pressure => units.pressure(value),
        Quantity::PressureRise => units.vacuum().written(60.0 * value, 1) + "/min",
        Quantity::Energy => format!("{:.1} kWh", format::kilowatt_hours(value)),
        Quantity::PumpStarted | Quantity::Finished => {
            format!("{:.1} h after the start", Duration::from_seconds(value).hours())
        }
    }
}
