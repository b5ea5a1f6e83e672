//! The two lines above every chart: the answer, and what belongs beside it.

use crate::canvas::{Canvas, Group};
use crate::error::PlotError;
use crate::font;
use crate::style::{EDGE_PX, HEADING, Letters, NOTE, PANEL_LEFT_PX, PICTURE_WIDTH_PX};

/// Room for the heading, px from the picture's upper edge.
pub(crate) const HEAD_PX: f64 = 50.0;

/// Draws the answer and the remark, each cut to the picture's width.
pub(crate) fn draw(canvas: &mut Canvas, answer: &str, remark: &str) -> Result<(), PlotError> {
    let fitted =
        |text: &str, letters: Letters| font::cut(text, letters.size_px, PICTURE_WIDTH_PX - EDGE_PX - PANEL_LEFT_PX);
    canvas.group(&Group::plain("heading"), |pen| {
        pen.text(&fitted(answer, HEADING), (PANEL_LEFT_PX, 24.0), HEADING)?;
        pen.text(&fitted(remark, NOTE), (PANEL_LEFT_PX, 42.0), NOTE)
    })
}
