//! A result told to people (`document`), to programs (`json`), and as a table over time (`history`).

pub mod cautions;
pub mod charts;
pub mod course;
pub mod document;
pub mod flags;
pub mod history_csv;
pub mod json;
pub mod last;
pub mod limits;
pub mod narrowing;
pub mod outcome;
pub mod tables;

pub use cautions::cautions;
pub use charts::{Chart, chart_files, charts};
pub use document::{Document, typical};
pub use json::{json, value};
pub use outcome::stopped;
pub use tables::loading;
