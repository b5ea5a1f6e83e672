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
    let mut svgs = vec![
        ("The batch over time".to_string(), batch_chart_svg(result)?),
        ("How fast each tray dries".to_string(), drying_chart_svg(result)?),
        ("Pressure and condenser".to_string(), machine_chart_svg(result)?),
        ("Electricity".to_string(), power_chart_svg(result)?),
    ];
    for (index, tray) in load.trays.iter().enumerate() {
        let title = format!("Inside the food: {} ({})", tray.name, tray.food);
        svgs.push((title, front_chart_svg(&tray.shape, result, index)?));
    }
    let files = chart_files(load.trays.len());
    Ok(files.into_iter().zip(svgs).map(|(file, (title, svg))| Chart { file, title, svg }).collect())
}

fn tray_file(index: usize) -> String {
    format!("tray-{}", index + 1)
}
