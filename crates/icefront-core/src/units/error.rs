//! Why a measured text was refused, as data: the reader of the message chooses the words.

use thiserror::Error;

/// A text that is not a quantity we can read.
#[derive(Clone, Debug, PartialEq, Eq, Error)]
#[non_exhaustive]
pub enum UnitError {
    /// There is no number at the start of the text, or of one of its parts.
    #[error("no number in `{text}`")]
    NoNumber {
        /// Text as given.
        text: String,
    },
    /// A number without a unit.
    #[error("`{text}` has no unit; {quantity} in {}", allowed.join(", "))]
    MissingUnit {
        /// Text as given.
        text: String,
        /// What was to be read, such as `length`.
        quantity: &'static str,
        /// Units that would do.
        allowed: Vec<&'static str>,
    },
    /// A unit that does not measure this quantity.
    #[error("`{unit}` in `{text}` is no unit of {quantity}; use {}", allowed.join(", "))]
    UnknownUnit {
        /// Text as given.
        text: String,
        /// The unit in it.
        unit: String,
        /// What was to be read.
        quantity: &'static str,
        /// Units that would do.
        allowed: Vec<&'static str>,
        /// The one that looks most like it, if any does.
        nearest: Option<&'static str>,
    },
    /// `nan`, `inf`, or a number too large to hold.
    #[error("`{text}` is not a finite number")]
    NotFinite {
        /// Text as given.
        text: String,
    },
    /// `1,5`: a comma may be a decimal mark or a thousands mark, so neither is read.
    #[error("`{text}` has a comma in its number; write a decimal point, no thousands mark")]
    Comma {
        /// Text as given.
        text: String,
    },
    /// A quantity that cannot be negative.
    #[error("`{text}`: {quantity} cannot be negative")]
    Negative {
        /// Text as given.
        text: String,
        /// What was to be read.
        quantity: &'static str,
    },
    /// A temperature below absolute zero.
    #[error("`{text}` is below absolute zero")]
    BelowAbsoluteZero {
        /// Text as given.
        text: String,
    },
    /// Several parts that do not add up to one quantity, such as two temperatures.
    #[error("`{text}` is more than one {quantity}")]
    MoreThanOne {
        /// Text as given.
        text: String,
        /// What was to be read.
        quantity: &'static str,
    },
}
