//! One pair of axes: frame, few light lines, labels, and where a value stands on the sheet.

use crate::axis::Axis;
use crate::canvas::{Canvas, Group, Place};
use crate::error::PlotError;
use crate::font;
use crate::heading;
use crate::style::{Anchor, Colour, Dash, EDGE_PX, FRAME, GRID, LABEL, NOTE, PANEL_LEFT_PX, PANEL_RIGHT_PX, PAPER};

/// Room above a panel for its title, px.
const TITLE_ROOM_PX: f64 = 26.0;
/// Room below a panel for the labels of its lower axis, px.
const FOOT_ROOM_PX: f64 = 40.0;
/// Room between two panels that share their lower axis, px.
const GAP_PX: f64 = 12.0;

/// A picture of panels over the lower axis of the last of them, below the answer and a remark.
pub(crate) fn picture(panels: &[&Panel<'_>], answer: &str, remark: &str) -> Result<Canvas, PlotError> {
    let height_px = panels.last().map_or(0.0, |lowest| lowest.picture_end_px());
    let mut canvas = heading::begin(PANEL_LEFT_PX, height_px, answer, remark)?;
    panels.iter().try_for_each(|panel| panel.draw(&mut canvas))?;
    panels.last().map_or(Ok(()), |lowest| lowest.draw_foot(&mut canvas))?;
    Ok(canvas)
}

/// One pair of axes.
pub(crate) struct Panel<'a> {
    /// What a reader must know beside the title.
    pub remark: &'a str,
    pub left: f64,
    pub right: f64,
    pub top: f64,
    pub bottom: f64,
    pub x: &'a Axis,
    pub y: &'a Axis,
}

impl<'a> Panel<'a> {
    /// A panel of `height_px` whose title starts at `from_px`.
    pub(crate) fn new(from_px: f64, height_px: f64, x: &'a Axis, y: &'a Axis) -> Self {
        let top = from_px + TITLE_ROOM_PX;
        Self { remark: "", left: PANEL_LEFT_PX, right: PANEL_RIGHT_PX, top, bottom: top + height_px, x, y }
    }

    /// Another panel over the same lower axis.
    pub(crate) fn below(&self, height_px: f64, y: &'a Axis) -> Self {
        Self::new(self.bottom + GAP_PX, height_px, self.x, y)
    }

    pub(crate) fn with_remark(self, remark: &'a str) -> Self {
        Self { remark, ..self }
    }

    /// Where a picture ends whose lowest panel this is, px.
    pub(crate) fn picture_end_px(&self) -> f64 {
        self.bottom + FOOT_ROOM_PX + EDGE_PX
    }

    /// Where a pair of values stands; what lies outside the axes stands on the edge.
    pub(crate) fn at(&self, x: f64, y: f64) -> Place {
        let right = self.left + self.x.fraction(x).clamp(0.0, 1.0) * (self.right - self.left);
        let down = self.bottom - self.y.fraction(y).clamp(0.0, 1.0) * (self.bottom - self.top);
        (right, down)
    }

    /// Where a row of pairs of values stands.
    pub(crate) fn places(&self, points: &[(f64, f64)]) -> Vec<Place> {
        points.iter().map(|&(x, y)| self.at(x, y)).collect()
    }

    /// Draws an area between two rows of pairs of values, with a light line along its roof.
    pub(crate) fn draw_layer(
        &self,
        canvas: &mut Canvas,
        name: &str,
        colour: Colour,
        floor: &[(f64, f64)],
        roof: &[(f64, f64)],
    ) -> Result<(), PlotError> {
        let edge = self.places(roof);
        let outline: Vec<Place> = edge.iter().copied().chain(self.places(floor).into_iter().rev()).collect();
        canvas.group(&Group::series(name, Dash::Solid), |pen| {
            pen.area(&outline, colour)?;
            pen.line(&edge, PAPER, 1.0)
        })
    }

    /// Title, grid, frame and the labels of the upright axis.
    pub(crate) fn draw(&self, canvas: &mut Canvas) -> Result<(), PlotError> {
        canvas.group(&Group::plain("axis"), |pen| {
            let title_line = self.top - 10.0;
            pen.text(&self.y.title, (self.left, title_line), LABEL)?;
            let after_title = self.left + font::width_px(&self.y.title, LABEL.size_px) + 12.0;
            pen.text(self.remark, (after_title, title_line), NOTE)?;
            for tick in &self.y.ticks {
                let y = self.at(self.x.low, tick.value).1;
                pen.line(&[(self.left, y), (self.right, y)], GRID, 0.8)?;
                let beside = (self.left - 7.0, y + NOTE.half_capital_px());
                pen.text(&tick.label, beside, NOTE.anchored(Anchor::Right))?;
            }
            for tick in &self.x.ticks {
                let x = self.at(tick.value, self.y.low).0;
                pen.line(&[(x, self.bottom), (x, self.bottom + 4.0)], FRAME, 1.0)?;
            }
            pen.line(&[(self.left, self.bottom), (self.right, self.bottom)], FRAME, 1.0)
        })
    }

    /// The labels of the lower axis.
    pub(crate) fn draw_foot(&self, canvas: &mut Canvas) -> Result<(), PlotError> {
        canvas.group(&Group::plain("axis"), |pen| {
            for tick in &self.x.ticks {
                let x = self.at(tick.value, self.y.low).0;
                pen.text(&tick.label, (x, self.bottom + 17.0), NOTE.anchored(Anchor::Center))?;
            }
            let middle = ((self.left + self.right) / 2.0, self.bottom + 34.0);
            pen.text(&self.x.title, middle, LABEL.anchored(Anchor::Center))
        })
    }
}
