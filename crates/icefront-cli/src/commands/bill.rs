//! `icefront bill`: what the batch costs, and what would change it.

use clap::Args;

use crate::commands::dried::DriedLoad;
use crate::output;
use crate::progress::while_working;
use icefront_kitchen::bill::{self, Question};
use icefront_kitchen::failure::Failure;

use icefront_kitchen::weather::clock::Clock;

/// Raw arguments.
#[derive(Debug, Args)]
#[command(
    after_help = "Prices stand in [tariff], [[tariff.period]], [pack] and [price.x] of the sheet: docs/load-sheet.md. The \
                  keys of the JSON: docs/after.md."
)]
pub struct Arguments {
    #[command(flatten)]
    load: DriedLoad,
    /// When the machine is started.
    #[arg(long, value_name = "CLOCK", default_value = "18:00", value_parser = Clock::read)]
    start: Clock,
    /// Print JSON instead of text.
    #[arg(long)]
    json: bool,
}

/// Reads, checks, computes, reports.
pub fn run(arguments: &Arguments, plain: bool) -> Result<(), Failure> {
    let (source, sheet) = arguments.load.read()?;
    let unfit = |e: bill::Unfit| Failure::Unfit { path: source.clone().into(), reason: e.to_string() };
    bill::check(&sheet).map_err(unfit)?;
    let question = Question { sheet: &sheet, draws: &arguments.load.draws(), start_s: arguments.start.0 };
    let (bill, packing) = while_working("reckoning", || bill::bill(&question))?;
    output::answer(
        arguments.json,
        plain,
        || Ok(icefront_kitchen::json::text(&bill)?),
        |look| icefront_kitchen::bill::text(&source, &bill, &packing, look),
    )
}
