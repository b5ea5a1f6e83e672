//! `icefront plan`: load sheet in, answer out.

use std::path::{Path, PathBuf};

use clap::Args;
use icefront_core::load::Load;

use crate::commands::load::Given;
use crate::commands::{DrawArguments, LoadArgument, PNG_WIDTH_PX};
use crate::{Targets, output, while_working};
use icefront_kitchen::plan::document::Document;
use icefront_kitchen::plan::screen::Screen;
use icefront_kitchen::plan::{self, Answer, Run, history_csv};
use icefront_kitchen::weather::clock::Clock;
use icefront_kitchen::{Failure, json};

/// Raw arguments.
#[derive(Debug, Args)]
#[command(after_help = "`icefront new` writes a sheet to fill in, also from the same words.")]
pub struct Arguments {
    #[command(flatten)]
    load: LoadArgument,
    /// Show all tables: ranges by tray, stages, energy, limits, cautions.
    #[arg(long, short = 'd')]
    details: bool,
    /// When it starts, such as 18:00 or "6 pm": times are then given by the clock.
    #[arg(long, value_name = "CLOCK", value_parser = Clock::read)]
    start: Option<Clock>,
    /// Print JSON instead of text; its keys are listed in docs/json.md.
    #[arg(long)]
    json: bool,
    /// Also write the run over time (history.csv) and its charts (SVG and PNG) into this folder: batch, drying, machine,
    /// power, worth (of measurements), tray-1 and so on.
    #[arg(long, value_name = "DIR")]
    out: Option<PathBuf>,
    #[command(flatten)]
    draws: DrawArguments,
    /// Overwrite existing files.
    #[arg(long, requires = "out")]
    force: bool,
}

const HISTORY: &str = "history.csv";

/// Reads, checks, computes, reports, writes.
pub fn run(arguments: &Arguments, plain: bool) -> Result<(), Failure> {
    let start = arguments.load.start(arguments.start)?;
    let Given { text, sheet, assumed, again } = arguments.load.given()?;
    let targets = arguments.out.as_deref().map(|folder| check(folder, &sheet.load, arguments.force)).transpose()?;
    let run = while_working("computing the range", || Run::of(&sheet, &arguments.draws.draws()))?;
    let wanted = arguments.details || arguments.json;
    let near = if wanted { while_working("computing the limits", || run.limits(&sheet))? } else { None };
    if let Some(targets) = targets {
        while_working("drawing the charts", || write(&targets, &run))?;
    }
    let as_text = |look| match arguments.details {
        true => Document::new(&text.name(), &sheet, &run, near.as_ref()).text(look),
        false => {
            let again = arguments.start.map_or_else(|| again.clone(), |start| format!("{again} --start {start}"));
            Screen { source: &again, sheet: &sheet, run: &run, start, assumed: &assumed }.text(look)
        }
    };
    let as_json = || json::text(&Answer { assumed: assumed.clone(), ..plan::answer(&run, near.as_ref()) });
    output::answer(arguments.json, plain, as_json, as_text)
}

fn check(folder: &Path, load: &Load, force: bool) -> Result<Targets, Failure> {
    let pictures = plan::chart_files(load.trays.len());
    let pictures = pictures.iter().flat_map(|name| [format!("{name}.svg"), format!("{name}.png")]);
    let files: Vec<String> = pictures.chain([HISTORY.to_string()]).collect();
    Targets::check(folder, &files, force)
}

fn write(targets: &Targets, run: &Run) -> Result<(), Failure> {
    let mut files = vec![(HISTORY.to_string(), history_csv::csv(&run.result).map_err(std::io::Error::from)?)];
    for chart in plan::charts(run)? {
        files.push((format!("{}.png", chart.file), icefront_plot::png_from_svg(&chart.svg, PNG_WIDTH_PX)?));
        files.push((format!("{}.svg", chart.file), chart.svg.into_bytes()));
    }
    targets.write(&files)
}
