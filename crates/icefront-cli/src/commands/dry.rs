//! `icefront dry`: is it dry, and how much longer if not?

use clap::Args;

use crate::commands::update::{Run, sample};
use crate::{output, while_working};
use icefront_kitchen::running::{self, dry_text};
use icefront_kitchen::{Failure, json};

/// Raw arguments.
#[derive(Debug, Args)]
#[command(after_help = format!(
    "Works from any readings: weights say most; gauge, plug meter and drained water help where the door stays closed.\n\n{}",
    sample()
))]
pub struct Arguments {
    #[command(flatten)]
    run: Run,
}

/// Reads, checks, computes, reports.
pub fn run(arguments: &Arguments, plain: bool) -> Result<(), Failure> {
    let given = arguments.run.check()?;
    let answer = while_working("comparing samples with the readings", || {
        running::dryness(&given.sheet, &given.typical, &given.readings, &given.errors, &given.effort)
    })?;
    let json = || json::text(&running::answer::dry(&given.readings, &answer));
    output::answer(arguments.run.json, plain, json, |look| {
        dry_text::text(&given.sheet, &given.typical, &given.readings, &answer, look)
    })
}
