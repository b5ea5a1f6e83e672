//! The machine: shelves, heaters, condenser, refrigeration, pump. Rates only; [`crate::batch`] owns the clock.

mod dryer;
pub mod heat_paths;
pub mod refrigeration;
pub mod vapour_path;

pub use dryer::*;
