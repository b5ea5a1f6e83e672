//! Which reading is wrong, if one is: transposed digits, another tray's weight, a number from the wrong line.
//!
//! # Main equations
//! With readings y, a line `level + slopes z` and covariance `V = slopes slopes^T + rest + errors`, each reading is predicted
//! from all others:
//! ```text
//! off_i = [V^-1 (y - level)]_i / sqrt([V^-1]_ii)                     standard normal if all is right
//! chance_i = sum over sizes k of w_k,-i 2 (1 - Phi(|off_i,k|)),      w_k,-i: weight of a size of the model error by the others
//! ```
//! A reading is taken for wrong where the smallest chance times the number of readings is below [`SUSPICIOUS`] (Bonferroni);
//! the others are judged again without it.
//!
//! # References
//! Cook and Weisberg 1982, Residuals and Influence in Regression, Sect. 2.2 (from memory).

use statrs::distribution::{ContinuousCDF, Normal};

use super::discrepancy::ReadingErrors;
use super::regression::Near;
use super::{Reading, log_sum};
use crate::numerics::linear::{Column, Matrix, Whitener};

/// Chance below which a reading is taken for wrong, all readings together.
pub(super) const SUSPICIOUS: f64 = 0.05;
/// At most one reading in so many is set aside, and always one.
const ONE_IN: usize = 4;

/// A reading that does not go with the others.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Wrong {
    /// Its place in the list of readings.
    pub place: usize,
    /// What the others say it should be, SI.
    pub expected: f64,
    /// Standard deviation of that, SI.
    pub deviation: f64,
    /// Chance of a reading as far off among so many.
    pub chance: f64,
}

/// The reading that goes worst with the others.
pub(super) fn worst(readings: &[Reading], near: &Near, errors: &ReadingErrors) -> Option<Wrong> {
    let n = readings.len();
    if n < 2 {
        return None;
    }
    let apart = Column::from_iterator(n, readings.iter().map(|r| r.value)) - &near.level;
    let spread = near.spread();
    let sizes: Vec<BySize> = errors.with(&spread).filter_map(|(w, v)| BySize::of(w, &v, &apart)).collect();
    let normal = Normal::standard();
    let one = |place: usize| {
        let logs: Vec<f64> = sizes.iter().map(|s| s.log_without(place)).collect();
        let total = log_sum(&logs);
        let weights = logs.iter().map(|log| (log - total).exp());
        let (mut chance, mut expected, mut deviation) = (0.0, 0.0, 0.0);
        for (size, weight) in sizes.iter().zip(weights) {
            let (off, sd) = (size.off[place], size.deviation[place]);
            chance += weight * 2.0 * normal.sf((off / sd).abs());
            expected += weight * (readings[place].value - off);
            deviation += weight * sd;
        }
        Wrong { place, expected, deviation, chance: (chance * n as f64).min(1.0) }
    };
    (0..n).map(one).min_by(|a, b| a.chance.total_cmp(&b.chance))
}

/// How many of some readings may be set aside.
pub(super) fn most(readings: usize) -> usize {
    (readings / ONE_IN).max(usize::from(readings > 2))
}

/// Readings predicted from all others, for one size of the model error.
struct BySize {
    /// Logarithm of the size's chance and of the density of all readings.
    log: f64,
    /// How far each reading is from what the others say.
    off: Vec<f64>,
    /// Standard deviation of that.
    deviation: Vec<f64>,
}

impl BySize {
    fn of(weight: f64, covariance: &Matrix, apart: &Column) -> Option<Self> {
        let n = apart.len();
        let whitener = Whitener::of(covariance)?;
        let root = whitener.whiten(&Matrix::identity(n, n))?;
        let white = whitener.whiten(&Matrix::from_column_slice(n, 1, apart.as_slice()))?;
        let inverse_apart = root.tr_mul(&white);
        let inverse_diagonal = |i: usize| root.column(i).norm_squared();
        let log = weight.ln() - whitener.log_determinant() - 0.5 * white.norm_squared();
        Some(Self {
            log,
            off: (0..n).map(|i| inverse_apart[i] / inverse_diagonal(i)).collect(),
            deviation: (0..n).map(|i| 1.0 / inverse_diagonal(i).sqrt()).collect(),
        })
    }

    /// Logarithm of the size's chance and of the density of the other readings.
    fn log_without(&self, place: usize) -> f64 {
        let sd = self.deviation[place];
        self.log + 0.5 * (self.off[place] / sd).powi(2) + sd.ln()
    }
}
