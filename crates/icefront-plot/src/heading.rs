//! The two lines above every chart: the answer, and what belongs beside it.

use crate::canvas::{Canvas, Group};
use crate::error::PlotError;
use crate::font;
use crate::style::{EDGE_PX, HEADING, Letters, NOTE, PANEL_LEFT_PX, PICTURE_WIDTH_PX};

/// Room for the heading, px from the picture's upper edge.
pub(crate) const HEAD_PX: f64 = 50.0;

/// Draws the answer and the remark above a panel, each cut to the picture's width.
pub(crate) fn draw(canvas: &mut Canvas, answer: &str, remark: &str) -> Result<(), PlotError> {
    draw_from(PANEL_LEFT_PX, canvas, answer, remark)
}

/// The same from another left edge.
pub(crate) fn draw_from(left_px: f64, canvas: &mut Canvas, answer: &str, remark: &str) -> Result<(), PlotError> {
    let fitted = |text: &str, letters: Letters| font::cut(text, letters.size_px, PICTURE_WIDTH_PX - EDGE_PX - left_px);
    canvas.group(&Group::plain("heading"), |pen| {
        pen.text(&fitted(answer, HEADING), (left_px, 24.0), HEADING)?;
        pen.text(&fitted(remark, NOTE), (left_px, 42.0), NOTE)
    })
}
