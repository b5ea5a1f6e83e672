//! Ways to do the same thing, side by side: hours and electricity, each with its range.

use crate::axis::Axis;
use crate::canvas::Group;
use crate::error::PlotError;
use crate::heading::{self, HEAD_PX};
use crate::rows::{RowPanel, Rows};
use crate::style::{Dash, EDGE_PX};

/// The column of names ends here, px.
const NAMES_RIGHT_PX: f64 = 210.0;
/// Edges of the two panels, px.
const HOURS_PX: (f64, f64) = (226.0, 486.0);
const ENERGY_PX: (f64, f64) = (522.0, 772.0);

/// One way to do it.
#[derive(Clone, Debug, PartialEq)]
pub struct ComparedVariant {
    /// Its name.
    pub name: String,
    /// Time, h: one in ten below, middle, one in ten above. Infinite: never.
    pub hours: [f64; 3],
    /// Electricity, kWh, likewise.
    pub kwh: [f64; 3],
    /// What else must be known of it.
    pub note: Option<String>,
}

/// Draws variants in rows as SVG: hours on the left, kWh on the right, the first one's middle marked down through all.
///
/// # Errors
/// `EmptySeries` without variants, `NotFinite` if a value is not a number, or nothing at all ever ends.
pub fn comparison_chart_svg(variants: &[ComparedVariant]) -> Result<String, PlotError> {
    let first = variants.first().ok_or(PlotError::EmptySeries("variants"))?;
    let hours = axis("Time, h", variants.iter().map(|v| v.hours))?;
    let kwh = axis("Electricity, kWh", variants.iter().map(|v| v.kwh))?;
    let names = variants.iter().map(|v| (v.name.as_str(), v.note.as_deref().unwrap_or("")));
    let rows = Rows::new(names, HEAD_PX, NAMES_RIGHT_PX);
    let hours_panel = RowPanel { rows: &rows, left: HOURS_PX.0, right: HOURS_PX.1, axis: &hours };
    let kwh_panel = RowPanel { rows: &rows, left: ENERGY_PX.0, right: ENERGY_PX.1, axis: &kwh };

    let mut canvas = heading::begin(EDGE_PX, rows.picture_end_px(), &answer(variants), &remark(variants))?;
    rows.draw(&mut canvas)?;
    for (panel, marked) in [(&hours_panel, first.hours[1]), (&kwh_panel, first.kwh[1])] {
        panel.draw(&mut canvas)?;
        if variants.len() > 1 && marked.is_finite() {
            canvas.group(&Group::dashed("reference", Dash::Dots), |pen| panel.mark(pen, marked))?;
        }
    }
    for (row, variant) in variants.iter().enumerate() {
        canvas.group(&Group { halo: true, ..Group::series(&variant.name, Dash::Solid) }, |pen| {
            hours_panel.range(pen, row, variant.hours, &words(variant.hours))?;
            kwh_panel.range(pen, row, variant.kwh, &words(variant.kwh))
        })?;
    }
    Ok(canvas.finish())
}

/// From nothing to the largest finite value.
fn axis(title: &'static str, ranges: impl Iterator<Item = [f64; 3]>) -> Result<Axis, PlotError> {
    let values: Vec<f64> = ranges.flatten().collect();
    let most = values.iter().copied().filter(|v| v.is_finite()).fold(0.0, f64::max);
    if values.iter().any(|v| v.is_nan() || *v < 0.0) || most <= 0.0 {
        return Err(PlotError::NotFinite(title));
    }
    Axis::linear(title, (0.0, most), 5)
}

/// `26.1 (21.0 to 33.5)`, or the one number where there is no range.
fn words(range: [f64; 3]) -> String {
    let [low, middle, high] = range.map(|v| if v.is_finite() { format!("{v:.1}") } else { "never".to_owned() });
    if low == high { middle } else { format!("{middle} ({low} to {high})") }
}

fn answer(variants: &[ComparedVariant]) -> String {
    let least = |of: fn(&ComparedVariant) -> f64| variants.iter().min_by(|a, b| of(a).total_cmp(&of(b)));
    let fastest = least(|v| v.hours[1]).map_or("", |v| &v.name);
    let thriftiest = least(|v| v.kwh[1]).map_or("", |v| &v.name);
    if fastest == thriftiest {
        format!("Shortest and least electricity: {fastest}")
    } else {
        format!("Shortest: {fastest} · least electricity: {thriftiest}")
    }
}

fn remark(variants: &[ComparedVariant]) -> String {
    let is_range = |range: [f64; 3]| range[0] < range[2];
    let ranges = variants.iter().any(|v| is_range(v.hours) || is_range(v.kwh));
    let meaning = if ranges { "dot: typical, bar: 8 times in 10" } else { "dot: typical numbers" };
    if variants.len() > 1 { format!("{meaning}, dotted line: the first row") } else { meaning.to_owned() }
}
