//! Amounts as a kitchen writes them.

use icefront_core::aftercare::{Cups, rounded_to_scale};
use icefront_core::units::{Duration, Mass, UnitSystem, Volume};

use crate::format::trimmed;

/// `85 g`, `1.25 kg`: as a cook weighs.
pub fn kitchen_mass(kilograms: f64, units: UnitSystem) -> String {
    if units == UnitSystem::Us {
        return units.mass(kilograms);
    }
    let grams = Mass::from_kilograms(kilograms).grams();
    let (value, unit) = if grams < 1000.0 { (grams, "g") } else { (kilograms, "kg") };
    format!("{} {unit}", plain(rounded_to_scale(value)))
}

/// `270 ml`, from one litre on `1.25 L`.
pub fn kitchen_volume(cubic_metres: f64, units: UnitSystem) -> String {
    if units == UnitSystem::Us {
        return units.volume(cubic_metres);
    }
    let litres = Volume::from_cubic_metres(cubic_metres).litres();
    let (value, unit) = if litres < 1.0 { (1000.0 * litres, "ml") } else { (litres, "L") };
    format!("{} {unit}", plain(rounded_to_scale(value)))
}

/// Oxygen and what takes it up: `300 ml`, `300 cc` as absorbers are sold in the US.
pub fn kitchen_gas(cubic_metres: f64, units: UnitSystem) -> String {
    match units {
        UnitSystem::Metric => kitchen_volume(cubic_metres, units),
        UnitSystem::Us => format!("{} cc", plain(rounded_to_scale(1e6 * cubic_metres))),
    }
}

/// Water in the kitchen: `270 ml`, `1 cup + 2 tbsp`; a litre of it weighs a kilogram, to half a per cent.
pub fn kitchen_water(kilograms: f64, units: UnitSystem) -> String {
    let cubic_metres = kilograms * 1e-3;
    let cups = if units == UnitSystem::Us { Cups::of(cubic_metres) } else { None };
    cups.map_or_else(|| kitchen_volume(cubic_metres, units), |cups| cups.to_string())
}

/// A rounded number without the noise of binary fractions.
pub fn plain(value: f64) -> String {
    trimmed(value, 3)
}

/// `40 s`, `6 min`, `1.5 h`: a length of time in the kitchen.
pub fn kitchen_time(seconds: f64) -> String {
    let time = Duration::from_seconds(seconds);
    match (time.minutes(), time.hours()) {
        (minutes, _) if minutes < 1.5 => format!("{} s", plain((seconds / 10.0).round().max(1.0) * 10.0)),
        (minutes, _) if minutes < 20.0 => format!("{minutes:.0} min"),
        (minutes, _) if minutes < 90.0 => format!("{} min", plain((minutes / 5.0).round() * 5.0)),
        (_, hours) => format!("{} h", plain((2.0 * hours).round() / 2.0)),
    }
}

/// Food energy: `980 kJ, 234 kcal`. One kcal is 4.184 kJ, as nutrition labels reckon.
pub fn food_energy(kilojoules: f64) -> String {
    format!("{} kJ, {} kcal", plain(rounded_to_scale(kilojoules)), plain(rounded_to_scale(kilojoules / 4.184)))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn amounts_read_as_in_a_kitchen() {
        assert_eq!(kitchen_mass(0.0863, UnitSystem::Metric), "85 g");
        assert_eq!(kitchen_mass(1.238, UnitSystem::Metric), "1.25 kg");
        assert_eq!(UnitSystem::ALL.map(|units| kitchen_water(0.2661, units)), ["270 ml", "1 cup + 2 tbsp"]);
        assert_eq!(UnitSystem::ALL.map(|units| kitchen_gas(3e-4, units)), ["300 ml", "300 cc"]);
        assert_eq!(kitchen_mass(1.238, UnitSystem::Us), "2 lb 12 oz");
        assert_eq!(kitchen_time(35.0), "40 s");
        assert_eq!((kitchen_time(400.0), kitchen_time(1_300.0)), ("7 min".into(), "20 min".into()));
        assert_eq!(kitchen_time(8_000.0), "2 h");
        assert_eq!(food_energy(979.0), "980 kJ, 230 kcal");
    }
}
