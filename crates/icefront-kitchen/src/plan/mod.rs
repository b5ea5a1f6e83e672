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
pub mod tables;

use icefront_core::load::Load;
use icefront_core::machine::Dryer;
use icefront_core::result::{BatchResult, Warning};

pub use cautions::cautions;
pub use charts::{Chart, chart_files, charts};
pub use document::{Document, typical};
pub use json::{json, value};
pub use tables::loading;

use crate::format;

/// Whether the run was stopped before its end rule was met.
pub fn stopped(result: &BatchResult) -> bool {
    result.warnings.iter().any(|w| matches!(w, Warning::RunTooLong { .. } | Warning::AirTooHigh { .. }))
}

/// Cost of the whole run in the cook's currency, where a price was told and a machine is there to use power.
fn cost(load: &Load, result: &BatchResult) -> Option<f64> {
    match load.dryer {
        Dryer::Cabinet(_) => Some(load.tariff.price_per_kwh? * format::kilowatt_hours(result.energy_j().total())),
        Dryer::Prescribed(_) => None,
    }
}
