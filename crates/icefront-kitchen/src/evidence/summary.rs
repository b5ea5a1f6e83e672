//! Statistics over sets of rows.

use serde::{Deserialize, Serialize};

/// Summary of a group.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Summary {
    /// Group.
    pub group: String,
    /// Rows.
    pub rows: usize,
    /// Rows within their tolerance or range.
    pub near: usize,
    /// Rows that miss and are listed.
    pub known_misses: usize,
    /// The group judged as a whole, without rows that a default was set on.
    pub judged: Judged,
    /// Mean deviation of the rows measured in their own unit.
    pub bias_own_unit: Option<f64>,
    /// Standard deviation of these.
    pub spread_own_unit: Option<f64>,
    /// Row with the largest deviation over the allowed one.
    pub worst: String,
}

/// Published drying times as one set, by this version and by the first one.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct DryingTimes {
    /// Which of them.
    pub set: String,
    /// This version.
    pub now: Judged,
    /// The first version of the model on the same rows.
    pub first: Judged,
}

/// A set of rows judged as a whole.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Judged {
    /// Rows whose published and predicted figures can be divided: both above zero, no bound, not measured in kelvin or the
    /// like.
    pub ratios: usize,
    /// Geometric mean of published over predicted: below 1 where the model is too slow or too high.
    pub published_over_predicted: Option<f64>,
    /// Spread of that ratio as a factor: exp of the standard deviation of its logarithm.
    pub spread_factor: Option<f64>,
    /// Rows judged by a predicted 10 to 90 % range.
    pub ranges: usize,
    /// Of these the published figure is inside.
    pub inside: usize,
    /// Median of high over low end of the ranges.
    pub median_width: Option<f64>,
    /// Probability of so few or fewer inside if four in five were right (one-sided binomial); 1 without ranges.
    pub chance_of_so_few: f64,
    /// Probability of so many or more.
    pub chance_of_so_many: f64,
    /// Mean score (CRPS) of the logarithm over the rows that have samples: 0 is perfect, 0.1 about 10 % off.
    pub score: Option<f64>,
}

/// Below this probability the ranges are rejected.
const REJECTED_BELOW: f64 = 0.05;

impl Judged {
    /// Whether the ranges pass at 5 %.
    pub fn ranges_pass(&self) -> bool {
        self.chance_of_so_few >= REJECTED_BELOW
    }
}
