//! What can go wrong while drawing.

/// Why a chart could not be drawn.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum PlotError {
    /// Nothing to draw in this series: fewer than two times, or no points.
    #[error("{0}: too little to draw")]
    EmptySeries(&'static str),
    /// A value of this quantity is NaN or infinite.
    #[error("{0}: a value is not finite")]
    NotFinite(&'static str),
    /// A value of this quantity, on a logarithmic axis, is zero or below.
    #[error("{0}: a value is not above zero")]
    NotPositive(&'static str),
    /// The label of this title is too small for its text.
    #[error("the label `{0}` is too small for its text; take fewer columns or rows")]
    NoRoom(String),
    /// The drawing backend failed, in its words.
    #[error("drawing failed: {0}")]
    Draw(String),
    /// The text to turn into a picture is not a usable SVG, in the reader's words.
    #[error("not a usable SVG: {0}")]
    BadSvg(String),
    /// No picture of this width can be made.
    #[error("no picture {width_px} pixels wide (1 to {most_px})")]
    BadWidth {
        /// Requested width.
        width_px: u32,
        /// Widest possible.
        most_px: u32,
    },
    /// The picture could not be written as PNG, in the encoder's words.
    #[error("PNG not written: {0}")]
    BadPng(String),
}

/// `value` if it is a number, else which quantity is not.
pub(crate) fn finite(what: &'static str, value: f64) -> Result<f64, PlotError> {
    if value.is_finite() { Ok(value) } else { Err(PlotError::NotFinite(what)) }
}

/// Nothing, if all of `values` are numbers.
pub(crate) fn all_finite(what: &'static str, values: impl IntoIterator<Item = f64>) -> Result<(), PlotError> {
    values.into_iter().try_for_each(|value| finite(what, value).map(drop))
}
