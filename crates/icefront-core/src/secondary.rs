//! Secondary drying: water held by the dry matter leaves each depth at its own rate.
//!
//! # Main equations
//! ```text
//! dX/dt = -k_d(T, X)(X - X_eq(T, p_v))
//! k_d   = k40 exp[-(E_a/R)(1/T - 1/313.15 K)] max(1, X/X_loose)^m
//! X_eq  = GAB at a_w = p_v/p_sat(T)
//! ```
//! Within a step the rate constant is held, so `X` falls exponentially and never below `X_eq`.
//!
//! # Assumptions and limits
//! Local equilibrium with the chamber's vapour; no diffusion between depths; rate from two published runs
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
        let arrhenius = (-self.desorption_activation_j_per_mol / GAS_CONSTANT_J_PER_MOL_K
            * (1.0 / temperature_k - 1.0 / REFERENCE_K))
            .exp();
        let excess = water_per_dry / self.loose_water_per_dry;
        let loose = if excess > 1.0 { excess.powf(self.loose_water_exponent) } else { 1.0 };
        self.desorption_rate_40c_per_s * arrhenius * loose
    }

    /// Water in equilibrium with a vapour pressure, kg/kg dry. Under vacuum it is below 0.01: the saturation pressure is
    /// that of [`saturation_estimate_pa`].
    pub fn equilibrium_water_per_dry(&self, temperature_k: f64, vapour_pressure_pa: f64) -> f64 {
        self.isotherm.water_per_dry(vapour_pressure_pa / saturation_estimate_pa(temperature_k))
    }

    /// Water per dry matter after `h_s` seconds at one temperature and vapour pressure; never more than before.
    pub fn after_desorption(&self, water_per_dry: f64, temperature_k: f64, vapour_pressure_pa: f64, h_s: f64) -> f64 {
        let floor = self.equilibrium_water_per_dry(temperature_k, vapour_pressure_pa);
        if water_per_dry <= floor {
            return water_per_dry;
        }
        let rate = self.desorption_rate_per_s(temperature_k, water_per_dry);
        floor + (water_per_dry - floor) * (-rate * h_s).exp()
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
    let t = (temperature_k - ZERO_CELSIUS_K).max(-80.0);
    611.2 * (17.62 * t / (243.12 + t)).exp()
}
