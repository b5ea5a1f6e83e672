//! Primary drying: the ice front of one layer or of like pieces, quasi-steady.
//!
//! # Main equations
//! In `docs/model.md`: P1 to P8, S3 for the shape form, F8 and F9 for the matrix.
//! ```text
//! N [R_0 + G(f)/K] = p_ice(T_i) - p_v                     vapour, kg/s (per tray)
//! G(f) = (R/A0) integral from rho to 1 of s^(1-n) ds      rho = (1-f)^(1/n), shape form of dried thickness, 1/m
//! dm/dt = N x_s/x_ice(T_i)                                front motion: dry matter passed, kg/s (x_s: dry per food)
//! heat to the front through the dried shell: (k/G) nu/(e^nu - 1) (T_s - T_i),  nu = N c_v G/k
//! ```
//! with `f` the share of dry matter the front has passed. The water left behind is what the freezing curve says is
//! unfrozen at `T_i`, so mass closes by construction. Within one implicit step the shape term is its mean over the step,
//! taken linear in what the front passes, and `N` is the positive root of a quadratic: regular at `f = 0`.
//!
//! # Assumptions and limits
//! Sharp front, linear profiles (quasi-steady: within 0.5 % of the resolved solver up to 20 mm, 2 % at 40 mm and 200 Pa); no
//! deposition on the food; vapour of the layers below does not resist the layers above.
//!
//! # References
//! King 1971 and Liapis and Litchfield 1979 (the receding-front picture); kinetic permeability Evans et al. 1961.

use crate::constants::{GAS_CONSTANT_J_PER_MOL_K, WATER_MOLAR_MASS_KG_PER_MOL, ZERO_CELSIUS_K};
use crate::cuts::CutFront;
use crate::food::{DriedMatrix, FoodModel};
use crate::numerics::power::power;
use crate::shape::{Core, PieceForm, Shape};
use crate::water;

/// Like pieces (or one layer) on a tray, as one front.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Body {
    /// Radius of the shell form, or the whole depth of a layer dried from one side, m.
    pub radius_m: f64,
    /// What the front passes at most, m: half the least edge, the radius, or the height of what lies on its tray.
    pub depth_m: f64,
    /// Floor under pieces that lie on their tray, m2.
    pub floor_m2: Option<f64>,
    /// Outer surface that lets vapour out, m2.
    pub surface_m2: f64,
    /// Dimension n of the shell form, 1 to 3.4.
    pub dimension: f64,
    /// Dry matter, kg.
    pub dry_kg: f64,
    /// The front of a layer that is cut into portions.
    pub cut: Option<CutFront>,
}

/// Rounds the centre of a piece off: the shell form has no end there. Share of the radius.
const SMALLEST_CORE: f64 = 0.08;

/// How the bodies of one tray lie: as a layer or as layers of pieces.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Arrangement {
    /// What lies on its tray with a flat face: heated from below through the frozen part and from above through the
    /// dried part; vapour leaves from the top, and from the sides of pieces.
    Layer {
        /// Area covered, m2.
        area_m2: f64,
        /// Depth, m.
        depth_m: f64,
        /// The slices, cubes or bricks of which it is.
        pieces: Option<PieceForm>,
    },
    /// Round pieces, or a bed of several layers: dried and heated from all round.
    Pieces {
        /// Their form.
        form: PieceForm,
        /// Layers.
        layers: usize,
        /// Share of the tray covered by one layer.
        coverage: f64,
    },
}

impl Arrangement {
    /// Bricks of any form lie as a layer does, if they lie in one.
    pub fn of(shape: &Shape, area_m2: f64) -> Self {
        match *shape {
            Shape::Layer { depth_m } => Self::Layer { area_m2, depth_m, pieces: None },
            Shape::Pieces { form: form @ PieceForm::Brick { height_m, .. }, layers: 1, coverage } => {
                Self::Layer { area_m2: area_m2 * coverage, depth_m: height_m, pieces: Some(form) }
            }
            Shape::Pieces { form, layers, coverage } => Self::Pieces { form, layers, coverage },
        }
    }

    /// Bodies from the bottom up; those of one layer of pieces count as one.
    pub fn bodies(&self, model: &FoodModel, tray_area_m2: f64) -> Vec<Body> {
        match *self {
            Self::Layer { area_m2, depth_m, pieces: None } => vec![Body {
                radius_m: depth_m,
                depth_m,
                floor_m2: None,
                surface_m2: area_m2,
                dimension: 1.0,
                dry_kg: model.density_kg_per_m3 * model.dry_frac() * area_m2 * depth_m,
                cut: None,
            }],
            Self::Layer { area_m2, depth_m, pieces: Some(form) } => {
                vec![Body { depth_m, floor_m2: Some(area_m2), ..Body::of(&form.lying_core(), area_m2, model) }]
            }
            Self::Pieces { form, layers, coverage } => {
                vec![Body::of(&form.core(), coverage * tray_area_m2, model); layers]
            }
        }
    }
}

