//! Secondary drying: water held by the dry matter leaves each depth at its own rate.
//!
//! # Main equations
//! In `docs/model.md`: D1 to D3.
//! ```text
//! dX/dt = -k_d(T, X)(X - X_eq(T, p))
//! k_d   = k40 exp[-(E_a/R)(1/T - 1/313.15 K)] max(1, X/X_loose)^m
//! X_eq  = GAB at a_w = p/p_sat(T)
//! ```
//! with `p` the vapour pressure in the pores: the chamber's at the surface, near that of ice at the front.
//!
//! # Assumptions and limits
//! Local equilibrium with the vapour in the pores; no diffusion between depths; rate from two published runs
//! (mushroom 38.7 to 4.2 % in 3 h at 40 degC; carrot), activation energy `from memory` (30 to 80 kJ/mol).
//!
//! # References
//! Linear form: Schneid et al. 2011 (AAPS PharmSciTech 12, 379), residual moisture linear in desorption rate.

use wide::{CmpGt, f64x2};

use crate::constants::{GAS_CONSTANT_J_PER_MOL_K, ZERO_CELSIUS_K};
use crate::food::{DriedMatrix, Gab};

/// Where the rate is stated: 40 degC.
const REFERENCE_K: f64 = 313.15;

impl Gab {
    /// Water in equilibrium with a water activity, kg/kg dry. `a` is held to 0..0.95 (and below 1/K).
    pub fn water_per_dry(&self, activity: f64) -> f64 {
        self.water_per_dry_at(f64x2::splat(activity)).as_array_ref()[0]
    }

    /// [`Self::water_per_dry`] of two activities.
    #[inline]
    pub(crate) fn water_per_dry_at(&self, activity: f64x2) -> f64x2 {
        let held = activity.fast_max(f64x2::ZERO).fast_min(f64x2::splat(0.95));
        let ka = (held * self.k).fast_min(f64x2::splat(0.98));
        let free = f64x2::ONE - ka;
        ka * (self.monolayer_per_dry * self.c) / (free * (free + ka * self.c))
    }
}

impl DriedMatrix {
    /// Rate constant of desorption, 1/s.
    pub fn desorption_rate_per_s(&self, temperature_k: f64, water_per_dry: f64) -> f64 {
        let (warmth, _) = self.desorption_warmth(f64x2::splat(temperature_k));
        let loose = self.desorption_loose(f64x2::splat(water_per_dry), f64x2::ONE);
        self.desorption_rate_40c_per_s * libm::exp((warmth + loose).as_array_ref()[0])
    }

    /// Logarithm of the rate of tightly held water over that at 40 degC, and its slope against temperature, 1/K; of two
    /// temperatures.
    #[inline]
    pub(crate) fn desorption_warmth(&self, temperature_k: f64x2) -> (f64x2, f64x2) {
        let activation_k = self.desorption_activation_j_per_mol / GAS_CONSTANT_J_PER_MOL_K;
        let per_k = f64x2::ONE / temperature_k;
        ((f64x2::splat(1.0 / REFERENCE_K) - per_k) * activation_k, per_k * per_k * activation_k)
    }

    /// Logarithm of how much faster water leaves that is held loosely; of two lots of water in dry matter, kg. 0 without dry
    /// matter.
    #[inline]
    pub(crate) fn desorption_loose(&self, water_kg: f64x2, dry_kg: f64x2) -> f64x2 {
        let tight_kg = dry_kg * self.loose_water_per_dry;
        let is_loose = water_kg.cmp_gt(tight_kg) & dry_kg.cmp_gt(f64x2::ZERO);
        if !is_loose.any() {
            return f64x2::ZERO;
        }
        is_loose.blend((water_kg / tight_kg).ln() * self.loose_water_exponent, f64x2::ZERO)
    }

    /// Water in equilibrium with a vapour pressure, kg/kg dry: below 0.01 on a warm shelf under vacuum, up to 0.03 on a
    /// surface near 0 degC, more next to ice. The saturation pressure is that of [`saturation_estimate_pa`].
    pub fn equilibrium_water_per_dry(&self, temperature_k: f64, vapour_pressure_pa: f64) -> f64 {
        self.isotherm.water_per_dry(vapour_pressure_pa / saturation_estimate_pa(temperature_k))
    }
}

/// Vapour pressure over water, by one exponential, Pa.
///
/// ```text
/// p = 611.2 exp[17.62 t/(243.12 + t)]        t in degC
/// ```
/// Valid: -45 to 60 degC (subcooled water below 0), within 0.4 % of IAPWS from -20 to 60 degC.
/// Source: WMO Guide to Instruments (WMO-No. 8), annex 4.B, Magnus form.
pub fn saturation_estimate_pa(temperature_k: f64) -> f64 {
    SATURATION_0C_PA * libm::exp(saturation_ln(f64x2::splat(temperature_k)).as_array_ref()[0])
}

/// Vapour pressure over water at 0 degC in [`saturation_estimate_pa`], Pa.
pub(crate) const SATURATION_0C_PA: f64 = 611.2;

/// Logarithm of [`saturation_estimate_pa`] over its value at 0 degC; of two temperatures.
#[inline]
pub(crate) fn saturation_ln(temperature_k: f64x2) -> f64x2 {
    let t = (temperature_k - ZERO_CELSIUS_K).fast_max(f64x2::splat(-80.0));
    t * 17.62 / (t + 243.12)
}
