//! Subcommands, one file each, with their help text.

mod dryers;
mod evidence;
mod foods;
mod new;
mod page;
mod plan;
mod prefreeze;
mod shell;
mod sweep;

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
    /// Decide where to freeze: outdoors tonight, in a freezer, or in the machine.
    Prefreeze(prefreeze::Arguments),
    /// Write a load sheet to start from, with a remark for each line.
    New(new::Arguments),
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
    /// Does it.
    pub fn run(self) -> Result<(), Failure> {
        match self {
            Self::Plan(arguments) => plan::run(arguments),
            Self::Prefreeze(arguments) => prefreeze::run(&arguments),
            Self::New(arguments) => new::run(&arguments),
            Self::Page(arguments) => page::run(&arguments),
            Self::Foods(arguments) => foods::run(&arguments),
            Self::Dryers(arguments) => dryers::run(&arguments),
            Self::Sweep(arguments) => sweep::run(&arguments),
            Self::Shell(arguments) => shell::run(&arguments),
            Self::Evidence(arguments) => evidence::run(&arguments),
        }
    }
}
