//! All charts of one run, each with its file name and what it shows.

use icefront_core::load::Load;
use icefront_core::result::BatchResult;
use icefront_plot::{
    PlotError, batch_chart_svg, drying_chart_svg, front_chart_svg, machine_chart_svg, narrowing_chart_svg,
    power_chart_svg,
};

use super::narrowing::narrowing;
use super::range::Range;

/// One chart.
#[derive(Clone, Debug)]
pub struct Chart {
    /// Its name as a file, without an ending.
    pub file: String,
    /// What it shows.
    pub title: String,
    /// The picture.
    pub svg: String,
}

impl Chart {
    fn new(file: impl Into<String>, title: impl Into<String>, svg: String) -> Self {
        Self { file: file.into(), title: title.into(), svg }
    }
}

/// File names that the charts of a load with this many trays can have.
pub fn chart_files(trays: usize) -> Vec<String> {
    let fixed = ["batch", "drying", "machine", "power", "worth"].map(String::from);
    fixed.into_iter().chain((0..trays).map(tray_file)).collect()
}

/// The charts of a run; what measurements are worth is shown where there is a range to narrow.
///
/// # Errors
/// What cannot be drawn.
pub fn charts(load: &Load, result: &BatchResult, range: Option<&Range>) -> Result<Vec<Chart>, PlotError> {
    let mut all = vec![
        Chart::new("batch", "The batch over time", batch_chart_svg(result)?),
        Chart::new("drying", "How fast each tray dries", drying_chart_svg(result)?),
        Chart::new("machine", "Pressure and condenser", machine_chart_svg(result)?),
        Chart::new("power", "Electricity", power_chart_svg(result)?),
    ];
    let bars = range.map_or_else(Vec::new, |range| narrowing(load, range));
    if !bars.is_empty() {
        all.push(Chart::new("worth", "What each measurement is worth", narrowing_chart_svg(&bars)?));
    }
    for (index, tray) in load.trays.iter().enumerate() {
        let title = format!("Inside the food: {} ({})", tray.name, tray.food);
        all.push(Chart::new(tray_file(index), title, front_chart_svg(&tray.shape, result, index)?));
    }
    Ok(all)
}

fn tray_file(index: usize) -> String {
    format!("tray-{}", index + 1)
}
