//! Ice, water vapour, and its flow through openings.

use serde::Deserialize;

use icefront_core::constants::{GAS_CONSTANT_J_PER_MOL_K, WATER_MOLAR_MASS_KG_PER_MOL};
use icefront_core::machine::{Vacuum, vapour_path};
use icefront_core::{primary, water};
use icefront_kitchen::evidence::{Fitted, Kind, Predicted};

use crate::evidence::EvidenceError;
use crate::evidence::case::{Case, read};

const VAPOUR: &str = include_str!("../../data/published/ice_and_vapour.csv");
const FLOW: &str = include_str!("../../data/published/vapour_flow.csv");
const ICE_TABLE: &str = include_str!("../../data/properties/ice.csv");

/// Seconds per hour.
const HOUR_S: f64 = 3_600.0;

#[derive(Deserialize)]
struct IceRow {
    temperature_k: f64,
    pressure_pa: f64,
    ice_enthalpy_j_per_kg: f64,
    vapour_enthalpy_j_per_kg: f64,
}

/// Single values, and the IAPWS tables every 10 K.
pub fn ice_and_vapour() -> Result<Vec<Case>, EvidenceError> {
    let mut cases = read("ice_and_vapour.csv", VAPOUR)?;
    let table: Vec<IceRow> = read("ice.csv", ICE_TABLE)?;
    for row in table.iter().step_by(10) {
        let case = |quantity: &str, short: &str, value: f64, unit: &str, source: &str| Case {
            id: format!("{short}-{}", row.temperature_k),
            kind: Kind::Verification,
            quantity: quantity.into(),
            conditions: format!("t_k={}", row.temperature_k),
            unit: unit.into(),
            low: None,
            value: Some(value),
            high: None,
            fitted: Fitted::Nothing,
            check: "iapws".into(),
            source: source.into(),
        };
        cases.push(case("pressure over ice", "ice-pressure", row.pressure_pa, "Pa", "iapws-r14-08"));
        let sublimation_kj = (row.vapour_enthalpy_j_per_kg - row.ice_enthalpy_j_per_kg) / 1e3;
        cases.push(case("heat of sublimation", "sublimation", sublimation_kj, "kJ/kg", "iapws-r6-r10"));
    }
    Ok(cases)
}

/// One property of ice or vapour.
pub fn property(case: &Case) -> Result<Predicted, EvidenceError> {
    let t = case.number("t_k")?;
    let predicted = match case.quantity.as_str() {
        "pressure over ice" => water::ice_vapour_pressure_pa(t),
        "pressure over water" => water::liquid_vapour_pressure_pa(t),
        "heat of sublimation" => water::heat_of_sublimation_j_per_kg(t) / 1e3,
        "density of ice" => water::ice_density_kg_per_m3(t),
        "heat capacity of ice" => water::ice_heat_capacity_j_per_kg_k(t) / 1e3,
        "conductivity of ice" => water::ice_conductivity_w_per_m_k(t),
        "heat capacity of vapour" => water::vapour_heat_capacity_j_per_kg_k(t) / 1e3,
        "conductivity of vapour" => water::vapour_conductivity_w_per_m_k(t) * 1e3,
        "viscosity of vapour" => water::vapour_viscosity_pa_s(t) * 1e6,
        _ => return Err(case.unknown()),
    };
    Ok(predicted.into())
}

/// Flow checks.
pub fn flow_cases() -> Result<Vec<Case>, EvidenceError> {
    read("vapour_flow.csv", FLOW)
}

/// One flow.
pub fn flow(case: &Case) -> Result<Predicted, EvidenceError> {
    let t = case.kelvin("t_c")?;
    let opening_kg_per_s_m2_pa = vapour_path::opening_conductance_kg_per_s_pa(1.0, t);
    let predicted = match case.quantity.as_str() {
        "greatest flux off ice into vacuum" => {
            water::ice_vapour_pressure_pa(t) / primary::surface_kinetics_m2_s_pa_per_kg(t) * HOUR_S
        }
        "free-molecular flux through an opening" | "flux through an opening, at most the choked one" => {
            opening_kg_per_s_m2_pa * HOUR_S
        }
        "conductance of an opening" => {
            // p V = R T/M per kg
            let volume_m3_pa_per_kg = GAS_CONSTANT_J_PER_MOL_K * t / WATER_MOLAR_MASS_KG_PER_MOL;
            opening_kg_per_s_m2_pa * volume_m3_pa_per_kg * 1e3 / 1e4
        }
        "mean free path" => water::mean_free_path_m(t, case.number("p_pa")?) * 1e3,
        "vapour past the condenser" => {
            let pump = Vacuum {
                volume_m3: 0.1,
                speed_m3_per_s: case.number("speed_m3_per_h")? / HOUR_S,
                ultimate_pa: 0.0,
                power_w: 0.0,
                leak_pa_m3_per_s: 0.0,
            };
            vapour_path::pump_vapour_kg_per_s_pa(&pump, t) * case.number("p_pa")? * HOUR_S * 1e3
        }
        _ => return Err(case.unknown()),
    };
    Ok(predicted.into())
}
