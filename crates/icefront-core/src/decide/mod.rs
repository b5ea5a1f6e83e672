//! Decisions: the same physics asked again and again, and what the answers say side by side.
//!
//! ```text
//! load, and others like it -> runs, drawn or typical -> differences, limits, reasons, better loads
//! ```

pub mod compare;
pub mod trouble;
