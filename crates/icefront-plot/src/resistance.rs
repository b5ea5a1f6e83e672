//! What holds the drying back: shares of all resistances over the run, stacked.

use crate::axis::{Axis, HOUR_S};
use crate::error::{PlotError, all_finite, finite};
use crate::heading::HEAD_PX;
use crate::legend::{self, Entry, Key};
use crate::panel::{self, Panel};
use crate::style::stack_colour;

const LEAST_PANEL_PX: f64 = 260.0;

/// Shares of the resistances of one tray over time.
#[derive(Clone, Debug, PartialEq)]
pub struct ResistanceCourse {
    /// Name of the tray.
    pub tray: String,
    /// Times from the start of the run, h, rising.
    pub time_h: Vec<f64>,
    /// Resistances from the bottom of the stack to its top: name, and its share at each time (0 to 1, all together 1).
    pub shares: Vec<(String, Vec<f64>)>,
}

/// Draws the shares stacked over time as SVG; the legend tells each one's mean over the time shown.
///
/// # Errors
/// `EmptySeries` with fewer than two times, without shares, or where a row of shares is not as long as the times;
/// `NotFinite` if a value is not a number.
pub fn resistance_chart_svg(course: &ResistanceCourse) -> Result<String, PlotError> {
    let time_s = checked_s(course)?;
    let end_s = time_s.iter().copied().fold(0.0, f64::max);
    let means: Vec<f64> = course.shares.iter().map(|(_, shares)| mean(&time_s, shares)).collect();
    let mut entries: Vec<Entry> = course.shares.iter().zip(&means).enumerate().map(entry).collect();
    entries.reverse();

    let time = Axis::time(end_s)?;
    let percent = Axis::linear("Share of the resistance, %", (0.0, 100.0), 5)?;
    let panel = Panel::new(HEAD_PX, LEAST_PANEL_PX.max(legend::height_px(&entries)), &time, &percent);
    let panel = panel.with_remark("stacked");

    let remark = format!("share of the temperature between shelf and refrigerant that each takes · {}", course.tray);
    let mut canvas = panel::picture(&[&panel], &answer(course, &means), &remark)?;
    let mut floor: Vec<(f64, f64)> = time_s.iter().map(|t| (*t, 0.0)).collect();
    for (index, (name, shares)) in course.shares.iter().enumerate() {
        let roof: Vec<(f64, f64)> = floor.iter().zip(shares).map(|(f, share)| (f.0, f.1 + 100.0 * share)).collect();
        panel.draw_layer(&mut canvas, name, stack_colour(index), &floor, &roof)?;
        floor = roof;
    }
    legend::draw(&mut canvas, &entries, panel.top)?;
    Ok(canvas.finish())
}

/// Times in s, once all is found to fit together.
fn checked_s(course: &ResistanceCourse) -> Result<Vec<f64>, PlotError> {
    let fits = |shares: &Vec<f64>| shares.len() == course.time_h.len();
    if course.time_h.len() < 2 || course.shares.is_empty() || !course.shares.iter().all(|(_, shares)| fits(shares)) {
        return Err(PlotError::EmptySeries("resistances"));
    }
    all_finite("share", course.shares.iter().flat_map(|(_, shares)| shares.iter().copied()))?;
    course.time_h.iter().map(|&h| finite("time", h * HOUR_S)).collect()
}

/// Mean over time by the trapezium rule.
fn mean(time_s: &[f64], values: &[f64]) -> f64 {
    let pairs = time_s.windows(2).zip(values.windows(2));
    let (area, length) = pairs.fold((0.0, 0.0), |(area, length), (t, v)| {
        let step = t[1] - t[0];
        (area + step * (v[0] + v[1]) / 2.0, length + step)
    });
    if length > 0.0 { area / length } else { 0.0 }
}

fn entry((index, ((name, _), mean)): (usize, (&(String, Vec<f64>), &f64))) -> Entry {
    Entry::new(Key::Area(stack_colour(index)), name, &format!("{:.0} % on average", 100.0 * mean))
}

fn answer(course: &ResistanceCourse, means: &[f64]) -> String {
    let largest = course.shares.iter().zip(means).max_by(|a, b| a.1.total_cmp(b.1));
    largest
        .map_or(String::new(), |((name, _), mean)| format!("Largest resistance: {name}, {:.0} % of all", 100.0 * mean))
}
