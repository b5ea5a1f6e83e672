//! Geometry of one drying element: how thick its dried part is once the front has passed a share of the dry matter.

use crate::brick::exact::Ratios;

/// Radius of the smallest core, over that of the element: rates are formed as if the core shrank no further. Without it
/// the resistance of the dried part would grow without bound at the centre of a ball (`docs/model.md`, S2).
const SMALLEST_CORE: f64 = 0.08;
/// Dimensions closer to 2 than this follow the logarithm of the cylinder.
const CYLINDER: f64 = 1e-6;

/// A plane layer (dimension 1) or a shrinking core (up to 3.4) with the outer surface `A0`.
///
/// ```text
/// A(r) = A0 (r/R)^(n-1)                                  rho = r/R = (1 - f)^(1/n)
/// G(f) = (R/A0) integral from rho to 1 of s^(1-n) ds     path of vapour and heat through the dried part, 1/m
/// ```
/// `f`: share of the dry matter that the front has passed, 0 to 1.
#[derive(Clone, Copy, Debug)]
pub struct Geometry {
    /// Depth of a layer dried from one side, radius of a round piece; of a brick that of its shell form, m.
    pub radius_m: f64,
    /// What the front passes at most: depth of what lies on its tray, half the least edge or the radius, m.
    pub depth_m: f64,
    /// Floor under bricks that lie on their tray, m2.
    pub floor_m2: Option<f64>,
    /// Outer surface that lets vapour out, of all pieces together, m2.
    pub surface_m2: f64,
    /// Dimension `n`.
    pub dimension: f64,
}

impl Geometry {
    /// Bricks of these edges (the last one upright) with this volume in all. Where they lie on the tray their underside is
    /// closed and they dry as the upper half of bricks twice as high.
    ///
    /// ```text
    /// s = 2 v (a A/V)^2      a: half the least edge, A and V of the whole brick, v: time of its middle (`brick::exact`)
    /// n = s - 0.22 (1/b1 + 1/b2 + 1/(b1 b2))      R = s V/A0
    /// ```
    pub fn bricks(edges_m: [f64; 3], volume_m3: f64, lying: bool) -> Self {
        let whole = if lying { [edges_m[0], edges_m[1], 2.0 * edges_m[2]] } else { edges_m };
        let mut sorted = whole;
        sorted.sort_by(f64::total_cmp);
        let ratios = Ratios { b1: sorted[1] / sorted[0], b2: sorted[2] / sorted[0] };
        let per_m = whole.iter().map(|edge| 2.0 / edge).sum::<f64>();
        let radius = 2.0 * ratios.middle(f64::INFINITY) * (0.5 * sorted[0] * per_m).powi(2);
        let pairs = 1.0 / ratios.b1 + 1.0 / ratios.b2 + 1.0 / (ratios.b1 * ratios.b2);
        Self {
            radius_m: radius / per_m,
            depth_m: if lying { edges_m[2] } else { 0.5 * sorted[0] },
            floor_m2: lying.then(|| volume_m3 / edges_m[2]),
            surface_m2: volume_m3 * per_m,
            dimension: radius - 0.22 * pairs,
        }
    }

    /// `G(f)`, 1/m.
    pub fn dried_path_per_m(&self, passed_frac: f64) -> f64 {
        let n = self.dimension;
        let rho = self.core_radius_frac(passed_frac);
        let rho = if n > 1.0 { rho.max(SMALLEST_CORE) } else { rho };
        let integral = if (n - 2.0).abs() < CYLINDER { -rho.ln() } else { (1.0 - rho.powf(2.0 - n)) / (2.0 - n) };
        integral * self.radius_m / self.surface_m2
    }

    /// Path of heat and vapour to the floor once there is no ice, 1/m: bricks on their tray are warmed from there.
    pub fn upright_per_m(&self) -> Option<f64> {
        self.floor_m2.map(|floor_m2| self.depth_m / floor_m2)
    }

    /// Path of heat through the ice from the floor, spread over all of it, m. Of bricks on their tray the ice is
    /// `depth rho` high on `rho^(n-1)` of the floor.
    pub fn frozen_path_m(&self, passed_frac: f64) -> f64 {
        if self.floor_m2.is_none() {
            return self.depth_m * (1.0 - passed_frac).max(0.0);
        }
        let rho = self.core_radius_frac(passed_frac).max(SMALLEST_CORE);
        self.depth_m * rho.powf(2.0 - self.dimension)
    }

    /// Depth of the dried part below the outer surface, m.
    pub fn dried_depth_m(&self, passed_frac: f64) -> f64 {
        (self.radius_m * (1.0 - self.core_radius_frac(passed_frac))).min(self.depth_m)
    }

    /// Radius of the core over that of the element.
    fn core_radius_frac(&self, passed_frac: f64) -> f64 {
        (1.0 - passed_frac).clamp(0.0, 1.0).powf(1.0 / self.dimension)
    }
}

#[cfg(test)]
mod tests {
    use super::Geometry;

    #[test]
    fn path_through_slab_cylinder_and_ball() {
        let of = |dimension| Geometry { radius_m: 0.01, depth_m: 0.01, floor_m2: None, surface_m2: 0.5, dimension };
        // rho = 1/2
        approx::assert_relative_eq!(of(1.0).dried_path_per_m(0.5), 0.01 / 0.5 * 0.5, max_relative = 1e-12);
        approx::assert_relative_eq!(of(2.0).dried_path_per_m(0.75), 0.01 / 0.5 * 2f64.ln(), max_relative = 1e-12);
        approx::assert_relative_eq!(of(3.0).dried_path_per_m(0.875), 0.01 / 0.5 * (2.0 - 1.0), max_relative = 1e-12);
        approx::assert_relative_eq!(of(3.0).dried_depth_m(0.875), 0.005, max_relative = 1e-12);
    }
}
