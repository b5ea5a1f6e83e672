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

use crate::constants::{GAS_CONSTANT_J_PER_MOL_K, ZERO_CELSIUS_K};
use crate::food::{DriedMatrix, Gab};

/// Where the rate is stated: 40 degC.
const REFERENCE_K: f64 = 313.15;

impl Gab {
    /// Water in equilibrium with a water activity, kg/kg dry. `a` is held to 0..0.95 (and below 1/K).
    pub fn water_per_dry(&self, activity: f64) -> f64 {
        let ka = (self.k * activity.clamp(0.0, 0.95)).min(0.98);
        self.monolayer_per_dry * self.c * ka / ((1.0 - ka) * (1.0 - ka + self.c * ka))
    }
}

impl DriedMatrix {
    /// Rate constant of desorption, 1/s.
    pub fn desorption_rate_per_s(&self, temperature_k: f64, water_per_dry: f64) -> f64 {
        self.desorption_rate_40c_per_s * libm::exp(self.desorption_ln_rate(temperature_k, water_per_dry).0)
    }

    /// Logarithm of [`Self::desorption_rate_per_s`] over the rate at 40 degC, and its slope against temperature, 1/K.
    #[inline]
    pub(crate) fn desorption_ln_rate(&self, temperature_k: f64, water_per_dry: f64) -> (f64, f64) {
        let (activation_k, per_k) =
            (self.desorption_activation_j_per_mol / GAS_CONSTANT_J_PER_MOL_K, 1.0 / temperature_k);
        let warmth = activation_k * (1.0 / REFERENCE_K - per_k);
        let excess = water_per_dry / self.loose_water_per_dry;
        // one exponential for both factors
        let loose = if excess > 1.0 { self.loose_water_exponent * libm::log(excess) } else { 0.0 };
        (warmth + loose, activation_k * per_k * per_k)
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
    SATURATION_0C_PA * libm::exp(saturation_ln(temperature_k))
}

/// Vapour pressure over water at 0 degC in [`saturation_estimate_pa`], Pa.
pub(crate) const SATURATION_0C_PA: f64 = 611.2;

/// Logarithm of [`saturation_estimate_pa`] over its value at 0 degC.
#[inline]
pub(crate) fn saturation_ln(temperature_k: f64) -> f64 {
    let t = (temperature_k - ZERO_CELSIUS_K).max(-80.0);
    17.62 * t / (243.12 + t)
}
