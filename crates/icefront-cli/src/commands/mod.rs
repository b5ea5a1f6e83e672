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
mod update;

use clap::{Parser, Subcommand};

use icefront_kitchen::Failure;

use draws::{DrawArguments, SeedArguments};
use errors::ToolErrors;
use load::LoadArgument;
use picture::{PNG_WIDTH_PX, Picture};

/// Version, and how this program was built.
const LONG_VERSION: &str = concat!(env!("CARGO_PKG_VERSION"), "\n", env!("ICEFRONT_BUILT"));

/// How long a batch of food takes to freeze-dry in a small vacuum cabinet, what it costs, and why.
#[derive(Debug, Parser)]
#[command(name = "icefront", version, long_version = LONG_VERSION, arg_required_else_help = true)]
pub struct Arguments {
    /// Plain lines for screen readers: sentences in reading order, no drawings, no columns, no colour.
    #[arg(long, global = true)]
    pub plain: bool,
    /// What to do.
    #[command(subcommand)]
    pub command: Command,
}

/// The subcommands.
#[derive(Debug, Subcommand)]
pub enum Command {
    /// Compute a batch: time, energy, cost, water and cautions.
    Plan(plan::Arguments),
    /// During the run: readings so far sharpen the finish and the bill.
    Update(update::Arguments),
    /// Near the end: is it dry, and how much longer if not?
    Dry(dry::Arguments),
    /// Add a finished batch to the history.
    Log(log::Arguments),
    /// Learn from finished batches what this machine is like.
    Learn(learn::Arguments),
    /// Write a batch as one page to read, print and take to the dryer: loading plan, bill, checklist, charts.
    Report(report::Arguments),
    /// Hold several loads side by side: depth, cut, fill, room, dryer, or another sheet.
    Compare(compare::Arguments),
    /// Find a better arrangement of the same food: cut, depth, and which tray where.
    Best(best::Arguments),
    /// Tell why it takes so long: what binds each stage, and what would help.
    Explain(explain::Arguments),
    /// Decide where to freeze: outdoors tonight, in a freezer, or in the machine.
    Prefreeze(prefreeze::Arguments),
    /// After the run: packs, water to add back, absorbers, the bench, what to eat first.
    Pack(pack::Arguments),
    /// Labels for the packs, to print.
    Labels(labels::Arguments),
    /// The pantry: packs put in, taken out, listed by what to eat first.
    Store(store::Arguments),
    /// What the batch costs: ingredients, electricity by the hour, packs; and what would change it.
    Bill(bill::Arguments),
    /// Write a load sheet to start from, with a remark for each line.
    New(new::Arguments),
    /// Show or set your own defaults: dryer, room, price.
    Defaults(defaults::Arguments),
    /// Serve the kitchen page: the same answers in a browser, on this computer or with --share in the home network.
    Page(page::Arguments),
    /// Look foods up by word; without words, list all.
    Foods(foods::Arguments),
    /// List the built-in dryers; with a name, print that one as a file to copy.
    Dryers(dryers::Arguments),
    /// Compute many load sheets, one JSON object a line, for studies.
    Sweep(sweep::Arguments),
    /// Completions for a shell, and the manual.
    Shell(shell::Arguments),
    /// Hold the predictions against published standards, exact solutions and experiments.
    Evidence(evidence::Arguments),
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
        }
    }
}
