//! Food: composition -> properties. A recipe is a mass-weighted mix of foods.
//!
//! ```
//! use icefront_core::food::FoodTable;
//! let table = FoodTable::embedded()?;
//! let model = table.find("strawberries")?.food().model()?;
//! assert!((0.90..0.92).contains(&model.water_frac()));
//! # Ok::<(), icefront_core::food::FoodError>(())
//! ```

mod allergen;
mod class;
mod components;
mod composition;
mod error;
mod freezing_curve;
mod freezing_point;
mod item;
mod kind;
mod measures;
mod mixture;
mod model;
mod recipe;
mod search;
mod series;
mod source;
mod table;
mod words;

pub use allergen::{Allergen, FatState};
pub use class::*;
pub use components::Component;
pub use composition::Composition;
pub use error::FoodError;
pub use freezing_curve::FreezingCurve;
pub use freezing_point::{initial_freezing_point_k, solution_freezing_point_k};
pub use item::Food;
pub use kind::Reason;
pub use measures::{Measure, MeasureKind};
pub use mixture::{Mixture, levy, maxwell_eucken, with_pores};
pub use model::{DriedMatrix, FoodModel, Gab, Structure, StructureLimit, Texture};
pub use recipe::mix;
pub use search::Found;
pub use table::{Fit, FoodEntry, FoodTable};
