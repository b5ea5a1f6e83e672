//! Statistics over a group of rows, and over all predicted ranges.

use serde::{Deserialize, Serialize};

/// Summary of a group. Bias and spread are over the rows measured alike: fractions, or kelvin and the like.
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
    /// Mean deviation of the rows measured as a fraction.
    pub bias_frac: Option<f64>,
    /// Standard deviation of these.
    pub spread_frac: Option<f64>,
    /// Mean deviation of the rows measured in their own unit.
    pub bias_own_unit: Option<f64>,
    /// Standard deviation of these.
    pub spread_own_unit: Option<f64>,
    /// Row with the largest deviation over the allowed one.
    pub worst: String,
}

/// How often a published figure lies in its predicted 10 to 90 % range, and whether that agrees with four in five.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Coverage {
    /// Rows judged by their range, without those a default was set on.
    pub rows: usize,
    /// Of these inside.
    pub inside: usize,
    /// Median of high over low end of the ranges.
    pub median_span: f64,
    /// Probability of so few or fewer inside if four in five were right (one-sided binomial).
    pub chance_of_so_few: f64,
    /// Probability of so many or more.
    pub chance_of_so_many: f64,
}

/// Below this probability the ranges are rejected.
const REJECTED_BELOW: f64 = 0.05;

impl Coverage {
    /// Whether the ranges pass at 5 %.
    pub fn is_believed(&self) -> bool {
        self.chance_of_so_few >= REJECTED_BELOW
    }
}
