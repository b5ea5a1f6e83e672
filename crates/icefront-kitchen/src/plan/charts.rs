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
    titles(run).iter().filter_map(|(file, _)| chart(file, run)).collect()
}

/// File names and titles of the charts that a run can have.
pub fn titles(run: &Run) -> Vec<(String, String)> {
    let fixed = [
        ("batch", "The batch over time"),
        ("drying", "How fast each tray dries"),
        ("machine", "Pressure and condenser"),
        ("power", "Electricity"),
    ];
    let worth = run.range.as_ref().map(|_| ("worth", "What each measurement is worth"));
    let mut all: Vec<(String, String)> =
        fixed.into_iter().chain(worth).map(|(file, title)| (file.into(), title.into())).collect();
    let load = &run.load;
    let trays = || load.trays.iter().enumerate();
    all.extend(trays().map(|(i, tray)| (tray_file(i), format!("Inside the food: {} ({})", tray.name, tray.food))));
    // one for each food
    let shown_before = |i: usize, food: &str| load.trays.iter().take(i).any(|other| other.food == food);
    let first = trays().filter(|(i, tray)| !shown_before(*i, &tray.food));
    all.extend(first.map(|(i, tray)| (usable_file(i), format!("Shelf and pressure: {} ({})", tray.name, tray.food))));
    all
}

/// The chart of this file name; `None` where there is nothing to show.
pub fn chart(file: &str, run: &Run) -> Option<Result<Chart, PlotError>> {
    let (_, title) = titles(run).into_iter().find(|(known, _)| known == file)?;
    let (load, result) = (&run.load, &run.result);
    let place = |prefix: &str| file.strip_prefix(prefix)?.parse::<usize>().ok()?.checked_sub(1);
    let svg = match file {
        "batch" => batch_chart_svg(result, &headline::of_charts(run)),
        "drying" => drying_chart_svg(result, &headline::of_charts(run)),
        "machine" => machine_chart_svg(result, &headline::of_charts(run)),
        "power" => power_chart_svg(result, &headline::of_charts(run)),
        "worth" => {
            let range = run.range.as_ref()?;
            narrowing_chart_svg(&best(load, range), &narrowing(load, range))
        }
        _ => match place(TRAY).and_then(|i| Some((i, load.trays.get(i)?))) {
            Some((i, tray)) => front_chart_svg(&tray.shape, result, i, load.units),
            None => {
                let i = place(USABLE)?;
                Usable::of(load, result, i).ok()?.chart(&load.trays.get(i)?.food)
            }
        },
    };
    match svg {
        Err(PlotError::EmptySeries(_)) => None,
        svg => Some(svg.map(|svg| Chart { file: file.into(), title, svg })),
    }
}

/// Before the number of a tray in the name of a file.
const TRAY: &str = "tray-";
const USABLE: &str = "usable-";

fn usable_file(index: usize) -> String {
    format!("{USABLE}{}", index + 1)
}

fn tray_file(index: usize) -> String {
    format!("{TRAY}{}", index + 1)
}
