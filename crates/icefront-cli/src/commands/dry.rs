//! `icefront dry`: is it dry, and how much longer if not?

use clap::Args;

use crate::commands::update::Run;
use crate::output;
use crate::progress::while_working;
use icefront_kitchen::failure::Failure;
use icefront_kitchen::json;
use icefront_kitchen::running;
use icefront_kitchen::style::Look;

/// Raw arguments.
#[derive(Debug, Args)]
#[command(
    after_help = "Needs two weighings of a tray, or a pressure rise. The columns of a readings file are told in \
                        docs/learning.md."
)]
pub struct Arguments {
    #[command(flatten)]
    run: Run,
}

/// Reads, checks, computes, reports.
pub fn run(arguments: &Arguments, plain: bool) -> Result<(), Failure> {
    let asked = arguments.run.check()?;
    let answer = while_working("weighing the draws", || {
        running::dryness(&asked.sheet, &asked.readings, &asked.errors, &asked.effort)
    })?;
    let told = if arguments.run.json {
        json::text(&running::answer::dry(&asked.readings, &answer))?
    } else {
        icefront_kitchen::running::dry_text::text(&asked.readings, &answer, Look::of(plain, &std::io::stdout()))
    };
    output::print(&told)
}
