//! Freeze-drying of real food in one small vacuum cabinet: how long, which tray last, how much electricity, and why.
//!
//! The main path, each step one module:
//! ```text
//! food -> freezing -> primary -> secondary -> batch (with machine) -> energy -> report
//! (the same run many times: ranges, decide)
//! ```
//! What comes after (packs, water to add back, absorbers, prices by the hour) stands in [`aftercare`] and [`tariff`].
//! Everything here is SI (`f64`, unit in the name); units live in [`units`] and at the edges.

pub mod aftercare;
pub mod batch;
pub mod constants;
pub mod decide;
pub mod error;
pub mod food;
pub mod freezing;
pub mod learning;
pub mod load;
pub mod machine;
pub mod numerics;
pub mod primary;
pub mod ranges;
pub mod resolved;
pub mod result;
pub mod secondary;
pub mod shape;
pub mod single;
pub mod tariff;
pub mod units;
pub mod water;

pub use batch::{plan, plan_set_out};
pub use error::ModelError;
