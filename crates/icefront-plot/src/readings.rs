//! A run under way: readings against the course predicted before and with them, and the ranges of its end before and with
//! them.

use crate::axis::{self, Axis, HOUR_S};
use crate::canvas::Group;
use crate::error::{PlotError, finite};
use crate::heading::{self, HEAD_PX};
use crate::legend::{self, Entry, Key};
use crate::lines::{self, Line};
use crate::markers::draw_marker;
use crate::panel::Panel;
use crate::rows::{RowPanel, Rows};
use crate::style::{Dash, MUTED, PANEL_LEFT_PX, PANEL_RIGHT_PX, series_colour};

const PANEL_PX: f64 = 170.0;
/// Room between the lower axis of the courses and the rows, px.
const GAP_PX: f64 = 56.0;
/// The names of the rows end here, their bars begin there, px.
const NAMES_RIGHT_PX: f64 = 150.0;
const BARS_LEFT_PX: f64 = 160.0;

/// What a chart of readings shows.
#[derive(Clone, Debug, PartialEq)]
pub struct ReadRun {
    /// The answer above the chart.
    pub answer: String,
    /// Kinds of readings; each has a panel of its own.
    pub panels: Vec<ReadPanel>,
    /// Times to come, each with its name and its ranges.
    pub ranges: Vec<SharpenedRange>,
}

/// Readings of one kind.
#[derive(Clone, Debug, PartialEq)]
pub struct ReadPanel {
    /// What was read, with its unit.
    pub title: String,
    /// Places where it was read.
    pub courses: Vec<ReadCourse>,
}

/// Readings at one place with their predicted courses: times in s from the start, values in the unit of the panel.
#[derive(Clone, Debug, PartialEq)]
pub struct ReadCourse {
    /// Name of the place.
    pub name: String,
    /// What was read.
    pub read: Vec<(f64, f64)>,
    /// Course by the sheet alone.
    pub before: Vec<(f64, f64)>,
    /// Course with the readings; empty where none is known.
    pub after: Vec<(f64, f64)>,
}

/// One in ten below, middle, one in ten above, s from the start; infinite: never.
#[derive(Clone, Debug, PartialEq)]
pub struct SharpenedRange {
    /// What happens then.
    pub name: String,
    /// By the sheet alone.
    pub before_s: [f64; 3],
    /// With the readings.
    pub after_s: [f64; 3],
}

/// Draws readings over their predicted courses, and below them the ranges of the end, as SVG.
///
/// # Errors
/// `EmptySeries` without readings or ranges, `NotFinite` if a value is not a number or nothing ever ends.
pub fn readings_chart_svg(run: &ReadRun) -> Result<String, PlotError> {
    run.check()?;
    let end_s =
        run.panels.iter().flat_map(|p| &p.courses).flat_map(ReadCourse::points).map(|p| p.0).fold(0.0, f64::max);
    let time = Axis::time(end_s)?;
    let drawn: Vec<Vec<Line>> = run.panels.iter().map(ReadPanel::lines).collect();
    let values = run.panels.iter().zip(&drawn).map(|(p, lines)| Axis::linear(p.title.clone(), p.range(lines), 5));
    let values: Vec<Axis> = values.collect::<Result<_, _>>()?;
    let mut panels: Vec<Panel<'_>> = Vec::new();
    for (value, panel) in values.iter().zip(&run.panels) {
        let height = PANEL_PX.max(legend::height_px(&panel.entries()));
        panels.push(match panels.last() {
            None => Panel::new(HEAD_PX, height, &time, value),
            Some(above) => above.below(height, value),
        });
    }
    let hours = run.hours()?;
    let from_px = panels.last().map_or(HEAD_PX, |last| last.bottom) + GAP_PX;
    let rows = Rows::new(run.ranges.iter().map(|r| (r.name.as_str(), "")), from_px, NAMES_RIGHT_PX);
    let bars = RowPanel { rows: &rows, left: BARS_LEFT_PX, right: PANEL_RIGHT_PX + 150.0, axis: &hours };

    let remark = "points: readings, dashes: by the sheet alone, lines: with the readings";
    let mut canvas = heading::begin(PANEL_LEFT_PX, rows.picture_end_px(), &run.answer, remark)?;
    for ((panel, lines), read) in panels.iter().zip(&drawn).zip(&run.panels) {
        panel.draw(&mut canvas)?;
        lines::draw(&mut canvas, panel, lines)?;
        for (index, course) in read.courses.iter().enumerate() {
            canvas.group(&Group::series(&course.name, Dash::Solid), |pen| {
                course.read.iter().try_for_each(|&(time_s, value)| draw_marker(pen, index, panel.at(time_s, value)))
            })?;
        }
        legend::draw(&mut canvas, &read.entries(), panel.top)?;
    }
    if let Some(last) = panels.last() {
        last.draw_foot(&mut canvas)?;
    }
    rows.draw(&mut canvas)?;
    bars.draw(&mut canvas)?;
    for (row, range) in run.ranges.iter().enumerate() {
        let [before, after] = [range.before_s, range.after_s].map(|r| r.map(|s| s / HOUR_S));
        bars.draw_row(&mut canvas, (row, &range.name), (before, after), &words(before, after))?;
    }
    Ok(canvas.finish())
}

