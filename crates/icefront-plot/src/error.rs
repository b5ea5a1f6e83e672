//! What can go wrong while drawing.

/// Why a chart could not be drawn.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum PlotError {
    /// Nothing to draw: fewer than two times, or no points.
    #[error("{what}: too little to draw")]
    EmptySeries {
        /// Which series.
        what: &'static str,
    },
    /// A value is NaN or infinite.
    #[error("{what}: a value is not finite")]
    NotFinite {
        /// Which quantity.
        what: &'static str,
    },
    /// A value on a logarithmic axis is zero or below.
    #[error("{what}: a value is not above zero")]
    NotPositive {
        /// Which quantity.
        what: &'static str,
    },
    /// A label is too small for its text.
    #[error("the label `{what}` is too small for its text; take fewer columns or rows")]
    NoRoom {
        /// Its title.
        what: String,
    },
    /// The drawing backend failed.
    #[error("drawing failed: {reason}")]
    Draw {
        /// In the backend's words.
        reason: String,
    },
    /// The text to turn into a picture is not a usable SVG.
    #[error("not a usable SVG: {reason}")]
    BadSvg {
        /// In the reader's words.
        reason: String,
    },
    /// No picture of this width can be made.
    #[error("no picture {width_px} pixels wide (1 to {most_px})")]
    BadWidth {
        /// Requested width.
        width_px: u32,
        /// Widest possible.
        most_px: u32,
    },
    /// The picture could not be written as PNG.
    #[error("PNG not written: {reason}")]
    BadPng {
        /// In the encoder's words.
        reason: String,
    },
}

/// `value` if it is a number, else which quantity is not.
pub(crate) fn finite(what: &'static str, value: f64) -> Result<f64, PlotError> {
    if value.is_finite() { Ok(value) } else { Err(PlotError::NotFinite { what }) }
}
