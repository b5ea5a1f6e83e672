//! The machine: shelves, heaters, condenser, refrigeration, pump. Rates only; [`crate::batch`] integrates over time.

mod builtin;
mod dryer;
pub mod heat_paths;
pub mod refrigeration;
pub mod vapour_path;

pub use builtin::{UnknownDryer, builtin};
pub use dryer::*;
