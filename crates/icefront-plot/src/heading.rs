//! The two lines above every chart: the answer, and what belongs beside it.

use crate::canvas::{Canvas, Group};
use crate::error::PlotError;
use crate::font;
use crate::style::{EDGE_PX, HEADING, Letters, NOTE, PICTURE_WIDTH_PX};

/// Room for the heading, px from the picture's upper edge.
pub(crate) const HEAD_PX: f64 = 50.0;

/// A sheet that begins with the answer and the remark from `left_px` on, each cut to the picture's width.
pub(crate) fn begin(left_px: f64, height_px: f64, answer: &str, remark: &str) -> Result<Canvas, PlotError> {
    let fitted = |text: &str, letters: Letters| font::cut(text, letters.size_px, PICTURE_WIDTH_PX - EDGE_PX - left_px);
    let mut canvas = Canvas::new(height_px, answer);
    canvas.group(&Group::plain("heading"), |pen| {
        pen.text(&fitted(answer, HEADING), (left_px, 24.0), HEADING)?;
        pen.text(&fitted(remark, NOTE), (left_px, 42.0), NOTE)
    })?;
    Ok(canvas)
}
