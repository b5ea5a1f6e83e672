//! A normal distribution around the standard normal prior: narrower only in the few directions that readings spoke of.

use crate::numerics::linear::{Column, Matrix};

/// A direction in which more is known than before.
#[derive(Clone, Debug, PartialEq)]
pub struct Direction {
    /// Standard deviation left in it, 0 to 1; 1: nothing was learned.
    pub left: f64,
    /// The direction, of length 1.
    pub along: Vec<f64>,
}

/// What is believed of the unknowns, in coordinates in which the prior is standard normal.
///
/// ```text
/// z = m + (I - sum over k of (1 - left_k) v_k v_k^T) x,     x standard normal
/// ```
#[derive(Clone, Debug, PartialEq)]
pub struct Belief {
    /// Middle `m`.
    pub middle: Vec<f64>,
    /// Directions `v_k`, at right angles to each other, the best known first.
    pub directions: Vec<Direction>,
}

/// A direction with more than this left was not learned.
const NOT_LEARNED: f64 = 0.995;
/// No direction is adapted to less than this.
const LEAST_LEFT: f64 = 1e-3;

impl Belief {
    /// The prior of so many unknowns.
    pub fn prior(unknowns: usize) -> Self {
        Self { middle: vec![0.0; unknowns], directions: Vec::new() }
    }

    /// The prior after readings that depend on the unknowns by a straight line, `target = slopes z + e`, `e` standard
    /// normal (Bayes' rule for a linear model, by singular values).
    ///
    /// ```text
    /// slopes = U S V^T:   left_k = 1/sqrt(1 + s_k^2),   m = V S/(1 + S^2) U^T target
    /// ```
    pub(super) fn after(slopes: &Matrix, target: &Column) -> Self {
        let mut belief = Self::prior(slopes.ncols());
        if slopes.is_empty() {
            return belief;
        }
        let svd = slopes.clone().svd(true, true);
        let (Some(u), Some(v_t)) = (svd.u, svd.v_t) else { return belief };
        let mut found: Vec<(f64, usize)> = svd.singular_values.iter().copied().zip(0..).collect();
        found.sort_by(|a, b| b.0.total_cmp(&a.0).then(a.1.cmp(&b.1)));
        for (s, k) in found {
            let along: Vec<f64> = v_t.row(k).iter().copied().collect();
            let step = s / (1.0 + s * s) * u.column(k).dot(target);
            belief.middle.iter_mut().zip(&along).for_each(|(m, v)| *m += step * v);
            let left = 1.0 / (1.0 + s * s).sqrt();
            if left < NOT_LEARNED {
                belief.directions.push(Direction { left, along });
            }
        }
        belief
    }

    /// The normal distribution with middle and covariance of some draws.
    pub fn of_draws(draws: &[Vec<f64>]) -> Self {
        let count = draws.first().map_or(0, Vec::len);
        let share = 1.0 / draws.len().max(1) as f64;
        let mut belief = Self::prior(count);
        for draw in draws {
            belief.middle.iter_mut().zip(draw).for_each(|(m, z)| *m += share * z);
        }
        let away = Matrix::from_fn(count, draws.len(), |i, j| share.sqrt() * (draws[j][i] - belief.middle[i]));
        let mut found = principal_axes(&away);
        found.sort_by(|a, b| a.variance.total_cmp(&b.variance));
        for axis in found {
            let left = axis.variance.max(0.0).sqrt().clamp(LEAST_LEFT, 1.0);
            if left < NOT_LEARNED {
                belief.directions.push(Direction { left, along: axis.along.iter().copied().collect() });
            }
        }
        belief
    }

    /// The same belief, held less firmly: what is left grows by a factor.
    pub(super) fn widened(mut self, factor: f64) -> Self {
        for direction in &mut self.directions {
            direction.left = (direction.left * factor).min(1.0);
        }
        self
    }

    /// The coordinates that standard normal numbers stand for.
    pub fn draw(&self, standard: &[f64]) -> Vec<f64> {
        let mut z = self.scaled(standard, |left| left);
        z.iter_mut().zip(&self.middle).for_each(|(z, m)| *z += m);
        z
    }

    /// Logarithm of the density at `z` over that of the prior.
    pub(super) fn log_density_over_prior(&self, z: &[f64]) -> f64 {
        let away: Vec<f64> = z.iter().zip(&self.middle).map(|(z, m)| z - m).collect();
        let standard = self.scaled(&away, |left| 1.0 / left);
        let square = |x: &[f64]| x.iter().map(|x| x * x).sum::<f64>();
        let shrunk: f64 = self.directions.iter().map(|d| libm::log(d.left)).sum();
        0.5 * (square(z) - square(&standard)) - shrunk
    }