impl Body {
    /// Pieces that cover this floor.
    fn of(core: &Core, covered_m2: f64, model: &FoodModel) -> Self {
        let pieces = covered_m2 / core.lying.footprint_m2;
        Self {
            radius_m: core.shell_radius_m,
            depth_m: core.radius_m,
            floor_m2: None,
            surface_m2: pieces * core.surface_m2,
            dimension: core.dimension,
            dry_kg: model.density_kg_per_m3 * model.dry_frac() * core.lying.volume_m3 * pieces,
            cut: None,
        }
    }

    /// Shape form of the dried thickness at a passed share `f`, and its slope against `f`, 1/m.
    pub fn shell_per_m(&self, passed: f64) -> (f64, f64) {
        if let Some(cut) = &self.cut {
            return cut.shell_per_m(passed);
        }
        let n = self.dimension;
        let scale = self.radius_m / self.surface_m2;
        let left = (1.0 - passed).max(0.0);
        if n < 1.001 {
            return (scale * (1.0 - left), scale);
        }
        let rho = self.core(left).max(SMALLEST_CORE);
        // rho^(1-n), area of the outer surface over that of the front: rho^n is what is left
        let areas = if rho > SMALLEST_CORE { rho / left } else { power(rho, 1.0 - n) };
        let shell = if (n - 2.0).abs() < 1e-6 { -libm::log(rho) } else { (areas * rho - 1.0) / (n - 2.0) };
        (scale * shell, scale * areas * areas / n)
    }

    /// Mean of [`Self::shell_per_m`] while the front moves from one passed share to another, 1/m.
    pub fn mean_shell_per_m(&self, from: f64, to: f64) -> f64 {
        /// Over less than this it is that in the middle.
        const SHORT: f64 = 1e-3;
        if self.cut.is_some() || self.dimension < 1.001 || to - from < SHORT {
            return self.shell_per_m(0.5 * (from + to)).0;
        }
        let integral = self.shell_integral(1.0 - from) - self.shell_integral(1.0 - to);
        self.radius_m / self.surface_m2 * integral / (to - from)
    }

    /// Shell form times the radius over the surface, integrated over the share that is left, from nothing up.
    fn shell_integral(&self, left: f64) -> f64 {
        let n = self.dimension;
        let at = |rho: f64, left: f64| {
            if (n - 2.0).abs() < 1e-6 {
                0.5 * left * (1.0 - libm::log(left))
            } else {
                (0.5 * n * rho * rho - left) / (n - 2.0)
            }
        };
        let rho = self.core(left);
        if rho >= SMALLEST_CORE {
            return at(rho, left);
        }
        // the shell form of the smallest core holds to the centre
        let core = power(SMALLEST_CORE, n);
        let shell = self.shell_per_m(1.0).0 * self.surface_m2 / self.radius_m;
        at(SMALLEST_CORE, core) - (core - left) * shell
    }

    /// Where a front lies that has this share left, over the radius.
    fn core(&self, left: f64) -> f64 {
        if (self.dimension - 3.0).abs() < 1e-3 { libm::cbrt(left) } else { power(left, 1.0 / self.dimension) }
    }

    /// Depth that is dried, from the surface inwards, at a passed share of the dry matter, m.
    pub fn dried_m(&self, passed: f64) -> f64 {
        (self.radius_m * (1.0 - self.core((1.0 - passed).max(0.0)))).min(self.depth_m)
    }

    /// Shape form for the heat that crosses the dried part, 1/m: that for vapour, but through the top alone of a cut layer,
    /// and from floor to top of pieces that lie on their tray and have no ice.
    pub fn heat_shell_per_m(&self, passed: f64, ice: bool) -> f64 {
        self.own_heat_shell_per_m(passed, ice).unwrap_or_else(|| self.shell_per_m(passed).0)
    }

    /// [`Self::heat_shell_per_m`] where it is not that for vapour.
    pub(crate) fn own_heat_shell_per_m(&self, passed: f64, ice: bool) -> Option<f64> {
        match (&self.cut, self.floor_m2) {
            (Some(cut), _) => Some(cut.heat_shell_per_m(passed, ice)),
            (None, Some(floor_m2)) if !ice => Some(self.depth_m / floor_m2),
            _ => None,
        }
    }

