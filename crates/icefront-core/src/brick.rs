//! When a front that moves in from all faces of a brick reaches its middle.
//!
//! # Main equations
//! In units of half the least edge `R`: half edges 1, `b1`, `b2`; `Bi` conductance of the surface over that of `R` of
//! what the front has passed. In `docs/model.md`: S14 to S16.
//! ```text
//! v = 1/2 + 1/Bi - sum_m c_m/beta_m^2 E(beta_m, b1) - sum_m sum_n c_m d_n/kappa^2 E(kappa, b2)
//! E(k, b) = 1/[cosh(k b) + (k/Bi) sinh(k b)]     beta tan beta = Bi, gamma tan(gamma b1) = Bi, kappa^2 = beta^2 + gamma^2
//! ```
//! `v` is the time over that in which unit flow would pass the volume; a slab takes `1/2 + 1/Bi`. It is the middle of
//! `-laplace v = 1`, `dv/dn = -Bi v`: for a front at one temperature the integral of the potential over time obeys
//! that equation once nothing is left.
//!
//! # Assumptions and limits
//! Quasi-steady, the flow spent where it arrives. Exact; five terms of a sum leave less than 1e-6.
//!
//! # References
//! Carslaw and Jaeger 1959 (the sums); McNabb, Wake and Hossain 1990 (times of the middle; from memory).

use std::f64::consts::{FRAC_PI_2, PI};

use crate::numerics::root::bracketed;

/// Terms of each sum.
const TERMS: usize = 5;

/// What edges take off the dimension; fitted.
const ROUNDING: f64 = 0.22;

/// Longer bricks than this are as good as endless, and the sums keep their digits.
const LONGEST: f64 = 1e6;

/// Edges of a brick over its least edge.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Ratios {
    b1: f64,
    b2: f64,
}

impl Ratios {
    /// Of three edges in any order and unit.
    pub fn of(mut edges: [f64; 3]) -> Self {
        edges.sort_by(f64::total_cmp);
        let over = |edge: f64| (edge / edges[0]).clamp(1.0, LONGEST);
        Self { b1: over(edges[1]), b2: over(edges[2]) }
    }

    /// Surface times half the least edge over volume: 1 for a slab, 3 for a cube.
    pub fn first_dimension(&self) -> f64 {
        1.0 + 1.0 / self.b1 + 1.0 / self.b2
    }

    /// Radius of the shell form for a front that reaches the middle then, times surface over volume: `2 v n0^2`.
    pub fn radius(&self, middle: f64) -> f64 {
        2.0 * middle * self.first_dimension().powi(2)
    }

    /// Dimension of the shell form: 1 for a slab, 3.4 for a cube.
    ///
    /// ```text
    /// n = 2 v n0^2 - 0.22 (1/b1 + 1/b2 + 1/(b1 b2))
    /// ```
    /// Without the second term the first of the ice would go as it should, but most of the course a little early: edges
    /// and corners round off. 0.22 is fitted to the course in three dimensions (`data/bricks/drying.csv`).
    pub fn dimension(&self) -> f64 {
        self.middle_and_dimension().1
    }

    /// When a front that nothing but the shell holds up reaches the middle, and [`Self::dimension`], which follows from it.
    pub(crate) fn middle_and_dimension(&self) -> (f64, f64) {
        let middle = self.middle(f64::INFINITY);
        let pairs = 1.0 / self.b1 + 1.0 / self.b2 + 1.0 / (self.b1 * self.b2);
        (middle, self.radius(middle) - ROUNDING * pairs)
    }

    /// When the front reaches the middle, `v`.
    pub fn middle(&self, biot: f64) -> f64 {
        let end = |k: f64, b: f64| {
            let far = libm::exp(-k * b);
            2.0 * far / (1.0 + far * far + k / biot * (1.0 - far * far))
        };
        let across: [(f64, f64); TERMS] = std::array::from_fn(|m| mode(m, 1.0, biot));
        let along: [(f64, f64); TERMS] = std::array::from_fn(|n| mode(n, self.b1, biot));
        let mut v = 0.5 + 1.0 / biot;
        for (beta, c) in across {
            v -= c / (beta * beta) * end(beta, self.b1);
            for (gamma, d) in along {
                let kappa = libm::hypot(beta, gamma);
                v -= c * d / (kappa * kappa) * end(kappa, self.b2);
            }
        }
        v
    }

