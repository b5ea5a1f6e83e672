//! What can go wrong while a run is computed, as data.

use thiserror::Error;

/// The model could not give an answer.
#[derive(Clone, Debug, Error, PartialEq)]
#[non_exhaustive]
pub enum ModelError {
    /// An input lies outside what the model is valid for.
    #[error("{quantity} = {value} {unit} is outside {low} to {high} {unit}")]
    OutOfRange {
        /// Name of the quantity.
        quantity: &'static str,
        /// Its value, in `unit`.
        value: f64,
        /// Unit of `value`, `low` and `high`.
        unit: &'static str,
        /// Lowest valid value.
        low: f64,
        /// Highest valid value.
        high: f64,
    },
    /// An implicit step or a root search did not settle.
    #[error("{what} did not settle at {at_s} s: residual {residual}, limit {limit}")]
    NotConverged {
        /// What was being solved.
        what: &'static str,
        /// Model time, s.
        at_s: f64,
        /// Residual reached.
        residual: f64,
        /// Residual wanted.
        limit: f64,
    },
    /// A computed number that no run can have: a fault of the model, not of what it was given.
    #[error("the computed {quantity} of {value} {unit} is impossible (possible: {low} to {high} {unit})")]
    Impossible {
        /// Name of the quantity.
        quantity: &'static str,
        /// Its value, in `unit`.
        value: f64,
        /// Unit of `value`, `low` and `high`.
        unit: &'static str,
        /// Lowest possible value.
        low: f64,
        /// Highest possible value.
        high: f64,
    },
    /// A refrigeration whose hot side does not get rid of the compressor's heat.
    #[error(
        "the refrigeration cannot give its heat to the room, not even {limit_k:.0} K warmer than that: raise \
         `hot_side_conductance_w_per_k` of the dryer, or lower its `power_limit` and `loss`"
    )]
    HotSideTooSmall {
        /// How much warmer than the room the hot side may be, K.
        limit_k: f64,
    },
    /// Drawn quantities that contradict each other.
    #[error("the drawn quantities do not fit together")]
    Unfit,
    /// Nobody waits for the answer any more.
    #[error("stopped before it was done")]
    Stopped,
    /// A load without trays, a schedule without points.
    #[error("{what} is empty")]
    Empty {
        /// What was empty.
        what: &'static str,
    },
}

/// Refuses a value outside `low..=high` (and NaN).
///
/// # Errors
/// [`ModelError::OutOfRange`].
pub fn check(quantity: &'static str, value: f64, unit: &'static str, low: f64, high: f64) -> Result<f64, ModelError> {
    if value >= low && value <= high {
        Ok(value)
    } else {
        Err(ModelError::OutOfRange { quantity, value, unit, low, high })
    }
}
