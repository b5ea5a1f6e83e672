//! `icefront log`: a finished batch goes into the history.

use std::path::PathBuf;

use clap::Args;
use icefront_core::learning::Errors;

use crate::{Disk, output};
use icefront_kitchen::learn::text::logged;
use icefront_kitchen::{Failure, Readings, history, sheet};

/// Raw arguments.
#[derive(Debug, Args)]
#[command(after_help = "The columns of a readings file and of the history are listed in docs/learning.md.")]
pub struct Arguments {
    /// Load sheet of the finished batch.
    #[arg(value_name = "BATCH.toml")]
    batch: PathBuf,
    /// What was read during the batch.
    #[arg(long, value_name = "FILE")]
    readings: PathBuf,
    /// The history; it is begun if it is not there.
    #[arg(long, value_name = "FILE", default_value = history::USUAL_NAME)]
    history: PathBuf,
    /// Name of the batch; without it the name of the sheet's file.
    #[arg(long, value_name = "NAME")]
    name: Option<String>,
}

/// Reads, checks, appends, reports.
pub fn run(arguments: &Arguments, plain: bool) -> Result<(), Failure> {
    let text = sheet::Text::read(&arguments.batch, &Disk)?;
    let sheet = sheet::read(&text, &Disk)?;
    let typical = icefront_core::plan(&sheet.load)?;
    let readings = Readings::read(&arguments.readings, &Disk, &sheet.load, &typical, &Errors::default())?;
    let (batch, readings) = history::finished(&text, &sheet, &typical, readings, arguments.name.as_deref())?;
    history::append(&arguments.history, &batch, &Disk)?;
    output::report(plain, |look| logged(&arguments.history, &batch, &readings, look))
}
