//! Decisions: the same physics asked again and again, and what the answers say side by side.
//!
//! ```text
//! load, and others like it -> runs, drawn or typical -> differences, limits, reasons, better loads
//! ```

pub mod best;
pub mod compare;
pub mod falls;
pub mod levers;
pub mod limits;
pub mod trouble;
