//! `icefront update`: readings so far sharpen the finish and the bill.

use std::path::PathBuf;

use clap::Args;
use icefront_core::learning::{Effort, Errors};
use icefront_core::result::BatchResult;

use crate::commands::{Picture, SeedArguments, ToolErrors};
use crate::{Disk, output, while_working};
use icefront_kitchen::readings::{Beside, help};
use icefront_kitchen::running::{self, chart, update_text};
use icefront_kitchen::sheet::{self, Sheet};
use icefront_kitchen::weather::clock::Clock;
use icefront_kitchen::{Failure, Readings, json};

/// Raw arguments.
#[derive(Debug, Args)]
#[command(after_help = sample())]
pub struct Arguments {
    #[command(flatten)]
    pub(super) run: Run,
    /// Also write the chart into this folder: update.svg, update.png.
    #[arg(long, value_name = "DIR")]
    out: Option<PathBuf>,
    /// Overwrite existing files.
    #[arg(long, requires = "out")]
    force: bool,
}

/// A readings file to begin with, for the help.
pub fn sample() -> String {
    format!("A readings file:\n\n{}\n`icefront help readings` explains all columns.", help::SAMPLE)
}

/// What the commands on a run that has begun share.
#[derive(Debug, Args)]
pub struct Run {
    /// Load sheet of the run.
    #[arg(value_name = "LOAD.toml")]
    load: PathBuf,
    /// Readings so far.
    #[arg(long, value_name = "FILE")]
    readings: PathBuf,
    /// When it was started, such as 18:00 or "6 pm", where the readings don't say it.
    #[arg(long, value_name = "CLOCK", value_parser = Clock::read)]
    start: Option<Clock>,
    #[command(flatten)]
    errors: ToolErrors,
    /// Number of samples.
    #[arg(long = "samples", alias = "draws", value_name = "N", default_value_t = 256, value_parser = clap::value_parser!(u32).range(64..=100_000))]
    draws: u32,
    #[command(flatten)]
    seed: SeedArguments,
    /// Print JSON instead of text; its keys are listed in docs/json.md.
    #[arg(long)]
    pub(super) json: bool,
}

/// All that was read and found right.
pub struct Checked {
    /// The sheet.
    pub sheet: Sheet,
    /// Its typical run.
    pub typical: BatchResult,
    /// The readings.
    pub readings: Readings,
    /// Errors of the tools.
    pub errors: Errors,
    /// How much to compute.
    pub effort: Effort,
}

impl Run {
    /// Reads and checks.
    pub fn check(&self) -> Result<Checked, Failure> {
        let mut sheet = sheet::read(&sheet::Text::read(&self.load, &Disk)?, &Disk)?;
        let typical = icefront_core::plan(&sheet.load)?;
        let errors = self.errors.errors();
        let beside = Beside { start: self.start, units_are_open: !sheet.says_units() };
        let readings = Readings::read_from(&self.readings, &Disk, &sheet.load, &typical, &errors, beside)?;
        // where the sheet leaves it open, she is answered in the units that she measures in
        sheet.load.units = readings.units;
        let SeedArguments { seed, threads } = self.seed;
        let effort = Effort { draws: self.draws as usize, seed, threads, ..Effort::default() };
        Ok(Checked { sheet, typical, readings, errors, effort })
    }
}

/// Reads, checks, computes, reports.
pub fn run(arguments: &Arguments, plain: bool) -> Result<(), Failure> {
    let given = arguments.run.check()?;
    let picture = Picture::check(arguments.out.as_deref(), "update", None, arguments.force)?;
    let answer = while_working("comparing samples with the readings", || {
        running::update(&given.sheet, &given.typical, &given.readings, &given.errors, &given.effort)
    })?;
    if let Some(picture) = picture {
        picture.write(&chart::chart(&given.sheet, &given.typical, &given.readings, &answer)?, None)?;
    }
    let json = || json::text(&running::answer::update(&given.sheet, &given.readings, &answer));
    let as_text = |look| update_text::text(&given.sheet, &given.typical, &given.readings, &answer, look);
    output::answer(arguments.run.json, plain, json, as_text)
}
