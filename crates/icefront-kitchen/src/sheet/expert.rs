//! `[tray.expert]`: each number of the food model and of the tray's contact, by its SI name.

use icefront_core::food::{FoodModel, Structure};
use icefront_core::load::ContactOverride;

use crate::sheet::limits::Limit;
use crate::sheet::section::Section;

/// What expert numbers change.
#[derive(Clone, Debug)]
pub struct Target {
    /// The food's properties.
    pub model: FoodModel,
    /// The tray's contact.
    pub contact: ContactOverride,
}

/// One number: key, range, and where it goes.
struct Number {
    key: &'static str,
    limit: Limit,
    set: fn(&mut Target, f64),
}

const fn number(key: &'static str, low: f64, high: f64, words: &'static str, set: fn(&mut Target, f64)) -> Number {
    Number { key, limit: Limit::number(low, high, words), set }
}

const SHARE: &str = "0 to 1";
const HEAT_CAPACITY: &str = "500 to 5000 J/(kg K)";

#[rustfmt::skip]
const NUMBERS: [Number; 31] = [
    number("density_kg_per_m3", 50.0, 2000.0, "50 to 2000 kg/m3", |t, v| t.model.density_kg_per_m3 = v),
    number("water_frac", 0.05, 0.98, "0.05 to 0.98", |t, v| t.model.curve.water_frac = v),
    number("unfreezable_frac", 0.0, 0.9, "0 to 0.9, at most `water_frac`", |t, v| t.model.curve.unfreezable_frac = v),
    number("freezing_point_k", 233.15, 273.15, "233.15 to 273.15 K", |t, v| t.model.curve.freezing_point_k = v),
    number("heat_capacity_unfrozen_j_per_kg_k", 500.0, 5000.0, HEAT_CAPACITY, |t, v| t.model.curve.heat_capacity_unfrozen_j_per_kg_k = v),
    number("heat_capacity_frozen_j_per_kg_k", 500.0, 5000.0, HEAT_CAPACITY, |t, v| t.model.curve.heat_capacity_frozen_j_per_kg_k = v),
    number("heat_of_fusion_j_per_kg", 2e5, 4e5, "200000 to 400000 J/kg", |t, v| t.model.curve.heat_of_fusion_j_per_kg = v),
    number("conductivity_unfrozen_w_per_m_k", 0.02, 3.0, "0.02 to 3 W/(m K)", |t, v| t.model.conductivity_unfrozen_w_per_m_k = v),
    number("conductivity_frozen_w_per_m_k", 0.02, 4.0, "0.02 to 4 W/(m K)", |t, v| t.model.conductivity_frozen_w_per_m_k = v),
    number("fat_per_dry", 0.0, 1.0, SHARE, |t, v| t.model.fat_per_dry = v),
    number("collapse_k", 203.15, 273.15, "203.15 to 273.15 K", |t, v| t.model.limit.collapse_k = v),
    number("permeability_kg_per_m_s_pa", 1e-11, 1e-5, "1e-11 to 1e-5 kg/(m s Pa)", |t, v| t.model.dried.permeability_kg_per_m_s_pa = v),
    number("knudsen_share", 0.0, 1.0, SHARE, |t, v| t.model.dried.knudsen_share = v),
    number("skin_resistance_m2_s_pa_per_kg", 0.0, 1e8, "0 to 1e8 m2 s Pa/kg", |t, v| t.model.dried.skin_resistance_m2_s_pa_per_kg = v),
    number("conductivity_vacuum_w_per_m_k", 0.005, 0.5, "0.005 to 0.5 W/(m K)", |t, v| t.model.dried.conductivity_vacuum_w_per_m_k = v),
    number("conductivity_gas_w_per_m_k", 0.0, 0.1, "0 to 0.1 W/(m K)", |t, v| t.model.dried.conductivity_gas_w_per_m_k = v),
    number("conductivity_half_pressure_pa", 1.0, 1e5, "1 to 1e5 Pa", |t, v| t.model.dried.conductivity_half_pressure_pa = v),
    number("heat_capacity_j_per_kg_k", 500.0, 5000.0, HEAT_CAPACITY, |t, v| t.model.dried.heat_capacity_j_per_kg_k = v),
    number("desorption_rate_40c_per_s", 1e-7, 1e-1, "1e-7 to 0.1 per s", |t, v| t.model.dried.desorption_rate_40c_per_s = v),
    number("desorption_activation_j_per_mol", 0.0, 2e5, "0 to 200000 J/mol", |t, v| t.model.dried.desorption_activation_j_per_mol = v),
    number("loose_water_per_dry", 0.01, 1.0, "0.01 to 1", |t, v| t.model.dried.loose_water_per_dry = v),
    number("loose_water_exponent", 0.0, 5.0, "0 to 5", |t, v| t.model.dried.loose_water_exponent = v),
    number("gab_monolayer_per_dry", 0.001, 0.5, "0.001 to 0.5", |t, v| t.model.dried.isotherm.monolayer_per_dry = v),
    number("gab_c", 0.1, 1000.0, "0.1 to 1000", |t, v| t.model.dried.isotherm.c = v),
    number("gab_k", 0.1, 1.2, "0.1 to 1.2", |t, v| t.model.dried.isotherm.k = v),
    number("heat_of_desorption_j_per_kg", 2e6, 5e6, "2e6 to 5e6 J/kg", |t, v| t.model.dried.heat_of_desorption_j_per_kg = v),
    number("emissivity", 0.0, 1.0, SHARE, |t, v| t.model.dried.emissivity = v),
    number("below_w_per_m2_k", 0.0, 1000.0, "0 to 1000 W/(m2 K)", |t, v| t.contact.below_w_per_m2_k = Some(v)),
    number("emissivity_above", 0.0, 1.0, SHARE, |t, v| t.contact.emissivity_above = Some(v)),
    number("gas_above_w_per_m2_k", 0.0, 1000.0, "0 to 1000 W/(m2 K)", |t, v| t.contact.gas_above_w_per_m2_k = Some(v)),
    number("vapour_heat_capacity_j_per_kg_k", 0.0, 5000.0, "0 to 5000 J/(kg K)", |t, v| t.contact.vapour_heat_capacity_j_per_kg_k = Some(v)),
];

const STRUCTURE: &str = "structure";

/// All keys of the table.
pub fn keys() -> Vec<&'static str> {
    NUMBERS.iter().map(|n| n.key).chain([STRUCTURE]).collect()
}

/// All numbers with their ranges in words.
#[cfg(test)]
pub fn ranges() -> impl Iterator<Item = (&'static str, &'static str)> {
    NUMBERS.iter().map(|n| (n.key, n.limit.words))
}

/// Replaces what the sheet gives.
pub fn apply(expert: &Section<'_>, target: &mut Target) {
    for number in &NUMBERS {
        if let Some(value) = expert.quantity(number.key, &number.limit) {
            (number.set)(target, value);
        }
    }
    let structures = [("tissue", Structure::Tissue), ("solution", Structure::Solution)];
    if let Some(kind) = expert.choice(STRUCTURE, &structures) {
        target.model.limit.kind = kind;
    }
    let curve = &target.model.curve;
    if curve.unfreezable_frac > curve.water_frac {
        let label = format!("{} against {} of water", curve.unfreezable_frac, curve.water_frac);
        let key = if expert.has("unfreezable_frac") { "unfreezable_frac" } else { "water_frac" };
        expert.note(key, "more water is unfreezable than there is", label, None);
    }
}
