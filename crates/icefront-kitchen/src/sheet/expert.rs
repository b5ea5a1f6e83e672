//! `[tray.expert]`: each number of the food model and of the tray's contact, by its SI name.

use icefront_core::food::{FoodModel, Structure};
use icefront_core::load::ContactOverride;

use crate::sheet::section::Section;

/// What expert numbers change.
#[derive(Clone, Debug)]
pub struct Target {
    /// The food's properties.
    pub model: FoodModel,
    /// The tray's contact.
    pub contact: ContactOverride,
}

/// What puts a number in its place.
type Setter = fn(&mut Target, f64);

/// Where each number of `[tray.expert]` goes.
#[rustfmt::skip]
const NUMBERS: [(&str, Setter); 31] = [
    ("density_kg_per_m3", |t, v| t.model.density_kg_per_m3 = v),
    ("water_frac", |t, v| t.model.curve.water_frac = v),
    ("unfreezable_frac", |t, v| t.model.curve.unfreezable_frac = v),
    ("freezing_point_k", |t, v| t.model.curve.freezing_point_k = v),
    ("heat_capacity_unfrozen_j_per_kg_k", |t, v| t.model.curve.heat_capacity_unfrozen_j_per_kg_k = v),
    ("heat_capacity_frozen_j_per_kg_k", |t, v| t.model.curve.heat_capacity_frozen_j_per_kg_k = v),
    ("heat_of_fusion_j_per_kg", |t, v| t.model.curve.heat_of_fusion_j_per_kg = v),
    ("conductivity_unfrozen_w_per_m_k", |t, v| t.model.conductivity_unfrozen_w_per_m_k = v),
    ("conductivity_frozen_w_per_m_k", |t, v| t.model.conductivity_frozen_w_per_m_k = v),
    ("fat_per_dry", |t, v| t.model.fat_per_dry = v),
    ("collapse_k", |t, v| t.model.limit.collapse_k = v),
    ("permeability_kg_per_m_s_pa", |t, v| t.model.dried.permeability_kg_per_m_s_pa = v),
    ("knudsen_share", |t, v| t.model.dried.knudsen_share = v),
    ("skin_resistance_m2_s_pa_per_kg", |t, v| t.model.dried.skin_resistance_m2_s_pa_per_kg = v),
    ("conductivity_vacuum_w_per_m_k", |t, v| t.model.dried.conductivity_vacuum_w_per_m_k = v),
    ("conductivity_gas_w_per_m_k", |t, v| t.model.dried.conductivity_gas_w_per_m_k = v),
    ("conductivity_half_pressure_pa", |t, v| t.model.dried.conductivity_half_pressure_pa = v),
    ("heat_capacity_j_per_kg_k", |t, v| t.model.dried.heat_capacity_j_per_kg_k = v),
    ("desorption_rate_40c_per_s", |t, v| t.model.dried.desorption_rate_40c_per_s = v),
    ("desorption_activation_j_per_mol", |t, v| t.model.dried.desorption_activation_j_per_mol = v),
    ("loose_water_per_dry", |t, v| t.model.dried.loose_water_per_dry = v),
    ("loose_water_exponent", |t, v| t.model.dried.loose_water_exponent = v),
    ("gab_monolayer_per_dry", |t, v| t.model.dried.isotherm.monolayer_per_dry = v),
    ("gab_c", |t, v| t.model.dried.isotherm.c = v),
    ("gab_k", |t, v| t.model.dried.isotherm.k = v),
    ("heat_of_desorption_j_per_kg", |t, v| t.model.dried.heat_of_desorption_j_per_kg = v),
    ("emissivity", |t, v| t.model.dried.emissivity = v),
    ("below_w_per_m2_k", |t, v| t.contact.below_w_per_m2_k = Some(v)),
    ("emissivity_above", |t, v| t.contact.emissivity_above = Some(v)),
    ("gas_above_w_per_m2_k", |t, v| t.contact.gas_above_w_per_m2_k = Some(v)),
    ("vapour_heat_capacity_j_per_kg_k", |t, v| t.contact.vapour_heat_capacity_j_per_kg_k = Some(v)),
];

/// Replaces what the sheet gives.
pub fn apply(expert: &Section<'_>, target: &mut Target) {
    for (key, set) in NUMBERS {
        if let Some(value) = expert.quantity(key) {
            set(target, value);
        }
    }
    if let Some(word) = expert.word("structure") {
        target.model.limit.kind = if word == "tissue" { Structure::Tissue } else { Structure::Solution };
    }
    let curve = &target.model.curve;
    if curve.unfreezable_frac > curve.water_frac {
        let label = format!("{} against {} of water", curve.unfreezable_frac, curve.water_frac);
        let key = if expert.has("unfreezable_frac") { "unfreezable_frac" } else { "water_frac" };
        expert.note(key, "more water is unfreezable than there is", label, None);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sheet::schema::expert::EXPERT;

    #[test]
    fn every_number_of_the_schema_goes_somewhere() {
        let read: Vec<&str> = NUMBERS.iter().map(|(key, _)| *key).collect();
        let known: Vec<&str> = EXPERT.names().into_iter().filter(|key| *key != "structure").collect();
        assert_eq!(read, known);
    }
}
