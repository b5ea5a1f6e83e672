//! How the readings of a run depend on its unknowns, from runs that are there anyway.
//!
//! # Main equations
//! Weighted ridge regression of each predicted reading on the unknowns z, whose prior is standard normal:
//! ```text
//! y = level + slopes z + rest,      slopes = (Z^T W Z + ridge I)^-1 Z^T W (y - mean)
//! ```
//! `Z`: unknowns less their weighted mean. What the line leaves over (the rest) is not error of the readings but curvature of
//! the model; its covariance is kept and counts wherever the line is used.
//!
//! # References
//! Hoerl and Kennard 1970, Technometrics 12, 55. Its use for updating an ensemble: van Leeuwen and Evensen 1996, Mon. Weather
//! Rev. 124, 2898. (Titles and pages from memory.)

use super::reweigh::Draw;
use crate::numerics::linear::{Column, Matrix, Whitener};

/// How the readings depend on the unknowns near some runs.
#[derive(Clone, Debug, PartialEq)]
pub struct Near {
    /// Readings at z = 0 by the straight line.
    pub(super) level: Column,
    /// Change of each reading with each unknown.
    pub(super) slopes: Matrix,
    /// Covariance of what the line leaves over.
    pub(super) rest: Matrix,
}

/// The ridge, as a share of the weight of all runs for each unknown: what is known of so many slopes by so few runs.
const RIDGE: f64 = 0.01;

impl Near {
    /// The line through weighted runs; weights sum to 1, `effective` says how many equal ones they count as. Runs in which a
    /// reading is no number are left out. `None` where too few are left.
    pub(super) fn through(draws: &[Draw], weights: &[f64], kept: &[usize], effective: f64) -> Option<Self> {
        let usable = |d: &&(&Draw, f64)| d.1 > 0.0 && kept.iter().all(|&k| d.0.predicted[k].is_finite());
        let all: Vec<(&Draw, f64)> = draws.iter().zip(weights.iter().copied()).collect();
        let used: Vec<&(&Draw, f64)> = all.iter().filter(usable).collect();
        let total: f64 = used.iter().map(|(_, w)| w).sum();
        let unknowns = used.first()?.0.unknowns.len();
        if total < 0.5 || used.len() < 8 {
            return None;
        }
        let roots: Vec<f64> = used.iter().map(|(_, w)| (w / total).sqrt()).collect();
        let mean = |of: &dyn Fn(&Draw) -> f64| used.iter().map(|(d, w)| w / total * of(d)).sum::<f64>();
        let z_mean = Column::from_fn(unknowns, |k, _| mean(&|d| d.unknowns[k]));
        let y_mean = Column::from_fn(kept.len(), |i, _| mean(&|d| d.predicted[kept[i]]));
        let z = Matrix::from_fn(used.len(), unknowns, |r, k| roots[r] * (used[r].0.unknowns[k] - z_mean[k]));
        let y = Matrix::from_fn(used.len(), kept.len(), |r, i| roots[r] * (used[r].0.predicted[kept[i]] - y_mean[i]));
        let normal = z.tr_mul(&z) + Matrix::identity(unknowns, unknowns) * RIDGE;
        let whitener = Whitener::of(&normal)?;
        let half = whitener.whiten(&z.tr_mul(&y))?;
        let by_unknown = whitener.whiten_transposed(&half)?;
        let off = &y - &z * &by_unknown;
        // slopes that runs were spent on make the rest look smaller than it is
        let free = (effective / (effective - unknowns as f64).max(0.25 * effective)).max(1.0);
        let rest = off.tr_mul(&off) * free;
        let slopes = by_unknown.transpose();
        Some(Self { level: y_mean - &slopes * z_mean, slopes, rest })
    }

    /// Covariance of the readings by the prior and the rest; errors come on top of it.
    pub(super) fn spread(&self) -> Matrix {
        &self.slopes * self.slopes.transpose() + &self.rest
    }
}
