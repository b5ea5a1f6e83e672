//! Lines of a panel: trays carry numbers, other lines their names.

use crate::axis;
use crate::canvas::{Canvas, Group};
use crate::error::PlotError;
use crate::labels::number_places;
use crate::legend::{self, Key, LineEnd, NUMBER_RADIUS_PX};
use crate::panel::Panel;
use crate::style::{Colour, Dash, MUTED, series_colour, series_dash};

const LINE_PX: f64 = 1.6;
/// A line that shows something else by now.
const LATER_PX: f64 = 1.2;
/// Radius of the ring where it changes.
const CHANGE_PX: f64 = 3.0;

/// One line in the units of its panel's axes.
#[derive(Clone)]
pub(crate) struct Line {
    pub name: String,
    pub points: Vec<(f64, f64)>,
    pub colour: Colour,
    pub dash: Dash,
    numbered: bool,
    /// Where it begins to show something else.
    changes_at: Option<f64>,
}

impl Line {
    /// Line of the tray at `index`.
    pub(crate) fn tray(index: usize, name: String, points: Vec<(f64, f64)>) -> Self {
        Self { name, points, colour: series_colour(index), dash: series_dash(index), numbered: true, changes_at: None }
    }

    /// Any other line.
    pub(crate) fn named(name: &str, points: Vec<(f64, f64)>, colour: Colour, dash: Dash) -> Self {
        Self { name: name.to_owned(), points, colour, dash, numbered: false, changes_at: None }
    }

    /// The same line that shows something else from here on: it is drawn thin and dotted then, from a ring on.
    pub(crate) fn changing(self, at: Option<f64>) -> Self {
        Self { changes_at: at, ..self }
    }

    /// Its points before and after the change; both have the point of the change.
    fn parts(&self) -> [Vec<(f64, f64)>; 2] {
        let Some(at) = self.changes_at else { return [self.points.clone(), Vec::new()] };
        let split = self.points.partition_point(|point| point.0 < at);
        let (before, after) = self.points.split_at(split);
        // what it showed stays as it was last seen until then
        let change = match (before.last(), after.is_empty()) {
            (Some(last), false) => (at, last.1),
            _ => return [self.points.clone(), Vec::new()],
        };
        let with = |points: &[(f64, f64)], first: bool| {
            let (head, tail) = if first { (Some(change), None) } else { (None, Some(change)) };
            head.into_iter().chain(points.iter().copied()).chain(tail).collect()
        };
        [with(before, false), with(after, true)]
    }

    /// Its sign in a legend.
    pub(crate) fn key(&self) -> Key {
        Key::Line(self.colour, self.dash)
    }
}

/// What the two parts of a changing line are.
pub(crate) fn change_entries() -> [legend::Entry; 2] {
    [
        legend::Entry::new(Key::Line(MUTED, Dash::Solid), "while ice is left", "temperature of the ice"),
        legend::Entry::new(Key::Line(MUTED, Dash::Dots), "once it is gone", "temperature of the slowest spot"),
    ]
}

/// Lowest and highest value of all lines.
pub(crate) fn range(lines: &[Line]) -> (f64, f64) {
    axis::range(lines.iter().flat_map(|line| &line.points).map(|point| point.1))
}

/// Draws lines and the numbers of trays (which stand first); returns the ends of all other lines.
pub(crate) fn draw<'a>(
    canvas: &mut Canvas,
    panel: &Panel<'_>,
    lines: &'a [Line],
) -> Result<Vec<LineEnd<'a>>, PlotError> {
    let drawn: Vec<Vec<_>> = lines.iter().map(|line| panel.places(&line.points)).collect();
    let mut ends = Vec::new();
    for (line, places) in lines.iter().zip(&drawn) {
        let [before, after] = line.parts();
        canvas.group(&Group::series(&line.name, line.dash), |pen| {
            pen.line(&panel.places(&before), line.colour, LINE_PX)
        })?;
        if let Some(&(x, y)) = after.first() {
            canvas.group(&Group::dashed("later", Dash::Dots), |pen| {
                pen.line(&panel.places(&after), line.colour, LATER_PX)
            })?;
            canvas.group(&Group::plain("change"), |pen| pen.ring(panel.at(x, y), CHANGE_PX, line.colour))?;
        }
        if let (false, Some(&end)) = (line.numbered, places.last()) {
            ends.push((line, end));
        }
    }
    let trays = lines.iter().filter(|line| line.numbered).count();
    let numbers = number_places(&drawn, trays, NUMBER_RADIUS_PX, (panel.top, panel.bottom));
    canvas.group(&Group::plain("numbers"), |pen| {
        let placed = numbers.iter().enumerate().filter_map(|(index, place)| Some((index, (*place)?)));
        placed.into_iter().try_for_each(|(index, place)| legend::draw_number(pen, index, place))
    })?;
    Ok(ends)
}

/// Draws lines, and the names of those that are no trays right of the panel.
pub(crate) fn draw_named(canvas: &mut Canvas, panel: &Panel<'_>, lines: &[Line]) -> Result<(), PlotError> {
    let ends = draw(canvas, panel, lines)?;
    legend::label_ends(canvas, ends, (panel.top, panel.bottom))
}
