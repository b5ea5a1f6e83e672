//! Subcommands, one file each, with their help text.

mod bill;
mod dried;
mod dryers;
mod evidence;
mod foods;
mod labels;
mod new;
mod pack;
mod plan;
mod prefreeze;
mod store;

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
            Self::Prefreeze(arguments) => prefreeze::run(&arguments),
            Self::Pack(arguments) => pack::run(&arguments),
            Self::Labels(arguments) => labels::run(&arguments),
            Self::Store(arguments) => store::run(&arguments),
            Self::Bill(arguments) => bill::run(&arguments),
            Self::New(arguments) => new::run(&arguments),
            Self::Foods(arguments) => foods::run(&arguments),
            Self::Dryers(arguments) => dryers::run(&arguments),
            Self::Evidence(arguments) => evidence::run(&arguments),
        }
    }
}
