//! All charts of one run, each with its file name and what it shows.

use icefront_plot::{
    PlotError, batch_chart_svg, drying_chart_svg, front_chart_svg, machine_chart_svg, narrowing_chart_svg,
    power_chart_svg,
};

use crate::plan::narrowing::{best, narrowing};
use crate::plan::{Run, headline};
use crate::usable::Usable;

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

/// File names that the charts of a load with this many trays can have.
pub fn chart_files(trays: usize) -> Vec<String> {
    let fixed = ["batch", "drying", "machine", "power", "worth"].map(String::from);
    fixed.into_iter().chain((0..trays).flat_map(|tray| [tray_file(tray), usable_file(tray)])).collect()
}

/// The charts of a run, without those that have nothing to show: a run stopped early, or no range to narrow.
///
/// # Errors
/// What cannot be drawn.
pub fn charts(run: &Run) -> Result<Vec<Chart>, PlotError> {
    let (load, result) = (&run.load, &run.result);
    let mut all = of_run(run);
    let worth = run.range.as_ref().map(|range| narrowing_chart_svg(&best(load, range), &narrowing(load, range)));
    all.extend(worth.map(|svg| ("worth".into(), "What each measurement is worth".into(), svg)));
    for (index, tray) in load.trays.iter().enumerate() {
        let title = format!("Inside the food: {} ({})", tray.name, tray.food);
        all.push((tray_file(index), title, front_chart_svg(&tray.shape, result, index, load.units)));
    }
    // one for each food
    for (index, tray) in load.trays.iter().enumerate() {
        let shown_before = load.trays[..index].iter().any(|other| other.food == tray.food);
        if let Some(usable) = (!shown_before).then(|| Usable::of(load, result, index).ok()).flatten() {
            let title = format!("Shelf and pressure: {} ({})", tray.name, tray.food);
            all.push((usable_file(index), title, usable.chart(&tray.food)));
        }
    }
    drawn(all)
}

/// File name, title, and the picture or why there is none.
type Tried = (String, String, Result<String, PlotError>);

fn of_run(run: &Run) -> Vec<Tried> {
    let (result, headline) = (&run.result, headline::of_charts(run));
    vec![
        ("batch".into(), "The batch over time".into(), batch_chart_svg(result, &headline)),
        ("drying".into(), "How fast each tray dries".into(), drying_chart_svg(result, &headline)),
        ("machine".into(), "Pressure and condenser".into(), machine_chart_svg(result, &headline)),
        ("power".into(), "Electricity".into(), power_chart_svg(result, &headline)),
    ]
}

/// All that have something to show.
fn drawn(all: Vec<Tried>) -> Result<Vec<Chart>, PlotError> {
    let shown = all.into_iter().filter_map(|(file, title, svg)| match svg {
        Err(PlotError::EmptySeries(_)) => None,
        svg => Some(svg.map(|svg| Chart { file, title, svg })),
    });
    shown.collect()
}

fn usable_file(index: usize) -> String {
    format!("usable-{}", index + 1)
}

fn tray_file(index: usize) -> String {
    format!("tray-{}", index + 1)
}