    /// Whether depths count from top to floor once there is no ice, though vapour leaves through other faces too.
    pub(crate) fn ends_upright(&self) -> bool {
        self.cut.is_some() || self.floor_m2.is_some()
    }

    /// Way of the heat from below through what is frozen of a layer, m. The ice of a brick narrows the way: its height is the
    /// depth times `rho`, its base the floor times `rho^(n-1)`.
    pub fn frozen_path_m(&self, passed: f64, ice: bool) -> f64 {
        match (&self.cut, self.floor_m2) {
            (Some(cut), _) => cut.frozen_path_m(passed, ice),
            (None, Some(_)) if ice => {
                let rho = self.core((1.0 - passed).max(0.0)).max(SMALLEST_CORE);
                self.depth_m * power(rho, 2.0 - self.dimension)
            }
            _ => self.depth_m * (1.0 - passed),
        }
    }

    /// Where a depth lies between surface and front, in a measure of its own: temperature goes with it.
    pub fn place(&self, passed: f64) -> f64 {
        self.cut.map_or_else(|| self.shell_per_m(passed).0, |cut| cut.way(passed))
    }

    /// How much longer the last of the ice takes than at its present rate: a ball's front slows down as the cube root of what is
    /// left.
    pub fn last_ice_slowing(&self) -> f64 {
        1.0 + 0.5 * (self.dimension - 2.0).clamp(0.0, 1.0)
    }

    /// How much more an error in the dry matter passed counts in time than at the start: a ball's front slows down as its
    /// shell grows and its core shrinks: `2 rho^(2-n) - 1`, with the shell form `shell_per_m` of the share that is left.
    pub fn slowing(&self, left: f64, shell_per_m: f64) -> f64 {
        match self.cut {
            Some(_) => 2.0 / libm::cbrt(left).max(SMALLEST_CORE) - 1.0,
            None => 1.0 + 2.0 * (self.dimension - 2.0).max(0.0) * shell_per_m * self.surface_m2 / self.radius_m,
        }
    }
}

impl DriedMatrix {
    /// Permeability at a mean pressure and temperature in the layer, kg/(m s Pa).
    pub fn permeability_at(&self, pressure_pa: f64, temperature_k: f64) -> f64 {
        let ratio = REFERENCE_K / temperature_k;
        self.permeability_kg_per_m_s_pa
            * (self.knudsen_share * ratio.sqrt()
                + (1.0 - self.knudsen_share) * pressure_pa / REFERENCE_PA * power(ratio, 1.9))
    }

    /// Conductivity at a pressure, W/(m K).
    pub fn conductivity_at(&self, pressure_pa: f64) -> f64 {
        self.conductivity_vacuum_w_per_m_k
            + self.conductivity_gas_w_per_m_k * pressure_pa / (pressure_pa + self.conductivity_half_pressure_pa)
    }
}

/// Where the permeability is stated.
const REFERENCE_K: f64 = 253.15;
const REFERENCE_PA: f64 = 50.0;

/// What one front meets during one step.
#[derive(Clone, Copy, Debug, Default)]
pub struct FrontStep {
    /// Skin and dried shell, Pa s/kg.
    pub resistance_pa_s_per_kg: f64,
    /// What the shell adds per kg/s on average over this step, Pa s2/kg2, at `dry_per_ice` = 1.
    pub growth_pa_s2_per_kg2: f64,
    /// Dry matter not yet passed, kg.
    pub left_kg: f64,
    /// Step, s.
    pub h_s: f64,
    /// The ice that the front passes is that of no warmer a front than this, K: once the last of it has gone within a
    /// step, the front warms at once, and all water that went with it would count as melted.
    pub warmest_k: f64,
}

/// Sublimation of one front in one step with its slopes.
#[derive(Clone, Copy, Debug, Default)]
pub struct Sublimation {
    /// Vapour, kg/s.
    pub rate_kg_per_s: f64,
    /// Slope against the front's temperature, kg/(s K).
    pub slope_kg_per_s_k: f64,
    /// Slope against the vapour pressure outside, kg/(s Pa).
    pub slope_kg_per_s_pa: f64,
    /// Dry matter passed per ice sublimed.
    pub dry_per_ice: f64,
    /// Slope of that against the front's temperature, 1/K.
    pub dry_per_ice_slope_per_k: f64,
    /// Vapour pressure at the front and its slope, Pa and Pa/K; zeros without ice.
    pub saturation: (f64, f64),
    /// The last of the ice went within this step.
    pub finished: bool,
}

/// Least share of the freezable water that is treated as ice; below it the food counts as melted (and is flagged).
const LEAST_ICE_SHARE: f64 = 0.25;

