//! A batch is added to a history whole or not at all, and once.

use std::path::Path;

use crate::history::outcome;
use crate::history::table::{Batch, HEADER, checked, outcome_rows};
use crate::problem::spelling_help;
use crate::{Failure, Storage, Text};

/// Adds a batch to a history, which need not exist yet.
///
/// # Errors
/// [`Failure::AlreadyLogged`], a history that is wrong, or one that cannot be written; nothing is changed then.
pub fn append(path: &Path, batch: &Batch, files: &dyn Storage) -> Result<(), Failure> {
    files.update(path, &mut |old| {
        let mut text = match old {
            Some(bytes) => without(path, bytes, batch)?,
            None => format!("{HEADER}\n"),
        };
        if !text.ends_with('\n') {
            text.push('\n');
        }
        let mut bytes = text.into_bytes();
        bytes.extend(batch.rows().map_err(std::io::Error::from)?);
        Ok(bytes)
    })
}

/// The text of a history, which must be correct and not contain this batch.
fn without(path: &Path, bytes: Vec<u8>, batch: &Batch) -> Result<String, Failure> {
    let text = Text::of_table(path, bytes)?;
    let batches = checked(path, &text)?;
    let same = |b: &&Batch| b.name == batch.name || (b.sheet == batch.sheet && alike(b, batch));
    match batches.iter().find(same) {
        Some(known) => Err(Failure::AlreadyLogged { path: path.to_path_buf(), batch: known.name.clone() }),
        None => Ok(text.text),
    }
}

/// The same readings, up to the digits that the history keeps.
fn alike(a: &Batch, b: &Batch) -> bool {
    let close = |x: f64, y: f64| (x - y).abs() <= 1e-4 * x.abs().max(1.0);
    !a.readings.is_empty()
        && a.readings.len() == b.readings.len()
        && a.readings
            .iter()
            .zip(&b.readings)
            .all(|(x, y)| x.quantity == y.quantity && close(x.time_s, y.time_s) && close(x.value, y.value))
}

/// Adds outcomes to a batch of a history.
///
/// # Errors
/// A batch that is not there, a history that is wrong, or one that cannot be written; nothing is changed then.
pub fn append_outcomes(path: &Path, name: &str, turned_out: &[String], files: &dyn Storage) -> Result<usize, Failure> {
    let mut added = 0;
    files.update(path, &mut |old| {
        let Some(bytes) = old else {
            return Err(Failure::unfit(path, "there is no history yet; `icefront log` makes one"));
        };
        let mut text = Text::of_table(path, bytes)?;
        let batches = checked(path, &text)?;
        let names: Vec<&str> = batches.iter().map(|b| b.name.as_str()).collect();
        let Some(batch) = batches.iter().find(|b| b.name == name) else {
            return Err(Failure::unknown("batch", name, spelling_help(name, &names)));
        };
        let mut outcomes = Vec::new();
        for text in turned_out {
            outcomes.extend(outcome::read(text, batch.trays.len())?);
        }
        added = outcomes.len();
        if !text.text.ends_with('\n') {
            text.text.push('\n');
        }
        let mut bytes = text.text.into_bytes();
        bytes.extend(outcome_rows(name, &outcomes).map_err(std::io::Error::from)?);
        Ok(bytes)
    })?;
    Ok(added)
}
