//! What the lines, areas and points mean, in a column beside the panel.

use crate::canvas::{Canvas, Group, Pen, Place};
use crate::error::PlotError;
use crate::font;
use crate::labels::spread;
use crate::lines::Line;
use crate::markers::draw_marker;
use crate::style::{
    Anchor, Colour, Dash, EDGE_PX, FRAME, LABEL, LEGEND_LEFT_PX, Letters, NOTE, PANEL_RIGHT_PX, PICTURE_WIDTH_PX,
    series_colour,
};

/// Radius of a number on a line, px.
pub(crate) const NUMBER_RADIUS_PX: f64 = 7.5;
const KEY_PX: f64 = 22.0;
const LINE_PX: f64 = 14.0;
const ENTRY_GAP_PX: f64 = 6.0;

/// The sign that links a name to what is drawn.
pub(crate) enum Key {
    /// Tray number.
    Number(usize),
    /// Point of a group.
    Marker(usize),
    /// Filled area.
    Area(Colour),
    /// Line.
    Line(Colour, Dash),
}

/// One name with remarks below it.
pub(crate) struct Entry {
    key: Key,
    lines: Vec<(String, Letters)>,
}

impl Entry {
    /// A name on at most two lines, then one remark.
    pub(crate) fn new(key: Key, name: &str, remark: &str) -> Self {
        let room = PICTURE_WIDTH_PX - EDGE_PX - LEGEND_LEFT_PX - KEY_PX;
        let mut lines: Vec<_> = font::wrap(name, LABEL.size_px, room, 2).into_iter().map(|l| (l, LABEL)).collect();
        lines.extend(font::wrap(remark, NOTE.size_px, room, 2).into_iter().map(|l| (l, NOTE)));
        Self { key, lines }
    }

    fn height_px(&self) -> f64 {
        self.lines.len() as f64 * LINE_PX + ENTRY_GAP_PX
    }
}

/// Height of a whole legend, px.
pub(crate) fn height_px(entries: &[Entry]) -> f64 {
    entries.iter().map(Entry::height_px).sum()
}

/// Draws the entries one below the other from `top`.
pub(crate) fn draw(canvas: &mut Canvas, entries: &[Entry], top: f64) -> Result<(), PlotError> {
    let mut entry_top = top;
    for entry in entries {
        let dash = if let Key::Line(_, dash) = entry.key { dash } else { Dash::Solid };
        let group = Group::dashed("legend", dash);
        canvas.group(&group, |pen| {
            draw_key(pen, &entry.key, (LEGEND_LEFT_PX + 8.0, entry_top + LINE_PX / 2.0))?;
            for (row, (text, letters)) in entry.lines.iter().enumerate() {
                let baseline = entry_top + (row as f64 + 0.5) * LINE_PX + LABEL.half_capital_px();
                pen.text(text, (LEGEND_LEFT_PX + KEY_PX, baseline), *letters)?;
            }
            Ok(())
        })?;
        entry_top += entry.height_px();
    }
    Ok(())
}

fn draw_key(pen: &mut Pen<'_>, key: &Key, middle: Place) -> Result<(), PlotError> {
    let (x, y) = middle;
    match *key {
        Key::Number(index) => draw_number(pen, index, middle),
        Key::Marker(index) => draw_marker(pen, index, middle),
        Key::Area(colour) => pen.filled_box((x - 7.0, y - 6.0), (x + 7.0, y + 6.0), colour),
        Key::Line(colour, _) => pen.line(&[(x - 10.0, y), (x + 9.0, y)], colour, 1.5),
    }
}

/// The number of tray `index` in a ring of its colour.
pub(crate) fn draw_number(pen: &mut Pen<'_>, index: usize, middle: Place) -> Result<(), PlotError> {
    let letters = Letters { size_px: 9.5, ..LABEL }.anchored(Anchor::Center);
    pen.ring(middle, NUMBER_RADIUS_PX, series_colour(index))?;
    pen.text(&(index + 1).to_string(), (middle.0, middle.1 + letters.half_capital_px()), letters)
}

/// A line whose name stands right of the panel, and where it ends.
pub(crate) type LineEnd<'a> = (&'a Line, Place);

/// Names lines right of the panel, each with a leader from the line's end, kept apart between `room` (top and bottom).
pub(crate) fn label_ends(canvas: &mut Canvas, mut ends: Vec<LineEnd<'_>>, room: (f64, f64)) -> Result<(), PlotError> {
    ends.sort_by(|(_, a), (_, b)| a.1.total_cmp(&b.1));
    let wanted: Vec<(f64, f64)> = ends.iter().map(|(_, end)| (end.1, LINE_PX)).collect();
    let room = (room.0 - LINE_PX / 2.0, room.1 + LINE_PX / 2.0);
    for ((line, end), y) in ends.into_iter().zip(spread(&wanted, room, 1.0)) {
        canvas.group(&Group::plain("leader"), |pen| {
            pen.line(&[end, (PANEL_RIGHT_PX, end.1), (LEGEND_LEFT_PX - 4.0, y)], FRAME, 0.8)
        })?;
        canvas.group(&Group::dashed("legend", line.dash), |pen| {
            draw_key(pen, &line.key(), (LEGEND_LEFT_PX + 8.0, y))?;
            pen.text(&line.name, (LEGEND_LEFT_PX + KEY_PX, y + LABEL.half_capital_px()), LABEL)
        })?;
    }
    Ok(())
}
