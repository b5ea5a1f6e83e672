//! Geometry of one drying element: how thick its dried part is once the front has passed a share of the dry matter.

/// Radius of the smallest core, over that of the element: rates are formed as if the core shrank no further. Without it
/// the resistance of the dried part would grow without bound at the centre of a ball (`docs/model.md`, S2).
const SMALLEST_CORE: f64 = 0.08;
/// Dimensions closer to 2 than this follow the logarithm of the cylinder.
const CYLINDER: f64 = 1e-6;

/// A plane layer (dimension 1) or a shrinking core (up to 3) with the outer surface `A0`.
///
/// ```text
/// A(r) = A0 (r/R)^(n-1)                                  rho = r/R = (1 - f)^(1/n)
/// G(f) = (R/A0) integral from rho to 1 of s^(1-n) ds     path of vapour and heat through the dried part, 1/m
/// ```
/// `f`: share of the dry matter that the front has passed, 0 to 1.
#[derive(Clone, Copy, Debug)]
pub struct Geometry {
    /// Depth of a layer dried from one side, half thickness or radius of a piece, m.
    pub radius_m: f64,
    /// Outer surface that lets vapour out, of all pieces together, m2.
    pub surface_m2: f64,
    /// Dimension `n`.
    pub dimension: f64,
}

impl Geometry {
    /// `G(f)`, 1/m.
    pub fn dried_path_per_m(&self, passed_frac: f64) -> f64 {
        let n = self.dimension;
        let rho = self.core_radius_frac(passed_frac);
        let rho = if n > 1.0 { rho.max(SMALLEST_CORE) } else { rho };
        let integral = if (n - 2.0).abs() < CYLINDER { -rho.ln() } else { (1.0 - rho.powf(2.0 - n)) / (2.0 - n) };
        integral * self.radius_m / self.surface_m2
    }

    /// Depth of the dried part below the outer surface, m.
    pub fn dried_depth_m(&self, passed_frac: f64) -> f64 {
        self.radius_m * (1.0 - self.core_radius_frac(passed_frac))
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
        let of = |dimension| Geometry { radius_m: 0.01, surface_m2: 0.5, dimension };
        // rho = 1/2
        approx::assert_relative_eq!(of(1.0).dried_path_per_m(0.5), 0.01 / 0.5 * 0.5, max_relative = 1e-12);
        approx::assert_relative_eq!(of(2.0).dried_path_per_m(0.75), 0.01 / 0.5 * 2f64.ln(), max_relative = 1e-12);
        approx::assert_relative_eq!(of(3.0).dried_path_per_m(0.875), 0.01 / 0.5 * (2.0 - 1.0), max_relative = 1e-12);
        approx::assert_relative_eq!(of(3.0).dried_depth_m(0.875), 0.005, max_relative = 1e-12);
    }
}
