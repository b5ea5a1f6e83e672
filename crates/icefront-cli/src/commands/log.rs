//! `icefront log`: a finished batch goes into the history.

use std::path::PathBuf;

use clap::Args;
use icefront_core::learning::Errors;

use crate::{Disk, output};
use icefront_kitchen::learn::text::{logged, outcome_noted};
use icefront_kitchen::{Failure, Readings, history, sheet};

/// Raw arguments.
#[derive(Debug, Args)]
#[command(
    after_help = "The columns of a readings file and of the history are listed in docs/guide/during.md and docs/guide/learning.md."
)]
pub struct Arguments {
    /// Load sheet of the finished batch; with --turned-out alone the name of a batch in the history.
    #[arg(value_name = "BATCH.toml")]
    batch: PathBuf,
    /// What was read during the batch.
    #[arg(long, value_name = "FILE", required_unless_present = "turned_out")]
    readings: Option<PathBuf>,
    /// How it turned out: good, shrunk, sticky, damp or rancid; for one tray such as "2: shrunk". May be given several times,
    /// also months later.
    #[arg(long, value_name = "OUTCOME")]
    turned_out: Vec<String>,
    /// The history file; made if there is none.
    #[arg(long, value_name = "FILE", default_value = history::USUAL_NAME)]
    history: PathBuf,
    /// Name of the batch; without it the name of the sheet's file.
    #[arg(long, value_name = "NAME")]
    name: Option<String>,
}

/// Reads, checks, appends, reports.
pub fn run(arguments: &Arguments, plain: bool) -> Result<(), Failure> {
    let Some(readings) = &arguments.readings else {
        let name = arguments.batch.to_string_lossy();
        let added = history::append_outcomes(&arguments.history, &name, &arguments.turned_out, &Disk)?;
        return output::report(plain, |look| outcome_noted(&arguments.history, &name, added, look));
    };
    let text = sheet::Text::read(&arguments.batch, &Disk)?;
    let sheet = sheet::read(&text, &Disk)?;
    let typical = icefront_core::plan(&sheet.load)?;
    let readings = Readings::read(readings, &Disk, &sheet.load, &typical, &Errors::default())?;
    let (mut batch, readings) = history::finished(&text, &sheet, &typical, readings, arguments.name.as_deref())?;
    for turned_out in &arguments.turned_out {
        batch.outcomes.extend(history::outcome::read(turned_out, batch.trays.len())?);
    }
    history::append(&arguments.history, &batch, &Disk)?;
    output::report(plain, |look| logged(&arguments.history, &batch, &readings, look))
}
