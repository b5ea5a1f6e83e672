//! `[tray.expert]`: numbers that replace those of the food and of the tray's contact, in SI. A row says where its number
//! goes.

use icefront_core::food::FoodModel;
use icefront_core::load::ContactOverride;

use super::Value::Words;
use super::{Key, Table, number};

const SHARE: &str = "0 to 1";
const HEAT_CAPACITY: &str = "500 to 5000 J/(kg K)";

/// What expert numbers change.
#[derive(Clone, Debug)]
pub struct Target {
    /// The food's properties.
    pub model: FoodModel,
    /// The tray's contact.
    pub contact: ContactOverride,
}

/// `[tray.expert]`
#[rustfmt::skip]
pub static EXPERT: Table = Table::new(&[
    Key::new("density_kg_per_m3", number(50.0, 2000.0, "50 to 2000 kg/m3"), "food as loaded, air pores included").sets(|t, v| t.model.density_kg_per_m3 = v),
    Key::new("water_frac", number(0.05, 0.98, "0.05 to 0.98"), "water, kg per kg of food").sets(|t, v| t.model.curve.water_frac = v),
    Key::new("unfreezable_frac", number(0.0, 0.9, "0 to 0.9, at most `water_frac`"), "water that never freezes, kg per kg of food").sets(|t, v| t.model.curve.unfreezable_frac = v),
    Key::new("freezing_point_k", number(233.15, 273.15, "233.15 to 273.15 K"), "where freezing begins").sets(|t, v| t.model.curve.freezing_point_k = v),
    Key::new("heat_capacity_unfrozen_j_per_kg_k", number(500.0, 5000.0, HEAT_CAPACITY), "above the freezing point").sets(|t, v| t.model.curve.heat_capacity_unfrozen_j_per_kg_k = v),
    Key::new("heat_capacity_frozen_j_per_kg_k", number(500.0, 5000.0, HEAT_CAPACITY), "when it is frozen").sets(|t, v| t.model.curve.heat_capacity_frozen_j_per_kg_k = v),
    Key::new("heat_of_fusion_j_per_kg", number(2e5, 4e5, "200000 to 400000 J/kg"), "of its water").sets(|t, v| t.model.curve.heat_of_fusion_j_per_kg = v),
    Key::new("conductivity_unfrozen_w_per_m_k", number(0.02, 3.0, "0.02 to 3 W/(m K)"), "above the freezing point").sets(|t, v| t.model.conductivity_unfrozen_w_per_m_k = v),
    Key::new("conductivity_frozen_w_per_m_k", number(0.02, 4.0, "0.02 to 4 W/(m K)"), "at -20 °C").sets(|t, v| t.model.conductivity_frozen_w_per_m_k = v),
    Key::new("fat_per_dry", number(0.0, 1.0, SHARE), "fat, kg per kg of dry matter").sets(|t, v| t.model.fat_per_dry = v),
    Key::new("collapse_k", number(203.15, 273.15, "203.15 to 273.15 K"), "warmest ice at which the food keeps its \
                                                                          structure").sets(|t, v| t.model.limit.collapse_k = v),
    Key::new("structure", Words(&[("tissue", "tissue"), ("gel", "gel"), ("solution", "solution")]), "what carries it once the ice is gone"),
    Key::new("permeability_kg_per_m_s_pa", number(1e-11, 1e-5, "1e-11 to 1e-5 kg/(m s Pa)"), "dried layer to vapour, at 50 Pa and -20 °C").sets(|t, v| t.model.dried.permeability_kg_per_m_s_pa = v),
    Key::new("knudsen_share", number(0.0, 1.0, SHARE), "share of it that is free-molecular at 50 Pa").sets(|t, v| t.model.dried.knudsen_share = v),
    Key::new("skin_resistance_m2_s_pa_per_kg", number(0.0, 1e8, "0 to 1e8 m2 s Pa/kg"), "skin or crust").sets(|t, v| t.model.dried.skin_resistance_m2_s_pa_per_kg = v),
    Key::new("conductivity_vacuum_w_per_m_k", number(0.005, 0.5, "0.005 to 0.5 W/(m K)"), "dried layer at zero pressure").sets(|t, v| t.model.dried.conductivity_vacuum_w_per_m_k = v),
    Key::new("conductivity_gas_w_per_m_k", number(0.0, 0.1, "0 to 0.1 W/(m K)"), "what gas adds at high pressure").sets(|t, v| t.model.dried.conductivity_gas_w_per_m_k = v),
    Key::new("conductivity_half_pressure_pa", number(1.0, 1e5, "1 to 1e5 Pa"), "where half of that is reached").sets(|t, v| t.model.dried.conductivity_half_pressure_pa = v),
    Key::new("heat_capacity_j_per_kg_k", number(500.0, 5000.0, HEAT_CAPACITY), "of the dry matter").sets(|t, v| t.model.dried.heat_capacity_j_per_kg_k = v),
    Key::new("desorption_rate_40c_per_s", number(1e-7, 1e-1, "1e-7 to 0.1 per s"), "tightly bound water at 40 °C").sets(|t, v| t.model.dried.desorption_rate_40c_per_s = v),
    Key::new("desorption_activation_j_per_mol", number(0.0, 2e5, "0 to 200000 J/mol"), "of that rate").sets(|t, v| t.model.dried.desorption_activation_j_per_mol = v),
    Key::new("loose_water_per_dry", number(0.01, 1.0, "0.01 to 1"), "content above which water is held loosely, kg/kg dry").sets(|t, v| t.model.dried.loose_water_per_dry = v),
    Key::new("loose_water_exponent", number(0.0, 5.0, "0 to 5"), "of the rate above it").sets(|t, v| t.model.dried.loose_water_exponent = v),
    Key::new("gab_monolayer_per_dry", number(0.001, 0.5, "0.001 to 0.5"), "isotherm: monolayer, kg/kg dry").sets(|t, v| t.model.dried.isotherm.monolayer_per_dry = v),
    Key::new("gab_c", number(0.1, 1000.0, "0.1 to 1000"), "isotherm: C").sets(|t, v| t.model.dried.isotherm.c = v),
    Key::new("gab_k", number(0.1, 1.2, "0.1 to 1.2"), "isotherm: K").sets(|t, v| t.model.dried.isotherm.k = v),
    Key::new("heat_of_desorption_j_per_kg", number(2e6, 5e6, "2e6 to 5e6 J/kg"), "of bound water").sets(|t, v| t.model.dried.heat_of_desorption_j_per_kg = v),
    Key::new("emissivity", number(0.0, 1.0, SHARE), "dried surface").sets(|t, v| t.model.dried.emissivity = v),
    Key::new("below_w_per_m2_k", number(0.0, 1000.0, "0 to 1000 W/(m2 K)"), "shelf to food, instead of the contact formula").sets(|t, v| t.contact.below_w_per_m2_k = Some(v)),
    Key::new("emissivity_above", number(0.0, 1.0, SHARE), "effective, between the surface above and the food").sets(|t, v| t.contact.emissivity_above = Some(v)),
    Key::new("gas_above_w_per_m2_k", number(0.0, 1000.0, "0 to 1000 W/(m2 K)"), "gas conduction from above").sets(|t, v| t.contact.gas_above_w_per_m2_k = Some(v)),
    Key::new("vapour_heat_capacity_j_per_kg_k", number(0.0, 5000.0, "0 to 5000 J/(kg K)"), "vapour on its way out").sets(|t, v| t.contact.vapour_heat_capacity_j_per_kg_k = Some(v)),
]);
