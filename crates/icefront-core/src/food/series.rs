//! Two foods one above the other, as one: what a column through a piece in a sauce is like as a whole.

use super::{DriedMatrix, FoodModel, FreezingCurve, Gab, StructureLimit};

impl FoodModel {
    /// This food with another in series, which takes `share` of the volume.
    ///
    /// ```text
    /// sums of mass: water, unfreezable water, heat; sums of dry mass: fat, heat of the dry matter, isotherm
    /// 1/k, 1/K: sums of thickness (heat and vapour pass one after the other)
    /// t_f = sum(w x_f t_f)/sum(w x_f)      keeps the ice of both well below their freezing points
    /// ```
    /// The order of the two is not followed. The lower collapse temperature of the two counts for the front; surface and skin are this
    /// food's. The same food twice is the food itself.
    pub fn in_series(&self, other: &Self, share: f64) -> Self {
        let volume = [1.0 - share, share];
        let foods = [self, other];
        let density = (0..2).map(|i| volume[i] * foods[i].density_kg_per_m3).sum::<f64>();
        let mass = [0, 1].map(|i| volume[i] * foods[i].density_kg_per_m3 / density);
        let by_mass = |of: &dyn Fn(&Self) -> f64| mass[0] * of(self) + mass[1] * of(other);
        let water_frac = by_mass(&Self::water_frac);
        let dry = [0, 1].map(|i| mass[i] * foods[i].dry_frac() / (1.0 - water_frac));
        let by_dry = |of: &dyn Fn(&Self) -> f64| dry[0] * of(self) + dry[1] * of(other);
        let in_series = |of: &dyn Fn(&Self) -> f64| 1.0 / (volume[0] / of(self) + volume[1] / of(other));
        let freezable = by_mass(&|m| m.curve.freezable_frac());
        let freezing_point_k = if freezable > 0.0 {
            by_mass(&|m| m.curve.freezable_frac() * m.curve.freezing_point_k) / freezable
        } else {
            self.curve.freezing_point_k
        };
        let weaker = if other.limit.collapse_k < self.limit.collapse_k { other } else { self };
        let weaker = if share > 0.0 { weaker } else { self };
        Self {
            density_kg_per_m3: density,
            curve: FreezingCurve {
                water_frac,
                unfreezable_frac: by_mass(&|m| m.curve.unfreezable_frac),
                freezing_point_k,
                heat_capacity_unfrozen_j_per_kg_k: by_mass(&|m| m.curve.heat_capacity_unfrozen_j_per_kg_k),
                heat_capacity_frozen_j_per_kg_k: by_mass(&|m| m.curve.heat_capacity_frozen_j_per_kg_k),
                heat_of_fusion_j_per_kg: by_mass(&|m| m.curve.heat_of_fusion_j_per_kg),
            },
            conductivity_unfrozen_w_per_m_k: in_series(&|m| m.conductivity_unfrozen_w_per_m_k),
            conductivity_frozen_w_per_m_k: in_series(&|m| m.conductivity_frozen_w_per_m_k),
            dried: DriedMatrix {
                permeability_kg_per_m_s_pa: in_series(&|m| m.dried.permeability_kg_per_m_s_pa),
                knudsen_share: by_dry(&|m| m.dried.knudsen_share),
                conductivity_vacuum_w_per_m_k: in_series(&|m| m.dried.conductivity_vacuum_w_per_m_k),
                conductivity_gas_w_per_m_k: by_dry(&|m| m.dried.conductivity_gas_w_per_m_k),
                conductivity_half_pressure_pa: by_dry(&|m| m.dried.conductivity_half_pressure_pa),
                heat_capacity_j_per_kg_k: by_dry(&|m| m.dried.heat_capacity_j_per_kg_k),
                desorption_rate_40c_per_s: by_dry(&|m| m.dried.desorption_rate_40c_per_s),
                desorption_activation_j_per_mol: by_dry(&|m| m.dried.desorption_activation_j_per_mol),
                loose_water_per_dry: by_dry(&|m| m.dried.loose_water_per_dry),
                loose_water_exponent: by_dry(&|m| m.dried.loose_water_exponent),
                isotherm: Gab {
                    monolayer_per_dry: by_dry(&|m| m.dried.isotherm.monolayer_per_dry),
                    c: by_dry(&|m| m.dried.isotherm.c),
                    k: by_dry(&|m| m.dried.isotherm.k),
                },
                heat_of_desorption_j_per_kg: by_dry(&|m| m.dried.heat_of_desorption_j_per_kg),
                ..self.dried.clone()
            },
            fat_per_dry: by_dry(&|m| m.fat_per_dry),
            limit: StructureLimit { ..weaker.limit },
        }
    }
}
