//! `icefront log`: a finished batch goes into the history.

use std::path::{Path, PathBuf};

use clap::Args;
use icefront_core::learning::{Errors, Quantity, Reading};

use crate::failure::Failure;
use crate::history::{self, Batch, TrayRow};
use crate::look::Look;
use crate::output;
use crate::readings::Readings;
use crate::report;
use crate::sheet;

/// Raw arguments.
#[derive(Debug, Args)]
#[command(after_help = "The columns of a readings file and of the history are told in docs/learning.md.")]
pub struct Arguments {
    /// Load sheet of the finished batch.
    #[arg(value_name = "BATCH.toml")]
    batch: PathBuf,
    /// What was read during the batch.
    #[arg(long, value_name = "FILE")]
    readings: PathBuf,
    /// The history; it is begun if it is not there.
    #[arg(long, value_name = "FILE", default_value = "history.csv")]
    history: PathBuf,
    /// Name of the batch; without it the name of the sheet's file.
    #[arg(long, value_name = "NAME")]
    name: Option<String>,
}

/// Reads, checks, appends, reports.
pub fn run(arguments: &Arguments, plain: bool) -> Result<(), Failure> {
    let (batch, readings) = check(arguments)?;
    history::append(&arguments.history, &batch)?;
    let look = Look::of(plain, &std::io::stdout());
    output::print(&report::learning::logged(&arguments.history, &batch, &readings, look))
}

fn check(arguments: &Arguments) -> Result<(Batch, Readings), Failure> {
    let text = sheet::Text::read(&arguments.batch)?;
    let sheet = sheet::read(&text)?;
    let typical = icefront_core::plan(&sheet.load)?;
    let readings = Readings::read(&arguments.readings, &sheet.load, &typical, &Errors::default())?;
    if readings.used.is_empty() {
        let reason = "it holds no reading that can be used".to_string();
        return Err(Failure::Unfit { path: readings.path, reason });
    }
    let rows = sheet.load.trays.iter().zip(&typical.trays).enumerate();
    let batch = Batch {
        name: arguments.name.clone().unwrap_or_else(|| stem(&arguments.batch)),
        dryer: sheet.load.dryer.name().to_string(),
        room_k: sheet.load.room_k,
        trays: rows
            .map(|(i, (tray, run))| TrayRow {
                food: tray.food.clone(),
                loaded_kg: run.loaded_kg,
                water_lost_kg: readings.used.iter().rev().find_map(|r| water_lost_kg(r, i, run.loaded_kg)),
            })
            .collect(),
        readings: readings.used.clone(),
        sheet: text.text,
    };
    Ok((batch, readings))
}

/// Water that a tray has lost by a weighing of it.
fn water_lost_kg(reading: &Reading, of: usize, loaded_kg: f64) -> Option<f64> {
    match reading.quantity {
        Quantity::Weight { tray } if tray == of => Some(loaded_kg - reading.value),
        Quantity::WaterLost { tray } if tray == of => Some(reading.value),
        _ => None,
    }
}

fn stem(path: &Path) -> String {
    path.file_stem().map_or_else(|| "batch".into(), |s| s.to_string_lossy().into_owned())
}
