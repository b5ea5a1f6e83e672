//! `icefront learn`: finished batches teach what this machine is like.

use std::path::{Path, PathBuf};

use clap::Args;
use icefront_core::learning::Errors;

use crate::{Disk, Targets, output, while_working};
use icefront_kitchen::{Failure, history, json, learn};

/// Raw arguments.
#[derive(Debug, Args)]
#[command(
    after_help = "The learned file is a dryer file: write its path as `dryer` in a load sheet. What it contains is described in \
                        docs/guide/learning.md."
)]
pub struct Arguments {
    /// History written by `icefront log`.
    #[arg(value_name = "HISTORY.csv")]
    history: PathBuf,
    /// The dryer to learn about: a built-in one, or the path of a dryer file.
    #[arg(long, value_name = "NAME")]
    dryer: String,
    /// Leave a batch out, by its name; may be given several times. Learning always starts from the whole history, so this undoes
    /// what the batch taught.
    #[arg(long, value_name = "BATCH")]
    without: Vec<String>,
    /// Where the learned dryer file goes; without it NAME-learned.toml.
    #[arg(long, value_name = "FILE")]
    out: Option<PathBuf>,
    /// Also plot how far off the predicted end of each batch was, before and after learning, into this SVG file.
    #[arg(long, value_name = "FILE")]
    chart: Option<PathBuf>,
    /// Print JSON instead of text.
    #[arg(long)]
    json: bool,
    /// Overwrite an existing file.
    #[arg(long)]
    force: bool,
}

/// Reads, checks, learns, writes, reports.
pub fn run(arguments: &Arguments, plain: bool) -> Result<(), Failure> {
    let file = learn::entered(&learn::dryer_file(&arguments.dryer, Path::new(""), &Disk)?);
    let out = arguments.out.clone().unwrap_or_else(|| learn::usual_name(&arguments.dryer).into());
    let (targets, name) = Targets::check_file(&out, arguments.force)?;
    let chart = arguments.chart.as_deref().map(|path| Targets::check_svg(path, arguments.force)).transpose()?;
    let batches = history::without(history::read(&arguments.history, &Disk)?, &arguments.without)?;
    let answer = while_working("learning from the batches", || {
        learn::answer(&batches, &arguments.history, &file, &Errors::default())
    })?;
    if let Some((targets, name)) = chart {
        let finished = learn::text::finished(&answer);
        if finished.is_empty() {
            let reason = "no batch that fits has its end noted, so there is nothing to plot";
            return Err(Failure::unfit(&arguments.history, reason));
        }
        let svg = icefront_plot::accuracy_chart_svg(&finished)?;
        targets.write(&[(name, svg.as_bytes())])?;
    }
    targets.write(&[(name, learn::with_learned(&file, &answer.learned, &arguments.history).as_bytes())])?;
    let json = || json::text(&learn::answer::lesson(&answer, &out));
    output::answer(arguments.json, plain, json, |look| learn::text::text(&answer, &out, look))
}
