//! The history of finished batches: a CSV file that only grows.

pub mod append;
pub mod finished;
pub mod table;

pub use append::append;
pub use finished::finished;
pub use table::{Batch, parse, read};

/// The usual file.
pub const USUAL_NAME: &str = "history.csv";
