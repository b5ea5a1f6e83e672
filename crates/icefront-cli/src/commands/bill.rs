//! `icefront bill`: what the batch costs, and what would change it.

use clap::Args;

use crate::commands::load::USUAL_START;
use crate::commands::{DrawArguments, LoadArgument};
use crate::{output, while_working};
use icefront_kitchen::bill::{self, Question};
use icefront_kitchen::weather::clock::Clock;
use icefront_kitchen::{Failure, json};

/// Raw arguments.
#[derive(Debug, Args)]
#[command(
    after_help = "Put prices into [tariff], [[tariff.period]], [pack] and [price.x] of the sheet: `icefront help \
                  sheet`. See docs/guide/after.md for JSON keys."
)]
pub struct Arguments {
    #[command(flatten)]
    load: LoadArgument,
    #[command(flatten)]
    draws: DrawArguments,
    /// When the machine is started [default: 18:00].
    #[arg(long, value_name = "CLOCK", value_parser = Clock::read)]
    start: Option<Clock>,
    /// Print JSON instead of text.
    #[arg(long)]
    json: bool,
}

/// Reads, checks, computes, reports.
pub fn run(arguments: &Arguments, plain: bool) -> Result<(), Failure> {
    let (text, sheet) = arguments.load.read()?;
    bill::check(&sheet).map_err(|unfit| Failure::unfit(text.name(), unfit))?;
    let start = arguments.load.start(arguments.start)?.unwrap_or(USUAL_START);
    let question = Question { sheet: &sheet, draws: &arguments.draws.draws(), start_s: start.0 };
    let (bill, packing) = while_working("adding up the bill", || bill::bill(&question))?;
    let as_text = |look| bill::text(&text.name(), &bill, &packing, look);
    output::answer(arguments.json, plain, || json::text(&bill), as_text)
}
