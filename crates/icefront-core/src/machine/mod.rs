//! The machine: shelves, heaters, condenser, refrigeration, pump. Rates only; [`crate::batch`] integrates over time.

mod builtin;
mod dryer;
pub mod heat_paths;
pub mod refrigeration;
mod set_point;
pub mod vapour_path;

pub use builtin::{UnknownDryer, builtin};
pub use dryer::*;
pub(crate) use set_point::linear;
pub use set_point::{LONGEST_PROGRAMME_S, SetPoint, SetPointAt};
