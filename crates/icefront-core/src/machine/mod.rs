//! The machine: shelves, heaters, condenser, refrigeration, pump. Rates only; [`crate::batch`] owns the clock.

mod dryer;

pub use dryer::*;