    /// `v` less what the surface alone would take, `1/(n0 Bi)`, for `Bi -> 0`: the flow through the surface is the same
    /// everywhere, and the field a sum of parabolas.
    fn slow_rest(&self) -> f64 {
        let edges = [1.0, self.b1, self.b2];
        let n0 = self.first_dimension();
        // mean over the surface of sum x_i^2/(2 L_i), less that in the middle
        let over = |face: usize, i: usize| if face == i { 0.5 * edges[i] } else { edges[i] / 6.0 };
        (0..3).map(|face| (0..3).map(|i| over(face, i)).sum::<f64>() / (edges[face] * n0)).sum::<f64>() / n0
    }
}

/// The way to the middle of a brick at any conductance of its surface.
///
/// ```text
/// s(Bi) = v - 1/(n0 Bi) = s_inf + (s_0 - s_inf)/(1 + k Bi)          s_0, s_inf and s(1) exact
/// ```
/// Within 1.5 % of `v` for edges up to 1:10:10 and `Bi` from 0.1 up.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Way {
    ratios: Ratios,
    fast: f64,
    slow: f64,
    bend: f64,
}

impl Way {
    /// For a brick.
    pub fn new(ratios: Ratios) -> Self {
        let (fast, slow) = (ratios.middle(f64::INFINITY), ratios.slow_rest());
        let at_one = ratios.middle(1.0) - 1.0 / ratios.first_dimension();
        Self { ratios, fast, slow, bend: (slow - fast) / (at_one - fast) - 1.0 }
    }

    /// [`Ratios::radius`] at a conductance of the surface.
    pub fn radius(&self, biot: f64) -> f64 {
        self.ratios.radius(self.fast + (self.slow - self.fast) / (1.0 + self.bend * biot))
    }
}

/// Root number `m` of `k tan(k b) = Bi`, and the weight of `cos(k x)` in 1.
fn mode(m: usize, b: f64, biot: f64) -> (f64, f64) {
    let from = m as f64 * PI;
    let over = |y: f64| (from + y) * libm::sin(y) - biot * b * libm::cos(y);
    // without a limit to the conductance the root is at the end of its branch
    let branch =
        if biot.is_finite() { bracketed("mode of a brick", 0.0, FRAC_PI_2, 1e-13, over) } else { Ok(FRAC_PI_2) };
    let root = from + branch.unwrap_or(FRAC_PI_2);
    (root / b, 4.0 * libm::sin(root) / (2.0 * root + libm::sin(2.0 * root)))
}

#[cfg(test)]
mod tests {
    use super::{Ratios, Way};

    #[test]
    fn middle_of_slab_bar_and_cube() {
        let fast = f64::INFINITY;
        approx::assert_relative_eq!(Ratios::of([1.0, 1e4, 1e5]).middle(fast), 0.5, max_relative = 1e-9);
        // torsion of a square bar: 0.147 34 edge^2/2 in its middle (Timoshenko and Goodier)
        approx::assert_relative_eq!(Ratios::of([1.0, 1.0, 1e3]).middle(fast), 0.294_68, max_relative = 1e-4);
        approx::assert_relative_eq!(Ratios::of([2.0, 2.0, 2.0]).middle(fast), 0.224_9, max_relative = 1e-3);
        // endless slab
        approx::assert_relative_eq!(Ratios::of([1.0, 1e3, 1e3]).middle(0.5), 2.5, max_relative = 1e-9);
    }

    #[test]
    fn dimension_is_one_of_a_wide_slab_and_never_jumps() {
        let of = |b: f64| Ratios::of([1.0, b, b]).dimension();
        approx::assert_abs_diff_eq!(of(1e4), 1.0, epsilon = 1e-3);
        let mut before = of(1.0);
        for k in 1..400 {
            let n = of(1.0 + 0.05 * k as f64);
            assert!((n - before).abs() < 0.06, "{k}: {before} {n}");
            before = n;
        }
    }

    #[test]
    fn way_follows_the_exact_middle() {
        for edges in [[1.0, 1.0, 1.0], [1.0, 1.0, 6.0], [1.0, 2.0, 2.0], [1.0, 3.0, 4.0], [1.0, 10.0, 10.0]] {
            let ratios = Ratios::of(edges);
            let n0 = ratios.first_dimension();
            for biot in [0.1, 0.2, 0.5, 1.0, 2.0, 5.0, 20.0] {
                let v = 1.0 / (n0 * biot) + Way::new(ratios).radius(biot) / (2.0 * n0 * n0);
                approx::assert_relative_eq!(v, ratios.middle(biot), max_relative = 0.02);
            }
        }
    }
}
