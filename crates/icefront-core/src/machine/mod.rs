//! The machine: shelves, heaters, condenser, refrigeration, pump. Rates only; [`crate::batch`] owns the clock.

mod builtin;
mod dryer;
pub mod heat_paths;
pub mod refrigeration;
pub mod vapour_path;

pub use builtin::{UnknownDryer, builtin};
pub use dryer::*;
