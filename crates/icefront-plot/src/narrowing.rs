//! What a measurement is worth: the range of the time now, and the range expected after measuring.

use crate::axis::{self, Axis};
use crate::error::{PlotError, all_finite};
use crate::heading::{self, HEAD_PX};
use crate::rows::{RowPanel, Rows};
use crate::style::EDGE_PX;

const NAMES_RIGHT_PX: f64 = 300.0;
const PANEL_PX: (f64, f64) = (320.0, 772.0);
const REMARK: &str = "light: range now, dark: range expected after, dot: typical; 8 times in 10";

/// One measurement. Times in h: one in ten below, middle, one in ten above.
#[derive(Clone, Debug, PartialEq)]
pub struct NarrowingBar {
    /// What is measured.
    pub measurement: String,
    /// Range before.
    pub now_h: (f64, f64, f64),
    /// Range expected after.
    pub after_h: (f64, f64, f64),
    /// By how much it gets narrower, in words.
    pub gain: String,
}

/// Draws measurements in rows as SVG: the range now behind the range expected after each.
///
/// # Errors
/// `EmptySeries` without measurements, `NotFinite` if a time is not a number.
pub fn narrowing_chart_svg(answer: &str, bars: &[NarrowingBar]) -> Result<String, PlotError> {
    let hours = hours(bars)?;
    let rows = Rows::new(bars.iter().map(|bar| (bar.measurement.as_str(), "")), HEAD_PX, NAMES_RIGHT_PX);
    let panel = RowPanel { rows: &rows, left: PANEL_PX.0, right: PANEL_PX.1, axis: &hours };

    let mut canvas = heading::begin(EDGE_PX, rows.picture_end_px(), answer, REMARK)?;
    rows.draw(&mut canvas)?;
    panel.draw(&mut canvas)?;
    for (row, bar) in bars.iter().enumerate() {
        let [now, after] = [bar.now_h, bar.after_h].map(|(low, middle, high)| [low, middle, high]);
        let words = format!("{:.1} to {:.1} h: {}", after[0], after[2], bar.gain);
        panel.draw_row(&mut canvas, (row, &bar.measurement), (now, after), &words)?;
    }
    Ok(canvas.finish())
}

fn hours(bars: &[NarrowingBar]) -> Result<Axis, PlotError> {
    let values = || bars.iter().flat_map(|bar| [bar.now_h, bar.after_h]).flat_map(|(a, b, c)| [a, b, c]);
    all_finite("time", values())?;
    if bars.is_empty() {
        return Err(PlotError::EmptySeries("measurements"));
    }
    Axis::linear("Food ready, h", axis::range(values()), 8)
}
