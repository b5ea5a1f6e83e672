//! The history of finished batches: a CSV file that only grows.

mod append;
mod table;

pub use append::append;
pub use table::{Batch, TrayRow, parse, read};
