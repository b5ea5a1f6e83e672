//! A logged batch as a straight line near some values of the unknowns.

use super::{Belief, chance_of_larger};
use crate::numerics::linear::{Column, Matrix, Whitener};

/// Degrees of freedom of the loss. Common choice; lower is more robust. From memory.
const NU: f64 = 4.0;

/// A batch near some z: whitened readings as a straight line of the shared unknowns.
pub(super) struct Line {
    /// Slopes by all shared unknowns.
    pub slopes: Matrix,
    /// Readings less the run at z.
    pub apart: Column,
    /// The z it was taken at.
    pub at: Column,
    /// What whitens the batch's readings.
    pub whitener: Whitener,
}

impl Line {
    /// Squared distance of the readings from the run.
    pub fn squared(&self) -> f64 {
        self.apart.norm_squared()
    }

    /// `slopes z` that fits the readings.
    pub fn target(&self) -> Column {
        &self.apart + &self.slopes * &self.at
    }

    /// D^2 of the readings with all shared unknowns at their prior.
    pub fn unlikely(&self) -> f64 {
        let n = self.apart.len();
        let covariance = Matrix::identity(n, n) + &self.slopes * self.slopes.transpose();
        Whitener::of(&covariance).map_or(f64::INFINITY, |w| w.squared_length(&self.target()))
    }

    /// Weight in the Student-t loss of a batch this far off.
    pub fn weight(&self, squared: f64) -> f64 {
        (NU + self.apart.len() as f64) / (NU + squared)
    }

    /// Chance of readings as far off under a belief that did not see them.
    pub fn chance_given(&self, belief: &Belief) -> f64 {
        let (covariance, apart) = self.given(belief);
        Whitener::of(&covariance).map_or(0.0, |w| chance_of_larger(w.squared_length(&apart), apart.len()))
    }

    /// Covariance and distance of the readings, whitened, under a belief that did not see them.
    pub fn given(&self, belief: &Belief) -> (Matrix, Column) {
        let n = self.apart.len();
        // columns of `slopes` times the root of the belief
        let unknowns = belief.middle.len();
        let zero = belief.draw(&vec![0.0; unknowns]);
        let mut root = Matrix::zeros(unknowns, unknowns);
        for k in 0..unknowns {
            let mut unit = vec![0.0; unknowns];
            unit[k] = 1.0;
            for (i, (a, b)) in belief.draw(&unit).iter().zip(&zero).enumerate() {
                root[(i, k)] = a - b;
            }
        }
        let spread = &self.slopes * root;
        let covariance = Matrix::identity(n, n) + &spread * spread.transpose();
        let apart = self.target() - &self.slopes * Column::from_vec(belief.middle.clone());
        (covariance, apart)
    }
}
