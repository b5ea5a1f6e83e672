//! When the middle of a brick changes, exactly, where its front is fed from outside alone.
//!
//! # Main equations
//! In units of half the least edge: half edges 1, `b1`, `b2`; `Bi` the surface's conductance over that of half the least
//! edge of the outer, changed part. With `u` the potential (0 at the front, 1 in the surroundings) and `w` its integral
//! over time,
//! ```text
//! laplace w = 1 where the front has passed, w = 0 where it has not, w >= 0         dw/dn = Bi (t - w) at the surface
//! ```
//! (the transform of Baiocchi and Duvaut). When nothing is left `w = t - v`, so the time of the middle is `v` there:
//! ```text
//! -laplace v = 1       dv/dn = -Bi v
//! v(0) = 1/2 + 1/Bi - sum_m c_m/beta_m^2 D(beta_m, b1) - sum_m sum_n c_m d_n/kappa^2 D(kappa, b2)
//! D(k, b) = 1/[cosh(k b) + (k/Bi) sinh(k b)]      beta tan beta = Bi, gamma tan(gamma b1) = Bi, kappa^2 = beta^2 + gamma^2
//! ```
//! # Assumptions
//! Quasi-steady: nothing stored but what changes at the front.

/// Terms of each sum: they fall as `exp(-m pi)`.
const TERMS: usize = 24;

/// Half edges over half the least edge.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Ratios {
    /// Of the middle edge, 1 or more; infinite for a slab.
    pub b1: f64,
    /// Of the longest edge, `b1` or more; infinite for a long bar.
    pub b2: f64,
}

impl Ratios {
    /// Surface over volume, times half the least edge: the first dimension of the shape.
    pub fn surface_per_volume(&self) -> f64 {
        1.0 + 1.0 / self.b1 + 1.0 / self.b2
    }

    /// Time of the middle of a brick over `R^2/(conductivity)`, exactly.
    pub fn middle(&self, biot: f64) -> f64 {
        let mut v = 0.5 + 1.0 / biot;
        for m in 0..TERMS {
            let (beta, c) = mode(m, 1.0, biot);
            v -= c / (beta * beta) * end(beta, self.b1, biot);
            if !self.b1.is_finite() {
                continue;
            }
            for n in 0..TERMS {
                let (gamma, d) = mode(n, self.b1, biot);
                let kappa = beta.hypot(gamma);
                v -= c * d / (kappa * kappa) * end(kappa, self.b2, biot);
            }
        }
        v
    }

    /// The same over that of a slab of the same thickness.
    pub fn middle_over_slab(&self, biot: f64) -> f64 {
        self.middle(biot) / (0.5 + 1.0 / biot)
    }
}

/// `1/[cosh(k b) + (k/Bi) sinh(k b)]`.
fn end(k: f64, b: f64, biot: f64) -> f64 {
    let far = (-k * b).exp();
    2.0 * far / (1.0 + far * far + k / biot * (1.0 - far * far))
}

/// Root number `m` of `beta tan(beta b) = Bi` and the weight of `cos(beta x)` in 1.
pub(super) fn mode(m: usize, b: f64, biot: f64) -> (f64, f64) {
    use std::f64::consts::{FRAC_PI_2, PI};
    let from = m as f64 * PI;
    let (mut low, mut high) = (from, from + FRAC_PI_2);
    if biot.is_finite() {
        for _ in 0..60 {
            let x = 0.5 * (low + high);
            if x * (x - from).tan() < biot * b {
                low = x;
            } else {
                high = x;
            }
        }
    }
    let x = high;
    (x / b, 4.0 * x.sin() / (2.0 * x + (2.0 * x).sin()))
}

#[cfg(test)]
mod tests {
    use super::Ratios;

    #[test]
    fn square_bar_cube_and_slab() {
        // torsion of a square bar: largest stress function 0.147 345 of edge^2/2 (Timoshenko and Goodier, table of 1951)
        let bar = Ratios { b1: 1.0, b2: f64::INFINITY };
        approx::assert_relative_eq!(bar.middle(f64::INFINITY), 0.073_671 * 4.0, max_relative = 1e-4);
        // little resistance inside: volume over surface
        let brick = Ratios { b1: 2.0, b2: 3.0 };
        approx::assert_relative_eq!(1e-5 * brick.middle(1e-5), 1.0 / brick.surface_per_volume(), max_relative = 1e-4);
        let flat = Ratios { b1: 200.0, b2: 200.0 };
        approx::assert_relative_eq!(flat.middle(1.0), 1.5, max_relative = 1e-9);
    }
}
