//! The history of finished batches: a CSV file that only grows.

pub mod append;
pub mod finished;
pub mod outcome;
pub mod table;

pub use append::{append, append_outcomes};
pub use finished::finished;
pub use table::{Batch, parse, read};

use crate::Failure;
use crate::problem::spelling_help;

/// The usual file.
pub const USUAL_NAME: &str = "history.csv";

/// A history without some batches.
///
/// # Errors
/// A name that no batch has.
pub fn without(batches: Vec<Batch>, names: &[String]) -> Result<Vec<Batch>, Failure> {
    let known: Vec<&str> = batches.iter().map(|b| b.name.as_str()).collect();
    if let Some(name) = names.iter().find(|name| !known.contains(&name.as_str())) {
        return Err(Failure::unknown("batch", name, spelling_help(name, &known)));
    }
    Ok(batches.into_iter().filter(|batch| !names.contains(&batch.name)).collect())
}
