//! Ranges in rows: names on the left, bars over a lower axis on the right.

use crate::axis::Axis;
use crate::canvas::{Canvas, Group, Pen, Place};
use crate::error::PlotError;
use crate::font;
use crate::style::{
    Anchor, Colour, Dash, EDGE_PX, FRAME, GRID, INK, LABEL, Letters, NOTE, PAPER, PICTURE_WIDTH_PX, series_colour,
};

const LINE_PX: f64 = 14.0;
const ROW_GAP_PX: f64 = 10.0;
const LEAST_ROW_PX: f64 = 42.0;
const TITLE_ROOM_PX: f64 = 26.0;
const FOOT_ROOM_PX: f64 = 22.0;
/// Bars lie this much below the middle of their row, their words above them, px.
const BAR_DROP_PX: f64 = 7.0;
const WORDS_RISE_PX: f64 = 10.0;
const BAR_HALF_PX: f64 = 3.5;
const DOT_PX: f64 = 4.5;

/// Colour and half the height of a bar that stands behind another.
const BEHIND: Colour = Colour(203, 214, 229);
const BEHIND_HALF_PX: f64 = 7.0;

/// The names of rows, each with a note below it, all rows equally high.
pub(crate) struct Rows {
    names: Vec<Vec<(String, Letters)>>,
    row_px: f64,
    top: f64,
}

impl Rows {
    /// Rows of (name, note) from `from_px` on; the column of names ends at `right_px`.
    pub(crate) fn new<'a>(rows: impl Iterator<Item = (&'a str, &'a str)>, from_px: f64, right_px: f64) -> Self {
        let room = right_px - EDGE_PX;
        let lines = |(name, note): (&str, &str)| {
            let name = font::wrap(name, LABEL.size_px, room, 3).into_iter().map(|line| (line, LABEL));
            let note = font::wrap(note, NOTE.size_px, room, 2).into_iter().map(|line| (line, NOTE));
            name.chain(note).collect::<Vec<_>>()
        };
        let names: Vec<_> = rows.map(lines).collect();
        let most_lines = names.iter().map(Vec::len).max().unwrap_or(0);
        let row_px = LEAST_ROW_PX.max(most_lines as f64 * LINE_PX + ROW_GAP_PX);
        Self { names, row_px, top: from_px + TITLE_ROOM_PX }
    }

    fn bottom(&self) -> f64 {
        self.top + self.names.len() as f64 * self.row_px
    }

    fn bar_y(&self, row: usize) -> f64 {
        self.top + (row as f64 + 0.5) * self.row_px + BAR_DROP_PX
    }

    /// Where a picture ends whose lowest part these rows are, px.
    pub(crate) fn picture_end_px(&self) -> f64 {
        self.bottom() + FOOT_ROOM_PX + EDGE_PX
    }

    /// Draws the names, and a light line above each row across the picture.
    pub(crate) fn draw(&self, canvas: &mut Canvas) -> Result<(), PlotError> {
        canvas.group(&Group::plain("rows"), |pen| {
            for (row, lines) in self.names.iter().enumerate() {
                let row_top = self.top + row as f64 * self.row_px;
                pen.line(&[(EDGE_PX, row_top), (PICTURE_WIDTH_PX - EDGE_PX, row_top)], GRID, 0.8)?;
                let first = row_top + self.row_px / 2.0 - (lines.len() as f64 - 1.0) / 2.0 * LINE_PX;
                for (place, (text, letters)) in lines.iter().enumerate() {
                    let baseline = first + place as f64 * LINE_PX + letters.half_capital_px();
                    pen.text(text, (EDGE_PX, baseline), *letters)?;
                }
            }
            Ok(())
        })
    }
}

/// One column of bars beside the names.
pub(crate) struct RowPanel<'a> {
    pub rows: &'a Rows,
    pub left: f64,
    pub right: f64,
    pub axis: &'a Axis,
}

impl RowPanel<'_> {
    fn x(&self, value: f64) -> f64 {
        self.left + self.axis.fraction(value).clamp(0.0, 1.0) * (self.right - self.left)
    }

    /// Title, upright lines and tick labels.
    pub(crate) fn draw(&self, canvas: &mut Canvas) -> Result<(), PlotError> {
        let (top, bottom) = (self.rows.top, self.rows.bottom());
        canvas.group(&Group::plain("axis"), |pen| {
            pen.text(&self.axis.title, (self.left, top - 10.0), LABEL)?;
            for tick in &self.axis.ticks {
                let x = self.x(tick.value);
                pen.line(&[(x, top), (x, bottom)], GRID, 0.8)?;
                pen.text(&tick.label, (x, bottom + 17.0), NOTE.anchored(Anchor::Center))?;
            }
            pen.line(&[(self.left, bottom), (self.right, bottom)], FRAME, 1.0)
        })
    }

    /// A dotted line down through all rows.
    pub(crate) fn mark(&self, pen: &mut Pen<'_>, value: f64) -> Result<(), PlotError> {
        pen.line(&[(self.x(value), self.rows.top), (self.x(value), self.rows.bottom())], FRAME, 1.0)
    }

    /// A row of its own in the picture: a light bar behind, the bar of `range`, and its words.
    pub(crate) fn draw_row(
        &self,
        canvas: &mut Canvas,
        (row, name): (usize, &str),
        (behind, range): ([f64; 3], [f64; 3]),
        words: &str,
    ) -> Result<(), PlotError> {
        canvas.group(&Group { halo: true, ..Group::series(name, Dash::Solid) }, |pen| {
            self.bar(pen, row, behind, BEHIND, BEHIND_HALF_PX)?;
            self.range(pen, row, range, words)
        })
    }

    /// A bar from the first to the last of `range`; what has no end runs out of the panel with an arrow.
    fn bar(
        &self,
        pen: &mut Pen<'_>,
        row: usize,
        range: [f64; 3],
        colour: Colour,
        half_px: f64,
    ) -> Result<(), PlotError> {
        let y = self.rows.bar_y(row);
        let [low, _, high] = range;
        pen.filled_box((self.x(low), y - half_px), (self.x(high), y + half_px), colour)?;
        if high.is_finite() { Ok(()) } else { pen.area(&arrow((self.right, y), half_px), colour) }
    }

    /// The bar of `range` with a dot at its middle one, and `words` above the dot.
    pub(crate) fn range(&self, pen: &mut Pen<'_>, row: usize, range: [f64; 3], words: &str) -> Result<(), PlotError> {
        let colour = series_colour(0);
        self.bar(pen, row, range, colour, BAR_HALF_PX)?;
        let (x, y) = (self.x(range[1]), self.rows.bar_y(row));
        if range[1].is_finite() {
            pen.disc((x, y), DOT_PX + 1.2, PAPER)?;
            pen.disc((x, y), DOT_PX, colour)?;
        }
        let half_width = font::width_px(words, NOTE.size_px) / 2.0;
        let middle = x.min(PICTURE_WIDTH_PX - EDGE_PX - half_width).min(self.right + 20.0 - half_width);
        let middle = middle.max(self.left + half_width);
        pen.text(words, (middle, y - WORDS_RISE_PX), NOTE.coloured(INK).anchored(Anchor::Center))
    }
}

/// A head that points right, its foot at `at`.
fn arrow(at: Place, half_px: f64) -> [Place; 3] {
    let (x, y) = at;
    [(x - 1.0, y - 2.0 * half_px), (x + 3.0 * half_px, y), (x - 1.0, y + 2.0 * half_px)]
}