/// `22.4 to 29.6 h; by the sheet alone 20.1 to 33.1 h`.
fn words(before: [f64; 3], after: [f64; 3]) -> String {
    let one = |[low, _, high]: [f64; 3]| {
        let high = if high.is_finite() { format!("{high:.1} h") } else { "never".to_owned() };
        format!("{low:.1} to {high}")
    };
    format!("{}; by the sheet alone {}", one(after), one(before))
}

impl ReadRun {
    fn check(&self) -> Result<(), PlotError> {
        let courses = || self.panels.iter().flat_map(|p| &p.courses);
        if courses().all(|c| c.read.is_empty()) {
            return Err(PlotError::EmptySeries("readings"));
        }
        if self.ranges.is_empty() {
            return Err(PlotError::EmptySeries("ranges"));
        }
        for (time_s, value) in courses().flat_map(ReadCourse::points) {
            finite("time", *time_s)?;
            finite("reading", *value)?;
        }
        Ok(())
    }

    /// The axis of the ranges; what never ends runs out of it.
    fn hours(&self) -> Result<Axis, PlotError> {
        const TITLE: &str = "Hours from the start; light: by the sheet alone, dark: with the readings; 8 times in 10";
        let times = || self.ranges.iter().flat_map(|r| [r.before_s, r.after_s]).flatten();
        let ends = || times().filter(|s| s.is_finite()).map(|s| s / HOUR_S);
        if times().any(f64::is_nan) || ends().next().is_none() {
            return Err(PlotError::NotFinite("range"));
        }
        let (first, last) = axis::range(ends());
        Axis::linear(TITLE, (first, last.max(0.0)), 8)
    }
}

impl ReadPanel {
    fn lines(&self) -> Vec<Line> {
        let both = |(index, course): (usize, &ReadCourse)| {
            let line =
                |points: &[(f64, f64)], dash| Line::named(&course.name, points.to_vec(), series_colour(index), dash);
            [line(&course.before, Dash::Short), line(&course.after, Dash::Solid)]
        };
        self.courses.iter().enumerate().flat_map(both).filter(|line| line.points.len() > 1).collect()
    }

    /// Lowest and highest value of courses and readings.
    fn range(&self, lines: &[Line]) -> (f64, f64) {
        let (low, high) = lines::range(lines);
        let read = || self.courses.iter().flat_map(|c| &c.read).map(|r| r.1);
        (read().fold(low, f64::min), read().fold(high, f64::max))
    }

