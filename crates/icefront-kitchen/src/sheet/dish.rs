//! What a tray's food is to the cook: what went in, how it is packed, what it weighed.

use icefront_core::food::{Allergen, Food};
use icefront_core::load::Tray;
use icefront_core::shape::Shape;

use crate::sheet::foods::ResolvedFood;
use crate::sheet::pack::PackOptions;

/// A tray with what is on it.
pub type LoadedTray = (Tray, Dish);

/// The food of one tray beyond what the physics needs.
#[derive(Clone, Debug, PartialEq)]
pub struct Dish {
    /// What it is.
    pub food: Food,
    /// Ingredients by name, with the share of each by mass.
    pub parts: Vec<(String, f64)>,
    /// Whether raw meat, fish, egg or flour is in it.
    pub raw: bool,
    /// Allergens that the food table knows in it; others are not ruled out.
    pub allergens: Vec<Allergen>,
    /// Whether the food table calls it unfit for freeze-drying.
    pub poor: bool,
    /// Whether the sheet gives its water content.
    pub water_given: bool,
    /// Density as it lies in a cup, kg/m3, where the food table knows.
    pub cup_kg_per_m3: Option<f64>,
    /// Weight after drying, where it was weighed, kg.
    pub dried_kg: Option<f64>,
    /// How it is packed.
    pub pack: PackOptions,
}

impl Dish {
    /// The dish of a tray with this food in this shape.
    pub fn new(resolved: &ResolvedFood, shape: &Shape, dried_kg: Option<f64>, pack: PackOptions) -> Self {
        Self {
            food: match shape {
                Shape::Layer { .. } => resolved.as_layer(),
                Shape::Pieces { .. } => resolved.food.clone(),
            },
            parts: resolved.parts.clone(),
            raw: resolved.raw,
            allergens: resolved.allergens.clone(),
            poor: resolved.poor(),
            water_given: resolved.water_given,
            cup_kg_per_m3: resolved.cup_kg_per_m3,
            dried_kg,
            pack,
        }
    }
}
