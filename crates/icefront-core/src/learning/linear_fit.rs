//! A straight line through draws: how the readings depend on the unknowns near where the weight lies.

use crate::numerics::linear::{Column, Matrix};

/// `y = level + slopes z` with what scatters around it.
#[derive(Clone, Debug)]
pub struct LinearFit {
    /// Readings at z = 0.
    pub level: Column,
    /// Change of each reading with each unknown.
    pub slopes: Matrix,
    /// Covariance of what the line leaves unexplained.
    pub scatter: Matrix,
}

/// Weight, in draws, of the prior belief that nothing depends on anything: keeps few draws from being over-read.
const RIDGE_DRAWS: f64 = 1.0;
/// The scatter counts at most this often more for the unknowns that were fitted with it.
const MOST_INFLATION: f64 = 4.0;

impl LinearFit {
    /// Ridge regression of weighted draws (unknowns, readings); weights sum to 1. `None` without draws.
    pub fn through(draws: &[(&[f64], &[f64])], weights: &[f64]) -> Option<Self> {
        let (z, y) = draws.first()?;
        let (unknowns, readings) = (z.len(), y.len());
        let mean = |of: fn(&(&[f64], &[f64])) -> Vec<f64>, length: usize| {
            let mut sum = Column::zeros(length);
            for (draw, w) in draws.iter().zip(weights) {
                sum += *w * Column::from_vec(of(draw));
            }
            sum
        };
        let (mean_z, mean_y) = (mean(|d| d.0.to_vec(), unknowns), mean(|d| d.1.to_vec(), readings));
        let root: Vec<f64> = weights.iter().map(|w| w.sqrt()).collect();
        let from_z = Matrix::from_fn(draws.len(), unknowns, |i, k| root[i] * (draws[i].0[k] - mean_z[k]));
        let to_y = Matrix::from_fn(draws.len(), readings, |i, k| root[i] * (draws[i].1[k] - mean_y[k]));
        let effective = 1.0 / weights.iter().map(|w| w * w).sum::<f64>();
        let normal = from_z.transpose() * &from_z + Matrix::identity(unknowns, unknowns) * (RIDGE_DRAWS / effective);
        let slopes_t = normal.cholesky()?.solve(&(from_z.transpose() * &to_y));
        let rest = &to_y - &from_z * &slopes_t;
        let inflation = (effective / (effective - unknowns as f64).max(1.0)).clamp(1.0, MOST_INFLATION);
        let slopes = slopes_t.transpose();
        Some(Self { level: mean_y - &slopes * mean_z, slopes, scatter: rest.transpose() * &rest * inflation })
    }
}