/// Resistance of the ice surface itself, m2 s Pa/kg: molecules leave no faster than they fly off.
///
/// ```text
/// R_k = sqrt(2 pi R T/M)          (Hertz-Knudsen, accommodation 1)
/// ```
/// About 860 at -20 degC, that of 17 micrometres of dried food: it only matters in the first seconds.
/// Source: `data/published/vapour_flow.csv` (434 kg/(m2 h) at 103 Pa, -20 degC).
pub fn surface_kinetics_m2_s_pa_per_kg(temperature_k: f64) -> f64 {
    (2.0 * std::f64::consts::PI * GAS_CONSTANT_J_PER_MOL_K * temperature_k / WATER_MOLAR_MASS_KG_PER_MOL).sqrt()
}

/// Vapour pressure over ice, or over water above 0 degC, with its slope, Pa and Pa/K.
pub(crate) fn saturation(temperature_k: f64) -> (f64, f64) {
    if temperature_k <= 273.16 {
        water::ice_saturation(temperature_k)
    } else {
        let p = water::liquid_vapour_pressure_pa(temperature_k);
        // Clausius-Clapeyron with 2.50 MJ/kg: a slope for the iteration only
        (p, p * 2.5e6 * WATER_MOLAR_MASS_KG_PER_MOL / (GAS_CONSTANT_J_PER_MOL_K * temperature_k * temperature_k))
    }
}

/// Sublimation at a front temperature against an outside vapour pressure.
#[inline]
pub fn sublimation(model: &FoodModel, step: &FrontStep, front_k: f64, vapour_pressure_pa: f64) -> Sublimation {
    let freezable = model.curve.freezable_frac();
    if step.left_kg <= 0.0 || freezable <= 0.0 {
        return Sublimation { dry_per_ice: 1.0, ..Sublimation::default() };
    }
    let dry = model.dry_frac();
    let ice = model.curve.ice_frac(front_k.min(step.warmest_k));
    let (dry_per_ice, dry_per_ice_slope) = if front_k > step.warmest_k && ice > LEAST_ICE_SHARE * freezable {
        (dry / ice, 0.0)
    } else if ice > LEAST_ICE_SHARE * freezable {
        let t = front_k - ZERO_CELSIUS_K;
        let t_f = model.curve.freezing_point_k - ZERO_CELSIUS_K;
        (dry / ice, -dry / (ice * ice) * freezable * t_f / (t * t))
    } else {
        (dry / (LEAST_ICE_SHARE * freezable), 0.0)
    };
    let (p, p_slope) = saturation(front_k);
    let drive = p - vapour_pressure_pa;
    let mut out = Sublimation {
        dry_per_ice,
        dry_per_ice_slope_per_k: dry_per_ice_slope,
        saturation: (p, p_slope),
        ..Sublimation::default()
    };
    if drive < -1e-8 * vapour_pressure_pa {
        return out;
    }
    let r = step.resistance_pa_s_per_kg;
    let a = step.growth_pa_s2_per_kg2 * dry_per_ice;
    let root = (r * r + 4.0 * a * drive.max(0.0)).sqrt();
    let rate = 2.0 * drive.max(0.0) / (r + root);
    let most = step.left_kg / (dry_per_ice * step.h_s);
    if rate >= most {
        out.rate_kg_per_s = most;
        // warmer food holds less ice: with the slope of that, which falls, Newton would turn back here
        out.dry_per_ice_slope_per_k = 0.0;
        out.finished = true;
    } else {
        out.rate_kg_per_s = rate;
        out.slope_kg_per_s_k = (p_slope - rate * rate * a * dry_per_ice_slope / dry_per_ice) / root;
        out.slope_kg_per_s_pa = -1.0 / root;
    }
    out
}

#[cfg(test)]
mod tests {
    use super::Body;

    #[test]
    fn mean_shell_is_the_mean_of_the_shell() {
        for dimension in [1.0, 1.4, 2.0, 2.6, 3.0, 3.4] {
            let body = Body {
                radius_m: 0.01,
                depth_m: 0.01,
                floor_m2: None,
                surface_m2: 0.2,
                dimension,
                dry_kg: 1.0,
                cut: None,
            };
            // the last one ends within the smallest core
            for (from, to) in [(0.0, 0.3), (0.4, 0.4005), (0.7, 0.95), (0.9, 1.0)] {
                let places = 20_000;
                let at = |k: usize| from + (to - from) * (k as f64 + 0.5) / places as f64;
                let mean = (0..places).map(|k| body.shell_per_m(at(k)).0).sum::<f64>() / places as f64;
                approx::assert_relative_eq!(body.mean_shell_per_m(from, to), mean, max_relative = 1e-5);
            }
        }
    }
}
