//! What most programs need: `use icefront_core::prelude::*;`

pub use crate::food::{Food, FoodTable};
pub use crate::load::{EndRule, Freezing, Load, Tray};
pub use crate::machine::Dryer;
pub use crate::plan;
pub use crate::ranges::{Cloud, Draws, Point, Quantiles, Spread, draw_load};
pub use crate::result::{BatchResult, Stage};
pub use crate::shape::{PieceForm, Shape};
pub use crate::units::{Area, Duration, Length, Temperature};
