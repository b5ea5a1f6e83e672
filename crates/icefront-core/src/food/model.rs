//! What the drying physics needs to know about one food: plain SI numbers, nothing looked up later.
//!
//! `FoodModel` is made from a [`Food`](super::Food) by [`Food::model`](super::Food::model); each number can be
//! replaced by one given in the load sheet (`[tray.expert]`), which is how published runs with stated inputs are
//! put through the same code.

use serde::{Deserialize, Serialize};

use super::FreezingCurve;
use crate::constants::ZERO_CELSIUS_K;

/// One food as the physics sees it.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct FoodModel {
    /// Density of the food as loaded, air pores included, kg/m3.
    pub density_kg_per_m3: f64,
    /// Water and enthalpy against temperature, per kg of food.
    pub curve: FreezingCurve,
    /// Conductivity above the freezing point, W/(m K).
    pub conductivity_unfrozen_w_per_m_k: f64,
    /// Conductivity well below the freezing point (at -20 degC), W/(m K).
    pub conductivity_frozen_w_per_m_k: f64,
    /// The matrix left by the ice.
    pub dried: DriedMatrix,
    /// Fat, kg per kg of dry matter.
    pub fat_per_dry: f64,
    /// Highest temperature of the ice front at which the structure stays intact.
    pub limit: StructureLimit,
}

impl FoodModel {
    /// Water, kg per kg of food.
    pub fn water_frac(&self) -> f64 {
        self.curve.water_frac
    }

    /// Dry matter (all that is not water, fat included), kg per kg of food.
    pub fn dry_frac(&self) -> f64 {
        1.0 - self.curve.water_frac
    }

    /// Water, kg per kg of dry matter.
    pub fn water_per_dry(&self) -> f64 {
        self.water_frac() / self.dry_frac()
    }
}

/// Least depression of the freezing point in a batch, K: that of 5 mmol of particles per kilogram of water (1.86 K kg/mol),
/// about as tap water holds (`from memory`).
const LEAST_DEPRESSION_K: f64 = 0.01;

impl FoodModel {
    /// The same food with at least as much dissolved in its water as in tap water. Pure water holds any heat between ice
    /// and liquid at one temperature, where a front would have no temperature that balances its heat.
    #[must_use]
    pub(crate) fn with_some_solute(mut self) -> Self {
        let freezing_point_k = &mut self.curve.freezing_point_k;
        *freezing_point_k = freezing_point_k.min(ZERO_CELSIUS_K - LEAST_DEPRESSION_K);
        self
    }
}

/// Transport and sorption in the dried layer.
///
/// ```text
/// K(P, T)   = K50 [ s sqrt(T0/T) + (1 - s) (P/50 Pa) (T0/T)^1.9 ]   permeability, kg/(m s Pa)
///             s: Knudsen (free-molecular) share at 50 Pa; T0 = 253.15 K
/// k_dry(P)  = k0 + k_gas P/(P + P_half)                            conductivity, W/(m K)
/// k_d(X, T) = k40 exp[-(E_a/R)(1/T - 1/313.15)] max(1, X/X_loose)^m  desorption rate, 1/s
/// ```
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct DriedMatrix {
    /// Permeability to water vapour at 50 Pa and -20 degC, kg/(m s Pa).
    pub permeability_kg_per_m_s_pa: f64,
    /// Share of the permeability that is free-molecular at 50 Pa, 0 to 1.
    pub knudsen_share: f64,
    /// Resistance of skin or crust to vapour, m2 s Pa/kg.
    pub skin_resistance_m2_s_pa_per_kg: f64,
    /// Conductivity of the matrix at zero pressure, W/(m K).
    pub conductivity_vacuum_w_per_m_k: f64,
    /// What gas in the pores adds at high pressure, W/(m K).
    pub conductivity_gas_w_per_m_k: f64,
    /// Pressure at which half of that is reached, Pa.
    pub conductivity_half_pressure_pa: f64,
    /// Heat capacity of the dry matter, J/(kg K).
    pub heat_capacity_j_per_kg_k: f64,
    /// Desorption rate at 40 degC for tightly held water, 1/s.
    pub desorption_rate_40c_per_s: f64,
    /// Activation energy of the desorption rate, J/mol.
    pub desorption_activation_j_per_mol: f64,
    /// Water content above which water is held loosely, kg/kg dry.
    pub loose_water_per_dry: f64,
    /// Exponent of the rate above that content.
    pub loose_water_exponent: f64,
    /// Isotherm of the dried food.
    pub isotherm: Gab,
    /// Heat taken up per kg of water desorbed, J/kg.
    pub heat_of_desorption_j_per_kg: f64,
    /// Emissivity of the dried surface, 0 to 1.
    pub emissivity: f64,
}

/// Guggenheim-Anderson-de Boer isotherm at 30 to 40 degC.
///
/// ```text
/// X = X_m C K a / [(1 - K a)(1 - K a + C K a)]          a: water activity, X in kg/kg dry
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Gab {
    /// Monolayer water, kg/kg dry.
    pub monolayer_per_dry: f64,
    /// Energy constant C.
    pub c: f64,
    /// Multilayer constant K.
    pub k: f64,
}

/// What happens when the front is warmer than the structure allows.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct StructureLimit {
    /// Temperature of softening or collapse, K.
    pub collapse_k: f64,
    /// Whether cell walls carry the structure or not.
    pub kind: Structure,
}

/// How a food comes out.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Texture {
    /// Crisp, in its shape.
    Keeps,
    /// In its shape, but softer or less crisp.
    Softens,
    /// Shrunken and chewy; without cell walls collapsed, foamed or sticky.
    Shrinks,
}

impl StructureLimit {
    /// How it comes out of a run in which its ice front was on average so warm.
    ///
    /// Apple slices at 50 Pa over a plate at 55 degC (Hammami, Rene and Marin 1999, Int. J. Food Sci. Technol. 34, 145, from its
    /// abstract) and strawberry slices at 30 Pa over one at 50 degC (Hammami and Rene 1997, J. Food Eng. 32, from memory) are
    /// the published optima of appearance and texture, so they keep, however far their fronts lie above the glass transition
    /// of what is freeze-concentrated. Where softening begins and ends beyond that is from memory.
    pub fn texture(&self, front_mean_k: f64) -> Texture {
        let (softens_k, shrinks_k) = match self.kind {
            Structure::Tissue => (SOFTENS_K, SHRINKS_K),
            Structure::Gel => (10.0, 15.0),
            Structure::Solution => (0.0, 1.0),
        };
        match front_mean_k - self.collapse_k {
            above_k if above_k > shrinks_k => Texture::Shrinks,
            above_k if above_k > softens_k => Texture::Softens,
            _ => Texture::Keeps,
        }
    }
}

/// Front above the glass transition from which tissue softens, and from which it shrinks, K.
const SOFTENS_K: f64 = 20.0;
const SHRINKS_K: f64 = 26.0;

/// Who carries the load once the ice is gone.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Structure {
    /// Cell tissue: its walls carry it well above the limit; far above, it softens and shrinks.
    Tissue,
    /// A gel, such as yogurt: it keeps its body some way above the limit.
    Gel,
    /// Free solution, puree or syrup: above the limit it collapses and may foam.
    Solution,
}
