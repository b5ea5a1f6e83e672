//! How large whole pieces of a food are: a ball as heavy as one of them, by the household measures of the table.

use std::f64::consts::PI;

use icefront_core::food::FoodTable;

use crate::format::UnitSystem;

/// Whole pieces that are dried as they are, m; anything larger is cut first.
const SIZES_M: std::ops::RangeInclusive<f64> = 3e-3..=45e-3;
/// A berry or a grape is about as dense as water, kg/m3: a tenth more or less moves the size by 3 %.
const DENSITY_KG_PER_M3: f64 = 1_000.0;

/// `about 15 mm`; `None` where the table knows no such food or not what one weighs.
pub fn size(food: &str, units: UnitSystem) -> Option<String> {
    let table = FoodTable::embedded().ok()?;
    let entry = table.known(food)?.entry;
    let one_kg = table.mass_of_named_pieces(entry, 1.0, food, food).or_else(|_| table.mass_of_pieces(entry, 1.0, ""));
    let size_m = libm::cbrt(6.0 * one_kg.ok()? / (PI * DENSITY_KG_PER_M3));
    SIZES_M.contains(&size_m).then(|| match units {
        UnitSystem::Metric => format!("about {:.0} mm", 1e3 * size_m),
        UnitSystem::Us => format!("about {:.1} in", size_m / 0.0254),
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Weights of one piece in the household measures of USDA SR: 10 raspberries 19 g, 50 blueberries 68 g, one cherry 8.2 g.
    #[test]
    fn whole_fruit_is_as_large_as_one_weighs() {
        for (food, words) in
            [("raspberries", "about 15 mm"), ("blueberries", "about 14 mm"), ("sweet cherries", "about 25 mm")]
        {
            assert_eq!(size(food, UnitSystem::Metric).as_deref(), Some(words), "{food}");
        }
        assert_eq!(size("raspberries", UnitSystem::Us).as_deref(), Some("about 0.6 in"));
        assert_eq!(size("apple", UnitSystem::Metric), None, "too large to be dried whole");
        assert_eq!(size("no such food", UnitSystem::Metric), None);
    }
}
