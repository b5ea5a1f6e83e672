//! `icefront plan`: load sheet in, answer out.

use std::num::NonZeroUsize;
use std::path::PathBuf;

use clap::Args;
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
    /// Also write the run over time and its charts into this folder: history.csv, batch.svg, batch.png, power.svg,
    /// power.png.
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
const BATCH_SVG: &str = "batch.svg";
const BATCH_PNG: &str = "batch.png";
const POWER_SVG: &str = "power.svg";
const POWER_PNG: &str = "power.png";
const PNG_WIDTH_PX: u32 = 1600;

/// Reads, checks, computes, reports, writes.
pub fn run(arguments: Arguments) -> Result<(), Failure> {
    let plan = check(arguments)?;
    let result = while_working("computing the run", || icefront_core::plan(&plan.sheet.load))?;
    if let Some(targets) = &plan.targets {
        while_working("drawing the charts", || write(targets, &result))?;
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
    let files = [HISTORY, BATCH_SVG, BATCH_PNG, POWER_SVG, POWER_PNG];
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

fn write(targets: &Targets, result: &BatchResult) -> Result<(), Failure> {
    let history = report::csv(result).map_err(std::io::Error::from)?;
    let batch = icefront_plot::batch_chart_svg(result)?;
    let power = icefront_plot::power_chart_svg(result)?;
    let batch_png = icefront_plot::png_from_svg(&batch, PNG_WIDTH_PX)?;
    let power_png = icefront_plot::png_from_svg(&power, PNG_WIDTH_PX)?;
    targets.write(&[
        (HISTORY, history.as_slice()),
        (BATCH_SVG, batch.as_bytes()),
        (BATCH_PNG, &batch_png),
        (POWER_SVG, power.as_bytes()),
        (POWER_PNG, &power_png),
    ])
}
