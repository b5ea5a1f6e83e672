//! Ice, unfrozen water and enthalpy of a food against temperature: one closed-form pair H(T), T(H).
//!
//! # Main equations
//! In `docs/model.md`: F4 to F6.
//! With `t`, `t_f` in degC, `x_w` water, `x_b` unfreezable water (kg per kg of food):
//! ```text
//! x_ice(t) = (x_w - x_b)(1 - t_f/t)                              t < t_f
//! H(t)     = c_f (t - t_f) - (x_w - x_b) L (1 - t_f/t)           t < t_f    H(t_f) = 0
//! H(t)     = c_u (t - t_f)                                        t >= t_f
//! t(H)     = [B - sqrt(B^2 + 4 c_f (x_w - x_b) L |t_f|)]/(2 c_f)  H < 0,  B = c_f t_f + (x_w - x_b) L + H
//! ```
//! # Assumptions and limits
//! Constant heat capacities `c_f` (all freezable water frozen) and `c_u`, constant heat of fusion `L`; ideal
//! depression (Raoult). With `t_f = 0` the curve has the plateau of pure water and stays exact. Valid from -60
//! degC up to the boil; the ice fraction is the equilibrium one.
//!
//! # Checked against
//! Chen (1985) enthalpy of the ASHRAE handbook (same form); see `tests/properties.rs`.
//!
//! # References
//! Pongsawatmanit and Miyawaki 1993 eq. 8; Chen 1985 as ASHRAE Refrigeration ch. 9 eq. 18.

use serde::{Deserialize, Serialize};

use crate::constants::ZERO_CELSIUS_K;

/// Parameters of the pair.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct FreezingCurve {
    /// Water, kg per kg of food.
    pub water_frac: f64,
    /// Water that never freezes, kg per kg of food; at most `water_frac`.
    pub unfreezable_frac: f64,
    /// Initial freezing point, K; at most 273.15 K.
    pub freezing_point_k: f64,
    /// Heat capacity above the freezing point, J/(kg K).
    pub heat_capacity_unfrozen_j_per_kg_k: f64,
    /// Heat capacity with all freezable water frozen, J/(kg K).
    pub heat_capacity_frozen_j_per_kg_k: f64,
    /// Heat of fusion of water, J/kg.
    pub heat_of_fusion_j_per_kg: f64,
}

impl FreezingCurve {
    /// Water that can freeze, kg per kg of food.
    pub fn freezable_frac(&self) -> f64 {
        (self.water_frac - self.unfreezable_frac).max(0.0)
    }

    /// Ice, kg per kg of food.
    pub fn ice_frac(&self, temperature_k: f64) -> f64 {
        self.freezable_frac() * self.frozen_share(temperature_k)
    }

    /// Ice over freezable water, 0 to 1.
    pub fn frozen_share(&self, temperature_k: f64) -> f64 {
        let t = temperature_k - ZERO_CELSIUS_K;
        let t_f = self.freezing_point_k - ZERO_CELSIUS_K;
        if t >= t_f || t >= 0.0 { 0.0 } else { 1.0 - t_f / t }
    }

    /// Water that is not ice, kg per kg of dry matter.
    pub fn unfrozen_per_dry(&self, temperature_k: f64) -> f64 {
        (self.water_frac - self.ice_frac(temperature_k)) / (1.0 - self.water_frac)
    }

    /// Enthalpy per kg of food, zero at the freezing point (unfrozen), J/kg.
    pub fn enthalpy_j_per_kg(&self, temperature_k: f64) -> f64 {
        let above_k = temperature_k - self.freezing_point_k;
        if above_k >= 0.0 {
            self.heat_capacity_unfrozen_j_per_kg_k * above_k
        } else {
            self.heat_capacity_frozen_j_per_kg_k * above_k - self.ice_frac(temperature_k) * self.heat_of_fusion_j_per_kg
        }
    }

    /// Slope of the enthalpy (apparent heat capacity), J/(kg K).
    pub fn apparent_heat_capacity_j_per_kg_k(&self, temperature_k: f64) -> f64 {
        let t = temperature_k - ZERO_CELSIUS_K;
        let t_f = self.freezing_point_k - ZERO_CELSIUS_K;
        if t >= t_f {
            self.heat_capacity_unfrozen_j_per_kg_k
        } else {
            self.heat_capacity_frozen_j_per_kg_k - self.freezable_frac() * self.heat_of_fusion_j_per_kg * t_f / (t * t)
        }
    }

    /// [`Self::enthalpy_j_per_kg`] and its slope, [`Self::apparent_heat_capacity_j_per_kg_k`], at the cost of one of them.
    pub fn enthalpy_and_slope(&self, temperature_k: f64) -> (f64, f64) {
        let above_k = temperature_k - self.freezing_point_k;
        if above_k >= 0.0 {
            return (self.heat_capacity_unfrozen_j_per_kg_k * above_k, self.heat_capacity_unfrozen_j_per_kg_k);
        }
        let t = temperature_k - ZERO_CELSIUS_K;
        let latent = self.freezable_frac() * self.heat_of_fusion_j_per_kg;
        let unfrozen = (self.freezing_point_k - ZERO_CELSIUS_K) / t;
        let c_f = self.heat_capacity_frozen_j_per_kg_k;
        (c_f * above_k - latent * (1.0 - unfrozen), c_f - latent * unfrozen / t)
    }

    /// Temperature at an enthalpy: the exact inverse of [`Self::enthalpy_j_per_kg`], K.
    pub fn temperature_k(&self, enthalpy_j_per_kg: f64) -> f64 {
        self.temperature_and_slope(enthalpy_j_per_kg).0
    }

    /// [`Self::temperature_k`] and its slope, K per J/kg: zero on the plateau of pure water.
    pub fn temperature_and_slope(&self, enthalpy_j_per_kg: f64) -> (f64, f64) {
        let h = enthalpy_j_per_kg;
        if h >= 0.0 {
            let slope = 1.0 / self.heat_capacity_unfrozen_j_per_kg_k;
            return (self.freezing_point_k + h * slope, slope);
        }
        let c_f = self.heat_capacity_frozen_j_per_kg_k;
        let t_f = self.freezing_point_k - ZERO_CELSIUS_K;
        let latent = self.freezable_frac() * self.heat_of_fusion_j_per_kg;
        let b = c_f * t_f + latent + h;
        let root = (b * b - 4.0 * c_f * latent * t_f).sqrt();
        // (b - root) loses digits where b > 0: there take the product of the roots instead
        let t = if b > 0.0 { 2.0 * latent * t_f / (b + root) } else { (b - root) / (2.0 * c_f) };
        let slope = if root == 0.0 { 0.0 } else { (1.0 - b / root) / (2.0 * c_f) };
        (ZERO_CELSIUS_K + t.min(t_f), slope)
    }
}
