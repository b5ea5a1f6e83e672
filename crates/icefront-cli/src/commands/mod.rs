//! Subcommands, one file each, with their help text.

mod dry;
mod dryers;
mod errors;
mod evidence;
mod foods;
mod learn;
mod log;
mod new;
mod plan;
mod prefreeze;
mod update;

use clap::{Parser, Subcommand};

use crate::failure::Failure;

/// How long a batch of food takes to freeze-dry in a small vacuum cabinet, what it costs, and why.
#[derive(Debug, Parser)]
#[command(name = "icefront", version, arg_required_else_help = true)]
pub struct Arguments {
    /// What to do.
    #[command(subcommand)]
    pub command: Command,
}

/// What can be asked for.
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
    /// Decide where to freeze: outdoors tonight, in a freezer, or in the machine.
    Prefreeze(prefreeze::Arguments),
    /// Write a load sheet to start from, with a remark for each line.
    New(new::Arguments),
    /// Look foods up by word; without words, list all.
    Foods(foods::Arguments),
    /// List the built-in dryers; with a name, print that one as a file to copy.
    Dryers(dryers::Arguments),
    /// Hold the predictions against published standards, exact solutions and experiments.
    Evidence(evidence::Arguments),
}

impl Command {
    /// Does it.
    pub fn run(self) -> Result<(), Failure> {
        match self {
            Self::Plan(arguments) => plan::run(arguments),
            Self::Update(arguments) => update::run(&arguments),
            Self::Dry(arguments) => dry::run(&arguments),
            Self::Log(arguments) => log::run(&arguments),
            Self::Learn(arguments) => learn::run(&arguments),
            Self::Prefreeze(arguments) => prefreeze::run(&arguments),
            Self::New(arguments) => new::run(&arguments),
            Self::Foods(arguments) => foods::run(&arguments),
            Self::Dryers(arguments) => dryers::run(&arguments),
            Self::Evidence(arguments) => evidence::run(&arguments),
        }
    }
}
