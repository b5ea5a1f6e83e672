//! `icefront explain`: why it takes so long.

use std::path::PathBuf;

use clap::Args;

use crate::commands::{DrawArguments, LoadArgument, Picture};
use crate::{Disk, output, while_working};
use icefront_kitchen::plan::Run;
use icefront_kitchen::{Failure, explain, json};

/// Raw arguments.
#[derive(Debug, Args)]
#[command(after_help = "More in docs/guide/explain.md.")]
pub struct Arguments {
    #[command(flatten)]
    load: LoadArgument,
    /// Tray to look at closely, from 1 at the bottom. Default: the one that is dry last.
    #[arg(long, value_name = "N")]
    tray: Option<usize>,
    /// Show the equations too.
    #[arg(long)]
    equations: bool,
    /// Print JSON instead of text; its keys are listed in docs/json.md.
    #[arg(long, conflicts_with = "equations")]
    json: bool,
    /// Also write the charts into this folder: explain and usable, each as .svg and .png.
    #[arg(long, value_name = "DIR")]
    out: Option<PathBuf>,
    #[command(flatten)]
    draws: DrawArguments,
    /// Overwrite existing files.
    #[arg(long, requires = "out")]
    force: bool,
}

/// Reads, checks, computes, reports, writes.
pub fn run(arguments: &Arguments, plain: bool) -> Result<(), Failure> {
    let (text, sheet) = arguments.load.read()?;
    let count = sheet.load.trays.len();
    if let Some(tray) = arguments.tray.filter(|tray| !(1..=count).contains(tray)) {
        return Err(Failure::unknown("tray", tray.to_string(), format!("the sheet has trays 1 to {count}")));
    }
    let picture = |name| Picture::check(arguments.out.as_deref(), name, None, arguments.force);
    let (reasons, usable) = (picture("explain")?, picture("usable")?);
    let tray = arguments.tray.map(|tray| tray - 1);
    let run = while_working("computing the range", || Run::of(&sheet, &arguments.draws.draws()))?;
    let answer = while_working("trying what would help", || explain::explain(&text, &run, tray, &Disk))?;
    if let (Some(reasons), Some(usable)) = (reasons, usable) {
        reasons.write(&explain::chart(&answer)?, None)?;
        usable.write(&answer.usable.chart(&answer.load.trays[answer.tray].food)?, None)?;
    }
    let as_text = |look| explain::text(&text.name(), &answer, arguments.equations, look);
    output::answer(arguments.json, plain, || json::text(&explain::explanation(&answer)), as_text)
}