    /// Standard deviation of each unknown.
    pub fn deviations(&self) -> Vec<f64> {
        let variance = |i: usize| {
            1.0 - self.directions.iter().map(|d| (1.0 - d.left * d.left) * d.along[i] * d.along[i]).sum::<f64>()
        };
        (0..self.middle.len()).map(|i| variance(i).max(0.0).sqrt()).collect()
    }

    /// `x` with its part along each direction times a factor.
    fn scaled(&self, x: &[f64], factor: impl Fn(f64) -> f64) -> Vec<f64> {
        let mut scaled = x.to_vec();
        for direction in &self.directions {
            let part: f64 = direction.along.iter().zip(x).map(|(v, x)| v * x).sum();
            let change = (factor(direction.left) - 1.0) * part;
            scaled.iter_mut().zip(&direction.along).for_each(|(s, v)| *s += change * v);
        }
        scaled
    }
}

/// A principal axis of some draws: the variance along it, and its direction.
struct Axis {
    variance: f64,
    along: Column,
}

/// Principal axes of draws whose deviations from their mean are the columns of `away`. In a space without dimensions
/// (nothing was learned) there are none; the decomposition takes no empty matrix.
fn principal_axes(away: &Matrix) -> Vec<Axis> {
    if away.nrows() == 0 {
        return Vec::new();
    }
    let turned = (away * away.transpose()).symmetric_eigen();
    let column = |k: usize| turned.eigenvectors.column(k).into_owned();
    turned.eigenvalues.iter().enumerate().map(|(k, variance)| Axis { variance: *variance, along: column(k) }).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_belief_that_learned_nothing_stays_the_prior() {
        let prior = Belief::prior(2);
        assert_eq!(prior.draw(&[0.3, -1.0]), [0.3, -1.0]);
        assert_eq!(Belief::after(&Matrix::zeros(0, 2), &Column::zeros(0)), prior);
        assert_eq!(Belief::after(&Matrix::zeros(1, 0), &Column::zeros(1)), Belief::prior(0));
        assert_eq!(Belief::of_draws(&[]), Belief::prior(0));
        assert_eq!(Belief::of_draws(&[vec![], vec![]]), Belief::prior(0));
    }

    #[test]
    fn one_reading_of_one_unknown_is_the_textbook_case() {
        // prior N(0, 1), reading 3 with deviation 0.5: mean 3 * 4/5, deviation 1/sqrt(5)
        let belief = Belief::after(&Matrix::from_row_slice(1, 2, &[2.0, 0.0]), &Column::from_vec(vec![6.0]));
        approx::assert_relative_eq!(belief.middle[0], 2.4, max_relative = 1e-12);
        approx::assert_relative_eq!(belief.deviations()[0], 0.2_f64.sqrt(), max_relative = 1e-12);
        approx::assert_relative_eq!(belief.deviations()[1], 1.0, max_relative = 1e-12);
        // density of N(2.4, 1/5) over N(0, 1) at its middle: sqrt(5) exp(2.4^2/2)
        let at_middle = belief.log_density_over_prior(&[2.4, 0.7]);
        approx::assert_relative_eq!(at_middle, 0.5 * 5.0_f64.ln() + 0.5 * 2.4 * 2.4, max_relative = 1e-12);
    }

    #[test]
    fn draws_have_the_deviations_told() {
        let slopes = Matrix::from_row_slice(2, 3, &[1.0, 2.0, 0.5, -1.0, 0.3, 2.0]);
        let belief = Belief::after(&slopes, &Column::from_vec(vec![1.0, -2.0]));
        // the columns of the root are what unit numbers give; their squares sum to the variance
        let zero = belief.draw(&[0.0; 3]);
        let root: Vec<Vec<f64>> = (0..3)
            .map(|k| {
                let mut unit = [0.0; 3];
                unit[k] = 1.0;
                belief.draw(&unit).iter().zip(&zero).map(|(a, b)| a - b).collect()
            })
            .collect();
        for (i, expected) in belief.deviations().into_iter().enumerate() {
            let sum: f64 = root.iter().map(|column| column[i] * column[i]).sum();
            approx::assert_relative_eq!(sum.sqrt(), expected, max_relative = 1e-12);
        }
        // (I + B^T B)^-1 directly
        let covariance = (Matrix::identity(3, 3) + slopes.transpose() * &slopes).try_inverse().unwrap();
        approx::assert_relative_eq!(covariance[(1, 1)].sqrt(), belief.deviations()[1], max_relative = 1e-12);
    }
}
