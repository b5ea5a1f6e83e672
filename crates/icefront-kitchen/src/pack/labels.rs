//! What the label of each pack says.

use icefront_core::units::UnitSystem;
use icefront_plot::PackLabel;

use crate::pack::amounts::{food_energy, kitchen_mass, kitchen_time, kitchen_water, plain};
use crate::pack::packing::{FoodPacks, Packing};
use crate::weather::clock::{Date, date_of, start_s};

/// One label for each pack, in the order of the foods.
pub fn labels(packing: &Packing, today: Date) -> Vec<PackLabel> {
    packing
        .foods
        .iter()
        .flat_map(|food| (1..=food.packs.count).map(|number| label(food, number, today, packing.units)))
        .collect()
}

fn label(food: &FoodPacks, number: usize, today: Date, units: UnitSystem) -> PackLabel {
    let servings = plain((10.0 * food.servings_per_pack).round() / 10.0);
    let noun = if servings == "1" { "serving" } else { "servings" };
    let mut lines = vec![
        format!(
            "{} dried, {servings} {noun}, {}",
            kitchen_mass(food.packs.dried_kg, units),
            food_energy(food.pack_energy_kj)
        ),
        format!(
            "Add {} just-boiled water, soak {}; or tap water, {}",
            kitchen_water(food.packs.water_to_add_kg, units),
            kitchen_time(food.soak_hot.high_s),
            kitchen_time(food.soak_cold.high_s)
        ),
        format!("Packed {today}, best by {}", food.eat_first(today)),
    ];
    if let Some(allergens) = &food.allergens {
        lines.insert(2, format!("Allergens: {allergens}"));
    }
    if food.raw {
        lines.insert(0, "RAW: cook through before eating".into());
    }
    if !food.dry_enough {
        lines.insert(0, "NOT DRY: do not seal, keep frozen".into());
    }
    PackLabel {
        title: food.food.clone(),
        lines,
        small: vec![format!(
            "Pack {number} of {}. Use the oldest first; this is not an expiry date. Once wet it is fresh food: eat at \
             once or chill.",
            food.packs.count
        )],
    }
}

impl FoodPacks {
    /// Date by which its packs should be eaten, for order among packs.
    pub fn eat_first(&self, packed: Date) -> Date {
        date_of(start_s(packed) + self.eat_first_s)
    }
}
