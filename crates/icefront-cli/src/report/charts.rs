//! All charts of one run, each with its file name and what it shows.

use icefront_core::load::Load;
use icefront_core::result::BatchResult;
use icefront_plot::{
    PlotError, batch_chart_svg, drying_chart_svg, front_chart_svg, machine_chart_svg, power_chart_svg,
};

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

/// File names of the charts of a load with this many trays.
pub fn chart_files(trays: usize) -> Vec<String> {
    let fixed = ["batch", "drying", "machine", "power"].map(String::from);
    fixed.into_iter().chain((0..trays).map(tray_file)).collect()
}

/// The charts in the order of [`chart_files`].
pub fn charts(load: &Load, result: &BatchResult) -> Result<Vec<Chart>, PlotError> {
    let mut charts = charts_of_run(result)?;
    for (index, tray) in load.trays.iter().enumerate() {
        let title = format!("Inside the food: {} ({})", tray.name, tray.food);
        charts.push(Chart { file: tray_file(index), title, svg: front_chart_svg(&tray.shape, result, index)? });
    }
    Ok(charts)
}

/// The charts of the run as a whole, without those of single trays.
pub fn charts_of_run(result: &BatchResult) -> Result<Vec<Chart>, PlotError> {
    let svgs = [
        ("The batch over time", batch_chart_svg(result)?),
        ("How fast each tray dries", drying_chart_svg(result)?),
        ("Pressure and condenser", machine_chart_svg(result)?),
        ("Electricity", power_chart_svg(result)?),
    ];
    let chart = |(file, (title, svg)): (String, (&str, String))| Chart { file, title: title.into(), svg };
    Ok(chart_files(0).into_iter().zip(svgs).map(chart).collect())
}

fn tray_file(index: usize) -> String {
    format!("tray-{}", index + 1)
}
