//! `icefront evidence`: how far predictions are from what was published.

use std::path::PathBuf;

use clap::Args;

use crate::{Targets, output};
use icefront_kitchen::Failure;
use icefront_kitchen::evidence::{self, Table};

/// Raw arguments.
#[derive(Debug, Args)]
pub struct Arguments {
    /// Print JSON instead of text.
    #[arg(long, group = "form")]
    json: bool,
    /// Print CSV, one line per row.
    #[arg(long, group = "form")]
    csv: bool,
    /// Print markdown, as in docs/evidence.md.
    #[arg(long, group = "form")]
    markdown: bool,
    /// Also plot predicted against measured drying times into this SVG file.
    #[arg(long, value_name = "FILE")]
    chart: Option<PathBuf>,
    /// Replace a chart that is there.
    #[arg(long, requires = "chart")]
    force: bool,
}

/// Shows the embedded table, draws the chart.
pub fn run(arguments: &Arguments, plain: bool) -> Result<(), Failure> {
    let chart = arguments.chart.as_deref().map(|path| Targets::check_svg(path, arguments.force)).transpose()?;
    let table = Table::embedded()?;
    if let Some((targets, name)) = chart {
        let svg = icefront_plot::evidence_chart_svg(&table.measured_points())?;
        targets.write(&[(name, svg.as_bytes())])?;
    }
    if arguments.csv {
        return output::print(&evidence::csv(&table).map_err(std::io::Error::other)?);
    }
    if arguments.markdown {
        return output::print(&evidence::markdown(&table));
    }
    output::answer(arguments.json, plain, || evidence::json(&table), |look| evidence::text(&table, look))
}
