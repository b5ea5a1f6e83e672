//! Vapour from the chamber to the cold surface, and what the pump takes besides.
//!
//! # Main equations
//! In `docs/model.md`: M3, M4, M6 and V1.
//! ```text
//! m = A sqrt[M/(2 pi R T)] (p_chamber - p_ice)         narrowest opening A, free-molecular
//! p_air = Q_leak/S + p_ultimate                        air that leaks in against pumping speed S
//! m_pump = S p_ice M/(R T)                             vapour past the condenser
//! t = (V/S) ln[(p_0 - p_end)/(p_1 - p_end)]            pump-down, p_end = p_ultimate + Q_leak/S
//! ```
//! # Assumptions and limits
//! The free-molecular opening has about 0.6 of the flow of an isentropic nozzle at the same pressure, so it can
//! never exceed the choked limit (6.82 kg/(h m2 Pa) at 0 degC); the rest stands for friction between the shelves.
//!
//! # References
//! Hertz-Knudsen; vacuum handbooks (aperture 14.67 l/(s cm2) for vapour at 20 degC), `data/published/vapour_flow.csv`.

use std::f64::consts::PI;

use super::Vacuum;
use crate::constants::{GAS_CONSTANT_J_PER_MOL_K, STANDARD_ATMOSPHERE_PA, WATER_MOLAR_MASS_KG_PER_MOL};

/// Total pressure that counts as evacuated, Pa: well under the triple point, above what small pumps hold.
pub const EVACUATED_PA: f64 = 100.0;
/// Most air that a pump may leave in the chamber, Pa. At the triple point of water (611.7 Pa) the food would boil instead
/// of subliming, and the model has no air that the vapour must push aside.
pub const MOST_AIR_PA: f64 = 600.0;
/// Longest pump-down that is followed, s (96 h; real ones take 15 to 30 min).
pub const SLOWEST_PUMP_DOWN_S: f64 = 96.0 * 3_600.0;

/// Mass flow through an opening per pascal of difference, kg/(s Pa).
pub fn opening_conductance_kg_per_s_pa(area_m2: f64, gas_k: f64) -> f64 {
    area_m2 * (WATER_MOLAR_MASS_KG_PER_MOL / (2.0 * PI * GAS_CONSTANT_J_PER_MOL_K * gas_k)).sqrt()
}

/// Air in the chamber once pumped down, Pa.
pub fn air_pressure_pa(vacuum: &Vacuum) -> f64 {
    vacuum.ultimate_pa + vacuum.leak_pa_m3_per_s / vacuum.speed_m3_per_s
}

/// Vapour the pump carries off per pascal over the condenser's ice, kg/(s Pa).
pub fn pump_vapour_kg_per_s_pa(vacuum: &Vacuum, gas_k: f64) -> f64 {
    vacuum.speed_m3_per_s * WATER_MOLAR_MASS_KG_PER_MOL / (GAS_CONSTANT_J_PER_MOL_K * gas_k)
}

/// Time that pumps take over that of [`pump_down_s`]: air and moisture leave walls, seals and oil, and a small pump loses
/// speed towards its end. Chambers of 60 to 100 l with pumps of 1.5 l/s take 15 to 30 min (`common practice, no source`).
const SLOWER_TIMES: f64 = 4.0;

/// Time until the chamber counts as evacuated, s.
pub fn evacuation_s(vacuum: &Vacuum) -> f64 {
    SLOWER_TIMES * pump_down_s(vacuum, EVACUATED_PA.max(1.5 * air_pressure_pa(vacuum)))
}

/// Time from atmospheric pressure down to `pressure_pa`, s; infinite if the pump never gets there.
pub fn pump_down_s(vacuum: &Vacuum, pressure_pa: f64) -> f64 {
    let floor = air_pressure_pa(vacuum);
    if pressure_pa <= floor {
        return f64::INFINITY;
    }
    vacuum.volume_m3 / vacuum.speed_m3_per_s * libm::log((STANDARD_ATMOSPHERE_PA - floor) / (pressure_pa - floor))
}
