//! A result told to people (`document`), to programs (`json`), and as a table over time (`history`).

pub mod after;
pub mod best;
mod cautions;
mod charts;
mod checklist;
pub mod compare;
mod course;
mod document;
pub mod explain;
mod flags;
mod history;
mod html;
mod json;
mod last;
pub mod learning;
mod limits;
mod narrowing;
pub mod part;
pub mod prefreeze;
pub mod range;
pub mod running;
mod tables;
mod wrap;

use icefront_core::load::Load;
use icefront_core::machine::Dryer;
use icefront_core::result::{BatchResult, Warning};

pub use cautions::cautions;
pub use charts::{Chart, chart_files, charts};
pub use document::{Document, typical};
pub use flags::capital;
pub use history::csv;
pub use html::{figure, html, steps};
pub use json::{json, value};
pub use range::Range;
pub use tables::loading;
pub use wrap::wrap;

use crate::show;

/// Whether the run was stopped before its end rule was met.
fn stopped(result: &BatchResult) -> bool {
    result.warnings.iter().any(|w| matches!(w, Warning::RunTooLong { .. } | Warning::AirTooHigh { .. }))
}

/// Cost of the whole run in the cook's currency, where a price was told and a machine is there to use power.
fn cost(load: &Load, result: &BatchResult) -> Option<f64> {
    match load.dryer {
        Dryer::Cabinet(_) => Some(load.tariff.price_per_kwh? * show::kilowatt_hours(result.energy_j().total())),
        Dryer::Prescribed(_) => None,
    }
}
