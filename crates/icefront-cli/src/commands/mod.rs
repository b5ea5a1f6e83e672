//! Subcommands, one file each, with their help text.

mod best;
mod bill;
mod compare;
mod defaults;
mod draws;
mod dry;
mod dryers;
mod errors;
mod evidence;
mod explain;
mod foods;
mod help;
mod labels;
mod learn;
mod load;
mod log;
mod new;
mod pack;
mod page;
mod picture;
mod plan;
mod prefreeze;
mod report;
mod shell;
mod store;
mod sweep;
mod units;
mod update;

use clap::{Parser, Subcommand};

use icefront_kitchen::Failure;

use crate::output::Color;
pub use help::{command, start_page};

use draws::{DrawArguments, SeedArguments};
use errors::ToolErrors;
use load::LoadArgument;
use picture::{PNG_WIDTH_PX, Picture};

/// Version, and how this program was built.
const LONG_VERSION: &str = concat!(env!("CARGO_PKG_VERSION"), "\n", env!("ICEFRONT_BUILT"));

/// How long a batch of food takes to freeze-dry in a small vacuum cabinet, what it costs, and why.
#[derive(Debug, Parser)]
#[command(name = "icefront", version, long_version = LONG_VERSION, arg_required_else_help = true)]
#[command(disable_help_subcommand = true)]
pub struct Arguments {
    /// Plain lines for screen readers: sentences in reading order, no drawings, no columns, no colour.
    #[arg(long, global = true, help_heading = "Output")]
    pub plain: bool,
    /// No progress messages.
    #[arg(long, short, global = true, help_heading = "Output")]
    pub quiet: bool,
    /// When to use colour.
    #[arg(long, global = true, value_name = "WHEN", value_enum, default_value_t, help_heading = "Output")]
    pub color: Color,
    /// What to do.
    #[command(subcommand)]
    pub command: Command,
}

/// The subcommands.
#[derive(Debug, Subcommand)]
pub enum Command {
    /// Plan a batch: how long it takes, what it costs, what to watch.
    Plan(plan::Arguments),
    /// Refine the finish time and cost from readings so far.
    Update(update::Arguments),
    /// Near the end: is it dry, and if not, how much longer?
    Dry(dry::Arguments),
    /// Add a finished batch to the history.
    Log(log::Arguments),
    /// Learn from finished batches how this machine behaves.
    Learn(learn::Arguments),
    /// Write the plan as a page to print and take to the dryer.
    Report(report::Arguments),
    /// Compare several loads: depth, cut, fill, room, dryer or sheet.
    Compare(compare::Arguments),
    /// Find a better arrangement of the same food.
    Best(best::Arguments),
    /// Show what makes it slow, and what would help.
    Explain(explain::Arguments),
    /// Choose where to freeze: outdoors, in a freezer or in the machine.
    Prefreeze(prefreeze::Arguments),
    /// Divide the dried food into packs, with the water to add back.
    Pack(pack::Arguments),
    /// Make labels for the packs, to print.
    Labels(labels::Arguments),
    /// Keep a pantry: put packs in, take them out, list what is left.
    Store(store::Arguments),
    /// Show what the batch costs, and what would change that.
    Bill(bill::Arguments),
    /// Write a load sheet, from your words or to fill in.
    New(new::Arguments),
    /// Show or set your own defaults: dryer, room, price.
    Defaults(defaults::Arguments),
    /// Open the same answers in a browser, on this computer or at home.
    Page(page::Arguments),
    /// Look up foods by word; without words, list all.
    Foods(foods::Arguments),
    /// List the built-in dryers, or print one as a file to copy.
    Dryers(dryers::Arguments),
    /// Compute many load sheets, one JSON object a line.
    Sweep(sweep::Arguments),
    /// Print shell completions or the manual.
    Shell(shell::Arguments),
    /// Compare predictions with published values and experiments.
    Evidence(evidence::Arguments),
    /// Show help for a command, or all keys of a sheet: `help sheet`.
    Help(help::Arguments),
}

impl Command {
    /// Does it. `plain` asks for lines that can be read out.
    pub fn run(self, plain: bool) -> Result<(), Failure> {
        match self {
            Self::Update(arguments) => update::run(&arguments, plain),
            Self::Dry(arguments) => dry::run(&arguments, plain),
            Self::Log(arguments) => log::run(&arguments, plain),
            Self::Learn(arguments) => learn::run(&arguments, plain),
            Self::Plan(arguments) => plan::run(&arguments, plain),
            Self::Report(arguments) => report::run(&arguments),
            Self::Prefreeze(arguments) => prefreeze::run(&arguments, plain),
            Self::Compare(arguments) => compare::run(&arguments, plain),
            Self::Best(arguments) => best::run(&arguments, plain),
            Self::Explain(arguments) => explain::run(&arguments, plain),
            Self::Pack(arguments) => pack::run(&arguments, plain),
            Self::Labels(arguments) => labels::run(&arguments),
            Self::Store(arguments) => store::run(&arguments, plain),
            Self::Bill(arguments) => bill::run(&arguments, plain),
            Self::New(arguments) => new::run(&arguments),
            Self::Defaults(arguments) => defaults::run(&arguments, plain),
            Self::Page(arguments) => page::run(&arguments),
            Self::Foods(arguments) => foods::run(&arguments, plain),
            Self::Dryers(arguments) => dryers::run(&arguments, plain),
            Self::Sweep(arguments) => sweep::run(&arguments),
            Self::Shell(arguments) => shell::run(&arguments),
            Self::Evidence(arguments) => evidence::run(&arguments, plain),
            Self::Help(arguments) => help::run(&arguments, plain),
        }
    }
}
