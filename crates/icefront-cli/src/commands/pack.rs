//! `icefront pack`: from the dried batch to packs, water to add back, absorbers and what to eat first.

use clap::Args;

use crate::commands::{DrawArguments, LoadArgument};
use crate::{output, while_working};
use icefront_kitchen::pack::batch::{self, DryMatter};
use icefront_kitchen::pack::{self, packing};
use icefront_kitchen::{Failure, json};

/// Raw arguments.
#[derive(Debug, Args)]
#[command(
    after_help = "Put sizes, containers, absorbers, allergens and the kitchen into [pack] of the sheet, and weights \
                  after drying into `dried` of each tray. See `icefront help sheet`."
)]
pub struct Arguments {
    #[command(flatten)]
    load: LoadArgument,
    #[command(flatten)]
    draws: DrawArguments,
    /// Print JSON instead of text.
    #[arg(long)]
    json: bool,
}

/// Reads, checks, computes, reports.
pub fn run(arguments: &Arguments, plain: bool) -> Result<(), Failure> {
    let (text, sheet) = arguments.load.read()?;
    let batch =
        while_working("computing the run", || batch::run(&sheet, &arguments.draws.draws(), DryMatter::Drawn, |_| ()))?;
    let packing = packing::pack(&sheet, &batch);
    output::answer(arguments.json, plain, || json::text(&packing), |look| pack::text(&text.name(), &packing, look))
}
