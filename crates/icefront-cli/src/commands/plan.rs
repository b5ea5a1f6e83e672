//! `icefront plan`: load sheet in, answer out.

use std::num::NonZeroUsize;
use std::path::PathBuf;

use clap::Args;
use icefront_core::load::Load;
use icefront_core::ranges::{Draws, draw, measurements};
use icefront_core::result::BatchResult;

use crate::failure::Failure;
use crate::output::{self, Targets};
use crate::progress::while_working;
use crate::report::{self, Range};
use crate::sheet::{self, Sheet};

/// Raw arguments.
#[derive(Debug, Args)]
#[command(after_help = "Without LOAD.toml an invented demonstration load is planned. `icefront new` writes a sheet.")]
pub struct Arguments {
    /// Load sheet; its keys are told in docs/load-sheet.md.
    #[arg(value_name = "LOAD.toml")]
    load: Option<PathBuf>,
    /// Print JSON instead of text; its keys are told in docs/json.md.
    #[arg(long)]
    json: bool,
    /// Also write the run over time (history.csv) and its charts (SVG and PNG) into this folder: batch, drying, machine,
    /// power, tray-1 and so on.
    #[arg(long, value_name = "DIR")]
    out: Option<PathBuf>,
    /// How many draws make the range; 0 plans the typical numbers alone.
    #[arg(long, value_name = "N", default_value_t = 256, value_parser = clap::value_parser!(u32).range(0..=1_000_000))]
    draws: u32,
    /// Seed of the draws; the same seed gives the same answer.
    #[arg(long, value_name = "N", default_value_t = 1)]
    seed: u32,
    /// Threads for the draws; the answer does not depend on it. Default: one per core.
    #[arg(long, value_name = "N")]
    threads: Option<NonZeroUsize>,
    /// Replace files that are there.
    #[arg(long, requires = "out")]
    force: bool,
}

/// What is to be done, all checked.
struct Plan {
    draws: Draws,
    source: String,
    sheet: Sheet,
    json: bool,
    targets: Option<Targets>,
}

const HISTORY: &str = "history.csv";
const PNG_WIDTH_PX: u32 = 1600;

/// Reads, checks, computes, reports, writes.
pub fn run(arguments: Arguments) -> Result<(), Failure> {
    let plan = check(arguments)?;
    let result = while_working("computing the run", || icefront_core::plan(&plan.sheet.load))?;
    if let Some(targets) = &plan.targets {
        while_working("drawing the charts", || write(targets, &plan.sheet.load, &result))?;
    }
    let range = while_working("drawing the range", || range(&plan))?;
    let answer = if plan.json {
        report::json(&plan.sheet.load, &result, range.as_ref()).map_err(std::io::Error::from)?
    } else {
        report::text(&plan.source, &plan.sheet, &result, range.as_ref())
    };
    output::print(&answer)
}

fn check(arguments: Arguments) -> Result<Plan, Failure> {
    let text = match &arguments.load {
        Some(path) => sheet::Text::read(path)?,
        None => sheet::demonstration(),
    };
    let sheet = sheet::read(&text)?;
    let pictures = report::chart_files(sheet.load.trays.len());
    let pictures = pictures.iter().flat_map(|name| [format!("{name}.svg"), format!("{name}.png")]);
    let files: Vec<String> = pictures.chain([HISTORY.to_string()]).collect();
    let files: Vec<&str> = files.iter().map(String::as_str).collect();
    let check = |folder: &PathBuf| Targets::check(folder, &files, arguments.force);
    let targets = arguments.out.as_ref().map(check).transpose()?;
    let draws = Draws { count: arguments.draws as usize, seed: arguments.seed, threads: arguments.threads };
    Ok(Plan { draws, source: text.path.display().to_string(), sheet, json: arguments.json, targets })
}

/// The cloud of draws; `None` where none were asked for.
fn range(plan: &Plan) -> Result<Option<Range>, Failure> {
    if plan.draws.count == 0 {
        return Ok(None);
    }
    let tools = measurements(&plan.sheet.load);
    let model = plan.sheet.model_spread();
    let cloud = draw(&plan.draws, &tools, |point| plan.sheet.at(point, &model))?;
    Ok(Some(Range::new(cloud, &tools)))
}

fn write(targets: &Targets, load: &Load, result: &BatchResult) -> Result<(), Failure> {
    let mut files = vec![(HISTORY.to_string(), report::csv(result).map_err(std::io::Error::from)?)];
    for chart in report::charts(load, result)? {
        files.push((format!("{}.png", chart.file), icefront_plot::png_from_svg(&chart.svg, PNG_WIDTH_PX)?));
        files.push((format!("{}.svg", chart.file), chart.svg.into_bytes()));
    }
    let files: Vec<(&str, &[u8])> = files.iter().map(|(name, bytes)| (name.as_str(), bytes.as_slice())).collect();
    targets.write(&files)
}
