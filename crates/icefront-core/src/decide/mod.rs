//! Decisions: the same physics run again for each choice, and the answers side by side.
//!
//! ```text
//! load, and others like it -> runs, drawn or typical -> differences, limits, reasons, better loads
//! ```

pub mod best;
pub mod compare;
pub mod falls;
pub mod grade;
pub mod levers;
pub mod limits;
pub mod region;
pub mod remedy;
pub mod samples;
pub mod shelf;
pub mod trouble;
