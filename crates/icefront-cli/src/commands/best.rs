//! `icefront best`: a better arrangement of the same food.

use clap::{Args, ValueEnum};

use crate::commands::load::USUAL_START;
use crate::commands::{LoadArgument, SeedArguments};
use crate::{output, while_working};
use icefront_kitchen::best::{self, Aim};
use icefront_kitchen::weather::clock::Clock;
use icefront_kitchen::{Failure, json};

/// Raw arguments.
#[derive(Debug, Args)]
#[command(after_help = "More in docs/guide/best.md.")]
pub struct Arguments {
    #[command(flatten)]
    load: LoadArgument,
    /// What to aim at.
    #[arg(long, value_enum, default_value_t = Goal::Hours, conflicts_with = "ready_by")]
    goal: Goal,
    /// Aim at the most food that is ready by this time of day, nine times in ten.
    #[arg(long, value_name = "CLOCK", value_parser = Clock::read)]
    ready_by: Option<Clock>,
    /// When the machine starts [default: 18:00].
    #[arg(long, value_name = "CLOCK", value_parser = Clock::read)]
    start: Option<Clock>,
    /// Print JSON instead of text; its keys are listed in docs/json.md.
    #[arg(long)]
    json: bool,
    /// Number of samples for each load.
    #[arg(long = "samples", alias = "draws", value_name = "N", default_value_t = 64, value_parser = clap::value_parser!(u32).range(8..=1_000_000))]
    draws: u32,
    #[command(flatten)]
    seed: SeedArguments,
}

/// What to aim at.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
enum Goal {
    /// The same food, ready soonest.
    Hours,
    /// Least cost per kg of dried food; trays may be filled otherwise.
    CostPerKg,
}

/// Reads, checks, computes, reports.
pub fn run(arguments: &Arguments, plain: bool) -> Result<(), Failure> {
    let (text, sheet) = arguments.load.read()?;
    best::suits(&text, &sheet)?;
    let start = arguments.load.start(arguments.start)?.unwrap_or(USUAL_START);
    let aim = match (arguments.ready_by, arguments.goal) {
        (Some(by), _) => Aim::ReadyBy { start, by },
        (None, Goal::Hours) => Aim::Hours,
        (None, Goal::CostPerKg) => Aim::CostPerKg,
    };
    let draws = arguments.seed.draws(arguments.draws as usize);
    let answer = while_working("trying other arrangements", || best::find(&sheet, aim, draws))?;
    let as_text = |look| best::text(&text.name(), aim, &answer, look);
    output::answer(arguments.json, plain, || json::text(&best::arrangement(aim, &answer)), as_text)
}
