//! A quantity that may not be known exactly.

use super::Spread;

/// A quantity, plain or with a distribution of its own; `I` says which quantity it is: a key of a sheet, a parameter of
/// the model.
///
/// ```
/// use icefront_core::ranges::{Point, Spread, Uncertain};
/// let depth_m = Uncertain::Given { id: "depth", spread: Spread::Between { low: 0.012, high: 0.018 } };
/// assert_eq!(depth_m.typical(), 0.015);
/// let point = Point::new(0, 1);
/// let drawn_m = depth_m.realise(|_| point.unit(0));
/// assert!((0.012..0.018).contains(&drawn_m));
/// assert_eq!(Uncertain::<&str>::Plain(0.015).realise(|_| 0.9), 0.015);
/// ```
#[derive(Clone, Debug, PartialEq)]
pub enum Uncertain<I> {
    /// A plain value, SI; the model's own distributions apply to it.
    Plain(f64),
    /// A distribution that was given, [`Spread::Fixed`] for a value known exactly; it takes the place of the model's.
    Given {
        /// Which quantity.
        id: I,
        /// Its distribution, SI.
        spread: Spread,
    },
}

impl<I> Uncertain<I> {
    /// The middle of the distribution, SI.
    pub fn typical(&self) -> f64 {
        match self {
            Self::Plain(value) => *value,
            Self::Given { spread, .. } => spread.typical(),
        }
    }

    /// The value of a draw, SI, in which an uncertain quantity has the number `unit` (0 to 1).
    pub fn realise(&self, unit: impl FnOnce(&I) -> f64) -> f64 {
        match self {
            Self::Plain(value) => *value,
            Self::Given { spread, .. } if spread.is_fixed() => spread.typical(),
            Self::Given { id, spread } => spread.quantile(unit(id)),
        }
    }
}
