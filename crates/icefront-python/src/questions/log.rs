//! A finished batch is added to a history.

use std::path::PathBuf;

use icefront_cli::Disk;
use icefront_core::learning::Errors;
use icefront_kitchen::learn::text::logged;
use icefront_kitchen::{Failure, Look, Readings, history};
use pyo3::prelude::*;

use crate::failure::raised;
use crate::questions::storage;
use crate::source::Source;

/// Adds a batch with its readings to a history file, which is begun if it is not there; what was added, in words.
#[pyfunction(name = "log")]
pub fn ask(
    py: Python<'_>,
    source: &Source,
    readings: (PathBuf, Option<String>),
    past: PathBuf,
    name: Option<String>,
    turned_out: Vec<String>,
) -> PyResult<String> {
    let add = || -> Result<String, Failure> {
        let (text, sheet, _) = source.read()?;
        let typical = icefront_core::plan(&sheet.load)?;
        let files = storage(&readings.0, readings.1.as_deref());
        let readings = Readings::read(&readings.0, &*files, &sheet.load, &typical, &Errors::default())?;
        let (mut batch, readings) = history::finished(&text, &sheet, &typical, readings, name.as_deref())?;
        for outcome in &turned_out {
            batch.outcomes.extend(history::outcome::read(outcome, batch.trays.len())?);
        }
        history::append(&past, &batch, &Disk)?;
        Ok(logged(&past, &batch, &readings, Look::Bare))
    };
    py.detach(add).map_err(|failure| raised(py, &failure))
}