    fn entries(&self) -> Vec<Entry> {
        let places = self.courses.iter().enumerate().map(|(i, c)| Entry::new(Key::Marker(i), &c.name, ""));
        let kinds = [(Dash::Short, "by the sheet alone"), (Dash::Solid, "with the readings")];
        let updated = self.courses.iter().any(|c| !c.after.is_empty());
        let kinds = kinds.into_iter().take(1 + usize::from(updated));
        places.chain(kinds.map(|(dash, name)| Entry::new(Key::Line(MUTED, dash), name, ""))).collect()
    }
}

impl ReadCourse {
    fn points(&self) -> impl Iterator<Item = &(f64, f64)> {
        self.read.iter().chain(&self.before).chain(&self.after)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn run() -> ReadRun {
        let course = |factor: f64| (0..30).map(|h| (f64::from(h) * HOUR_S, factor * f64::from(h))).collect::<Vec<_>>();
        let place = |name: &str, factor: f64| ReadCourse {
            name: name.to_owned(),
            read: vec![(10.0 * HOUR_S, 9.0 * factor), (14.0 * HOUR_S, 12.0 * factor)],
            before: course(factor),
            after: course(0.9 * factor),
        };
        let range = |name: &str, last_h: f64| SharpenedRange {
            name: name.to_owned(),
            before_s: [20.0, 26.0, last_h].map(|h| h * HOUR_S),
            after_s: [25.0, 27.0, 29.0].map(|h| h * HOUR_S),
        };
        let panel = |title: &str, courses| ReadPanel { title: title.into(), courses };
        ReadRun {
            answer: "Food ready after 25.0 to 29.0 h".to_owned(),
            panels: vec![
                panel(
                    "Water lost, g",
                    vec![place("tray 1, bean stew with potatoes", 40.0), place("tray 2, mango", 30.0)],
                ),
                panel("Electricity, kWh", vec![place("plug meter", 0.6)]),
            ],
            ranges: vec![range("last ice gone", 34.0), range("food ready", f64::INFINITY)],
        }
    }

    #[test]
    fn shows_readings_both_courses_and_both_ranges() {
        let svg = readings_chart_svg(&run()).unwrap();
        for text in [
            "Food ready after 25.0 to 29.0 h",
            "Water lost, g",
            "Electricity, kWh",
            "plug meter",
            "by the sheet alone",
            "with the readings",
            "25.0 to 29.0 h; by the sheet alone 20.0 to 34.0 h",
            "20.0 to never",
        ] {
            assert!(svg.contains(text), "`{text}` is missing");
        }
        // of three places two courses and the points, of two times a row
        assert_eq!(svg.matches("class=\"series\"").count(), 3 * 3 + 2);
        // without a course of its own the readings stand beside that of the sheet
        let mut untold = run();
        untold.panels.truncate(1);
        untold.panels[0].courses.iter_mut().for_each(|c| c.after.clear());
        let svg = readings_chart_svg(&untold).unwrap();
        assert_eq!(svg.matches("class=\"series\"").count(), 2 * 2 + 2);
    }

    #[test]
    fn too_little_and_impossible_values_are_refused() {
        assert_eq!(
            readings_chart_svg(&ReadRun { panels: Vec::new(), ..run() }),
            Err(PlotError::EmptySeries("readings"))
        );
        assert_eq!(readings_chart_svg(&ReadRun { ranges: Vec::new(), ..run() }), Err(PlotError::EmptySeries("ranges")));
        let mut bad = run();
        bad.panels[1].courses[0].read[1].1 = f64::NAN;
        assert_eq!(readings_chart_svg(&bad), Err(PlotError::NotFinite("reading")));
        let mut never = run();
        never.ranges.iter_mut().for_each(|r| (r.before_s, r.after_s) = ([f64::INFINITY; 3], [f64::INFINITY; 3]));
        assert_eq!(readings_chart_svg(&never), Err(PlotError::NotFinite("range")));
    }
}
