//! `icefront plan`: load sheet in, answer out.

use std::path::PathBuf;

use clap::Args;
use icefront_core::decide::limits::limits;
use icefront_core::load::Load;
use icefront_core::result::BatchResult;

use crate::commands::draws::DrawArguments;
use crate::commands::picture::PNG_WIDTH_PX;
use crate::disk::{Disk, Targets};
use crate::output;
use crate::progress::while_working;
use icefront_kitchen::failure::Failure;
use icefront_kitchen::plan::document::Document;
use icefront_kitchen::range::Range;
use icefront_kitchen::sheet::{self, Sheet};

/// Raw arguments.
#[derive(Debug, Args)]
#[command(after_help = "Without LOAD.toml an invented demonstration load is planned. `icefront new` writes a sheet.")]
pub struct Arguments {
    /// Load sheet; its keys are listed in docs/load-sheet.md.
    #[arg(value_name = "LOAD.toml")]
    load: Option<PathBuf>,
    /// Print JSON instead of text; its keys are listed in docs/json.md.
    #[arg(long)]
    json: bool,
    /// Also write the run over time (history.csv) and its charts (SVG and PNG) into this folder: batch, drying, machine,
    /// power, worth (of measurements), tray-1 and so on.
    #[arg(long, value_name = "DIR")]
    out: Option<PathBuf>,
    #[command(flatten)]
    draws: DrawArguments,
    /// Replace files that are there.
    #[arg(long, requires = "out")]
    force: bool,
}

/// What is to be done, all checked.
struct Plan {
    draws: DrawArguments,
    source: String,
    sheet: Sheet,
    json: bool,
    targets: Option<Targets>,
}

const HISTORY: &str = "history.csv";

/// Reads, checks, computes, reports, writes.
pub fn run(arguments: Arguments, plain: bool) -> Result<(), Failure> {
    let plan = check(arguments)?;
    let result = while_working("computing the run", || icefront_core::plan(&plan.sheet.load))?;
    let range = while_working("drawing the range", || plan.draws.range(&plan.sheet))?;
    let near = while_working("computing the limits", || limits(&plan.sheet.load, &result))?;
    if let Some(targets) = &plan.targets {
        while_working("drawing the charts", || write(targets, &plan.sheet.load, &result, range.as_ref()))?;
    }
    let json = || Ok(icefront_kitchen::plan::json(&plan.sheet.load, &result, range.as_ref(), near.as_ref())?);
    let document = || Document::new(&plan.source, &plan.sheet, &result, range.as_ref(), near.as_ref());
    output::answer(plan.json, plain, json, |look| document().text(look))
}

fn check(arguments: Arguments) -> Result<Plan, Failure> {
    let text = sheet::Text::read_or_demonstration(arguments.load.as_deref(), &Disk)?;
    let sheet = sheet::read(&text, &Disk)?;
    let pictures = icefront_kitchen::plan::chart_files(sheet.load.trays.len());
    let pictures = pictures.iter().flat_map(|name| [format!("{name}.svg"), format!("{name}.png")]);
    let files: Vec<String> = pictures.chain([HISTORY.to_string()]).collect();
    let files: Vec<&str> = files.iter().map(String::as_str).collect();
    let check = |folder: &PathBuf| Targets::check(folder, &files, arguments.force);
    let targets = arguments.out.as_ref().map(check).transpose()?;
    Ok(Plan { draws: arguments.draws, source: text.name(), sheet, json: arguments.json, targets })
}

fn write(targets: &Targets, load: &Load, result: &BatchResult, range: Option<&Range>) -> Result<(), Failure> {
    let mut files =
        vec![(HISTORY.to_string(), icefront_kitchen::plan::history_csv::csv(result).map_err(std::io::Error::from)?)];
    for chart in icefront_kitchen::plan::charts(load, result, range)? {
        files.push((format!("{}.png", chart.file), icefront_plot::png_from_svg(&chart.svg, PNG_WIDTH_PX)?));
        files.push((format!("{}.svg", chart.file), chart.svg.into_bytes()));
    }
    let files: Vec<(&str, &[u8])> = files.iter().map(|(name, bytes)| (name.as_str(), bytes.as_slice())).collect();
    targets.write(&files)
}
