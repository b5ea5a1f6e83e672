//! What a rough number means as a distribution.

use statrs::distribution::{ContinuousCDF, Normal};

use crate::food::Band;

/// Distribution of one number.
///
/// | kind | meaning |
/// | --- | --- |
/// | `Fixed` | known |
/// | `Between` | every value between the two is as likely (`12..18 mm`) |
/// | `GiveOrTake` | normal; one in ten lies below `typical - by`, one above `typical + by` (`15 mm +- 3 mm`) |
/// | `Factor` | two-sided log-normal; one in ten lies below `low`, one above `high`, half below `typical` (model parameters, `about`) |
///
/// Tails are cut at 1.6 times the distance to the one-in-ten points (two in a hundred lie at either end).
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Spread {
    /// One value.
    Fixed(f64),
    /// Uniform.
    Between {
        /// Lowest value.
        low: f64,
        /// Highest value.
        high: f64,
    },
    /// Normal.
    GiveOrTake {
        /// Median.
        typical: f64,
        /// Distance to the one-in-ten points.
        by: f64,
    },
    /// Log-normal with a width of its own on either side; all three numbers positive.
    Factor {
        /// One in ten is lower.
        low: f64,
        /// Median.
        typical: f64,
        /// One in ten is higher.
        high: f64,
    },
}

/// Standard normal at 0.9. Source: tables of the normal distribution.
const Z_NINE_IN_TEN: f64 = 1.281_551_565_5;
/// Tails are cut here, in distances to the one-in-ten points.
const TAIL: f64 = 1.6;

impl Spread {
    /// A model parameter's band; two-sided normal where a number is zero or negative (temperatures in degC).
    pub fn of_band(band: Band) -> Self {
        Self::Factor { low: band.low, typical: band.typical, high: band.high }
    }

    /// The middle of the distribution: half of all values lie below.
    pub fn typical(&self) -> f64 {
        match *self {
            Self::Fixed(value) => value,
            Self::Between { low, high } => 0.5 * (low + high),
            Self::GiveOrTake { typical, .. } | Self::Factor { typical, .. } => typical,
        }
    }

    /// Whether there is nothing to draw.
    pub fn is_fixed(&self) -> bool {
        matches!(self, Self::Fixed(_))
    }

    /// The value below which the share `u` (0 to 1) of all values lies.
    pub fn quantile(&self, u: f64) -> f64 {
        match *self {
            Self::Fixed(value) => value,
            Self::Between { low, high } => low + u * (high - low),
            Self::GiveOrTake { typical, by } => typical + tenths(u) * by,
            Self::Factor { low, typical, high } => {
                let z = tenths(u);
                let end = if z < 0.0 { low } else { high };
                if end > 0.0 && typical > 0.0 {
                    typical * libm::pow(end / typical, z.abs())
                } else {
                    typical + (end - typical) * z.abs()
                }
            }
        }
    }

    /// Lowest and highest value that can be drawn.
    pub fn ends(&self) -> (f64, f64) {
        (self.quantile(0.0), self.quantile(1.0))
    }
}

/// Normal quantile in distances to the one-in-ten points, tails cut.
fn tenths(u: f64) -> f64 {
    let z = match u {
        u if u <= 0.0 => f64::NEG_INFINITY,
        u if u < 1.0 => Normal::standard().inverse_cdf(u),
        u if u >= 1.0 => f64::INFINITY,
        // NaN stays what it is: the checks of the load refuse it
        _ => f64::NAN,
    };
    (z / Z_NINE_IN_TEN).clamp(-TAIL, TAIL)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn one_in_ten_points_and_median_are_where_they_are_said_to_be() {
        let cases = [
            (Spread::Between { low: 10.0, high: 20.0 }, 11.0, 15.0, 19.0),
            (Spread::GiveOrTake { typical: 15.0, by: 3.0 }, 12.0, 15.0, 18.0),
            (Spread::Factor { low: 1.2, typical: 2.5, high: 5.0 }, 1.2, 2.5, 5.0),
            (Spread::Factor { low: -25.0, typical: -15.0, high: -6.0 }, -25.0, -15.0, -6.0),
        ];
        for (spread, low, middle, high) in cases {
            approx::assert_relative_eq!(spread.quantile(0.1), low, max_relative = 1e-6);
            approx::assert_relative_eq!(spread.quantile(0.5), middle, max_relative = 1e-9);
            approx::assert_relative_eq!(spread.quantile(0.9), high, max_relative = 1e-6);
            assert_eq!(spread.typical(), middle);
        }
        let (low, high) = Spread::GiveOrTake { typical: 15.0, by: 3.0 }.ends();
        approx::assert_relative_eq!(high - low, 2.0 * 1.6 * 3.0, max_relative = 1e-12);
    }
}
