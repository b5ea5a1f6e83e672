//! Lines of a panel: trays carry numbers, other lines their names.

use crate::axis;
use crate::canvas::{Canvas, Group};
use crate::error::PlotError;
use crate::labels::number_places;
use crate::legend::{self, Key, LineEnd, NUMBER_RADIUS_PX};
use crate::panel::Panel;
use crate::style::{Colour, Dash, series_colour, series_dash};

const LINE_PX: f64 = 1.6;

/// One line in the units of its panel's axes.
#[derive(Clone)]
pub(crate) struct Line {
    pub name: String,
    pub points: Vec<(f64, f64)>,
    pub colour: Colour,
    pub dash: Dash,
    numbered: bool,
}

impl Line {
    /// Line of the tray at `index`.
    pub(crate) fn tray(index: usize, name: String, points: Vec<(f64, f64)>) -> Self {
        Self { name, points, colour: series_colour(index), dash: series_dash(index), numbered: true }
    }

    /// Any other line.
    pub(crate) fn named(name: &str, points: Vec<(f64, f64)>, colour: Colour, dash: Dash) -> Self {
        Self { name: name.to_owned(), points, colour, dash, numbered: false }
    }

    /// Its sign in a legend.
    pub(crate) fn key(&self) -> Key {
        Key::Line(self.colour, self.dash)
    }
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
        canvas.group(&Group::series(&line.name, line.dash), |pen| pen.line(places, line.colour, LINE_PX))?;
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
