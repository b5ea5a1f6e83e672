//! How far off the end of finished batches was predicted: by the dryer as entered, and learned from all other batches.

use crate::axis::{self, Axis};
use crate::canvas::Group;
use crate::error::{PlotError, all_finite};
use crate::heading::HEAD_PX;
use crate::legend::{self, Entry, Key};
use crate::markers::draw_marker;
use crate::panel::{self, Panel};
use crate::style::{Dash, MUTED, PANEL_LEFT_PX, PANEL_RIGHT_PX};
use crate::words::three_digits;

/// Below this mean distance hours are written as minutes, h.
const IN_MINUTES_H: f64 = 1.5;

/// One finished batch. Times from the start, h.
#[derive(Clone, Debug, PartialEq)]
pub struct FinishedBatch {
    /// When the end was noted.
    pub noted_h: f64,
    /// When the dryer as entered would have ended.
    pub as_entered_h: f64,
    /// When the dryer learned from all other batches would have ended.
    pub from_others_h: f64,
}

/// Name, remark, and the predicted end of a batch, h.
type Predictions = (&'static str, &'static str, fn(&FinishedBatch) -> f64);

/// Draws predicted over noted ends of batches as SVG, before and after learning, with the line of agreement.
///
/// # Errors
/// `EmptySeries` without batches, `NotFinite` if a time is not a number.
pub fn accuracy_chart_svg(batches: &[FinishedBatch]) -> Result<String, PlotError> {
    let range_h = range_h(batches)?;
    let noted = Axis::linear("end as noted, h", range_h, 8)?;
    let predicted = Axis::linear("End as predicted, h", range_h, 8)?;
    let panel = Panel::new(HEAD_PX, PANEL_RIGHT_PX - PANEL_LEFT_PX, &noted, &predicted);
    let groups: [Predictions; 2] = [
        ("as entered", "before learning", |b| b.as_entered_h),
        ("learned", "each batch from all others", |b| b.from_others_h),
    ];
    let off = groups.map(|(.., of)| off_h(batches, of));
    let mut entries: Vec<Entry> = groups
        .iter()
        .enumerate()
        .map(|(index, (name, remark, _))| Entry::new(Key::Marker(MARKERS[index]), name, remark))
        .collect();
    entries.push(Entry::new(Key::Line(MUTED, Dash::Solid), "equal", ""));

    let answer = format!("The end was {} off as entered, {} once learned", hours(off[0]), hours(off[1]));
    let remark = format!("mean of {} batches whose end was noted", batches.len());
    let mut canvas = panel::picture(&[&panel], &answer, &remark)?;
    let equal = panel.places(&[(noted.low, noted.low), (noted.high, noted.high)]);
    canvas.group(&Group::dashed("reference", Dash::Solid), |pen| pen.line(&equal, MUTED, 1.0))?;
    for (index, (name, _, of)) in groups.iter().enumerate() {
        canvas.group(&Group::series(name, Dash::Solid), |pen| {
            batches.iter().try_for_each(|b| draw_marker(pen, MARKERS[index], panel.at(b.noted_h, of(b))))
        })?;
    }
    legend::draw(&mut canvas, &entries, panel.top)?;
    Ok(canvas.finish())
}

/// Open round points before, filled ones after.
const MARKERS: [usize; 2] = [5, 0];

/// Both axes span all times.
fn range_h(batches: &[FinishedBatch]) -> Result<(f64, f64), PlotError> {
    let times_h = || batches.iter().flat_map(|b| [b.noted_h, b.as_entered_h, b.from_others_h]);
    all_finite("time", times_h())?;
    if batches.is_empty() {
        return Err(PlotError::EmptySeries("batches"));
    }
    Ok(axis::range(times_h()))
}

/// Mean distance from what was noted, h.
fn off_h(batches: &[FinishedBatch], of: impl Fn(&FinishedBatch) -> f64) -> f64 {
    batches.iter().map(|b| (of(b) - b.noted_h).abs()).sum::<f64>() / batches.len() as f64
}

fn hours(time_h: f64) -> String {
    if time_h < IN_MINUTES_H { format!("{:.0} min", 60.0 * time_h) } else { format!("{} h", three_digits(time_h)) }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn batches() -> Vec<FinishedBatch> {
        [20.0, 24.0, 31.0]
            .map(|noted_h| FinishedBatch { noted_h, as_entered_h: noted_h - 3.0, from_others_h: noted_h + 0.5 })
            .to_vec()
    }

    #[test]
    fn tells_both_distances_and_draws_every_batch_twice() {
        let svg = accuracy_chart_svg(&batches()).unwrap();
        assert!(svg.contains("<title>The end was 3.00 h off as entered, 30 min once learned</title>"), "{svg}");
        for text in ["as entered", "learned", "equal", "end as noted, h", "mean of 3 batches"] {
            assert!(svg.contains(text), "`{text}` is missing");
        }
        assert_eq!(svg.matches("class=\"series\"").count(), 2);
        // of each batch a rim, a disc and, before learning, a hole; the same in the legend
        assert_eq!(svg.matches("<polygon").count(), (3 + 1) * (3 + 2));
    }

    #[test]
    fn too_little_and_impossible_values_are_refused() {
        assert_eq!(accuracy_chart_svg(&[]), Err(PlotError::EmptySeries("batches")));
        let mut bad = batches();
        bad[1].from_others_h = f64::INFINITY;
        assert_eq!(accuracy_chart_svg(&bad), Err(PlotError::NotFinite("time")));
        // one batch has no span of its own
        assert!(accuracy_chart_svg(&[FinishedBatch { noted_h: 9.0, as_entered_h: 9.0, from_others_h: 9.0 }]).is_ok());
    }
}
