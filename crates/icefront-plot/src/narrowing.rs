//! What a measurement is worth: the range of the time now, and the range expected after measuring.

use crate::axis::Axis;
use crate::canvas::{Canvas, Group};
use crate::error::{PlotError, finite};
use crate::heading::{self, HEAD_PX};
use crate::rows::{BEHIND, RowPanel, Rows};
use crate::style::{Dash, EDGE_PX};
use crate::words::three_digits;

const NAMES_RIGHT_PX: f64 = 300.0;
const PANEL_PX: (f64, f64) = (320.0, 772.0);
/// Half the height of the bar behind, px.
const BEHIND_HALF_PX: f64 = 7.0;

/// One measurement. Times in h: one in ten below, middle, one in ten above.
#[derive(Clone, Debug, PartialEq)]
pub struct NarrowingBar {
    /// What is measured.
    pub measurement: String,
    /// Range before.
    pub now_h: (f64, f64, f64),
    /// Range expected after.
    pub after_h: (f64, f64, f64),
}

impl NarrowingBar {
    /// Share by which the range gets narrower, %.
    fn narrower_percent(&self) -> f64 {
        let (now, after) = (self.now_h.2 - self.now_h.0, self.after_h.2 - self.after_h.0);
        if now > 0.0 { 100.0 * (1.0 - after / now) } else { 0.0 }
    }
}

/// Draws measurements in rows as SVG: the range now behind the range expected after each.
///
/// # Errors
/// `EmptySeries` without measurements, `NotFinite` if a time is not a number.
pub fn narrowing_chart_svg(bars: &[NarrowingBar]) -> Result<String, PlotError> {
    let axis = axis(bars)?;
    let rows = Rows::new(bars.iter().map(|bar| (bar.measurement.as_str(), "")), HEAD_PX, NAMES_RIGHT_PX);
    let panel = RowPanel { rows: &rows, left: PANEL_PX.0, right: PANEL_PX.1, axis: &axis };

    let mut canvas = Canvas::new(rows.picture_end_px());
    let answer = answer(bars);
    heading::draw_from(
        EDGE_PX,
        &mut canvas,
        &answer,
        "light: range now, dark: range expected after, dot: middle; eight times in ten",
    )?;
    rows.draw(&mut canvas)?;
    panel.draw(&mut canvas)?;
    for (row, bar) in bars.iter().enumerate() {
        let [now, after] = [bar.now_h, bar.after_h].map(|(low, middle, high)| [low, middle, high]);
        let words = format!(
            "{} to {} h: {:.0} % narrower",
            three_digits(after[0]),
            three_digits(after[2]),
            bar.narrower_percent()
        );
        canvas.group(&Group { halo: true, ..Group::series(&bar.measurement, Dash::Solid) }, |pen| {
            panel.bar(pen, row, now, BEHIND, BEHIND_HALF_PX)?;
            panel.range(pen, row, after, &words)
        })?;
    }
    Ok(canvas.finish(&answer))
}

fn axis(bars: &[NarrowingBar]) -> Result<Axis, PlotError> {
    let values = || bars.iter().flat_map(|bar| [bar.now_h, bar.after_h]).flat_map(|(a, b, c)| [a, b, c]);
    values().try_for_each(|value| finite("time", value).map(drop))?;
    if bars.is_empty() {
        return Err(PlotError::EmptySeries { what: "measurements" });
    }
    let (least, most) = (values().fold(f64::INFINITY, f64::min), values().fold(f64::NEG_INFINITY, f64::max));
    Axis::linear("Food ready, h", (least, most), 8)
}

fn answer(bars: &[NarrowingBar]) -> String {
    let most = bars.iter().map(NarrowingBar::narrower_percent).fold(0.0, f64::max);
    format!("One measurement makes the range up to {most:.0} % narrower")
}
