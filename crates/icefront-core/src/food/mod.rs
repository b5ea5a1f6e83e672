//! Food: composition -> properties. A recipe is a mass-weighted mix of foods.

mod composition;
mod freezing_curve;
mod model;

pub use composition::Composition;
pub use freezing_curve::FreezingCurve;
pub use model::{DriedMatrix, FoodModel, Gab, Structure, StructureLimit};
