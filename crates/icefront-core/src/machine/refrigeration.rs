//! Refrigeration: cooling and electric power against the condenser metal's temperature and the room.
//!
//! # Main equations
//! In `docs/model.md`: M7 to M9.
//! One-stage compressor with clearance volume, R404A as working fluid, suction gas at room warmth:
//! ```text
//! eta_v = 1 - c [(p_c/p_e)^(1/n) - 1]                         volumetric efficiency, n = 1.1
//! m     = V eta_v rho_s(T_e) (T_e + 10 K)/T_return            refrigerant flow, kg/s
//! Q     = m q_e(T_e, T_c)                                     useful cooling (10 K superheat, 5 K subcooling), W
//! P     = P_0 + m w_s(T_e, T_c) (T_return/(T_e + 10 K))/eta   electric power, at most P_max (then m is throttled), W
//! T_e   = T_metal - Q/UA_wall        T_c = T_room + (Q + P)/UA_hot
//! ```
//! # Assumptions and limits
//! Quasi-steady; fitted inside -40..-18 degC evaporating, 30..48 degC condensing; outside it extrapolates by its
//! physics: no cooling where the clearance gas fills the cylinder, no more than `P_max` at warm suction.
//!
//! # Typical values
//! Swept volume, clearance, efficiency and loss fitted to five real small compressors: the curves are met within
//! 3 to 6 % (root mean square) in cooling and 1 to 9 % in power; `tests/machine.rs` holds the figures.
//!
//! # References
//! Saturation pressure, suction density, evaporator enthalpy difference and isentropic work: fits by this project
//! (within 0.9 %) to cycle points computed with CoolProp 8.0.0, `data/machine/refrigeration_cycles.csv`.
//! Compressor curves: EnergyPlus 25.2 data sets (open, US DOE), form AHRI Standard 540.

use super::Refrigeration;
use crate::constants::ZERO_CELSIUS_K;
use crate::error::ModelError;
use crate::numerics::power::power;
use crate::numerics::root;

/// ln p = A - B/(t + C), p in Pa, t in degC: R404A dew pressure, fitted -60..50 degC within 0.5 %.
const SATURATION: [f64; 3] = [21.257_24, 1_971.13, 247.989_5];
/// ln rho = a + b ln p_e: suction gas at 10 K superheat, kg/m3, within 0.7 %.
const SUCTION_DENSITY: [f64; 2] = [-9.262_15, 0.946_966_5];
/// q_e = a + b t_e + c t_c + d t_c^2, kJ/kg, within 0.3 kJ/kg.
const EVAPORATOR: [f64; 4] = [182.256_7, 0.625_487, -1.244_591, -4.521_8e-3];
/// Isentropic exponent a + b t_e in the work integral, within 0.9 %.
const ISENTROPIC: [f64; 2] = [1.007_699, -1.371_13e-3];
/// Exponent of the clearance gas, from the fit to the compressor curves.
const REEXPANSION: f64 = 1.1;
/// Suction gas where the compressor curves are stated, K (18.3 degC, EnergyPlus data set).
const RETURN_GAS_K: f64 = 291.45;
/// Useful superheat of the cycle points, K.
const SUPERHEAT_K: f64 = 10.0;

fn saturation_pressure_pa(t: f64) -> f64 {
    libm::exp(SATURATION[0] - SATURATION[1] / (t + SATURATION[2]))
}

/// Useful cooling and electric power of a compressor at stated saturation temperatures, W.
pub fn compressor_cooling_and_power_w(machine: &Refrigeration, evaporating_k: f64, condensing_k: f64) -> (f64, f64) {
    let (t_e, t_c) = (evaporating_k - ZERO_CELSIUS_K, condensing_k - ZERO_CELSIUS_K);
    let (p_e, p_c) = (saturation_pressure_pa(t_e), saturation_pressure_pa(t_c));
    let ratio = (p_c / p_e).max(1.0);
    let volumetric = (1.0 - machine.clearance * (power(ratio, 1.0 / REEXPANSION) - 1.0)).max(0.0);
    let density = libm::exp(SUCTION_DENSITY[0] + SUCTION_DENSITY[1] * libm::log(p_e));
    let warming = RETURN_GAS_K / (evaporating_k + SUPERHEAT_K);
    let cooling_j_per_kg =
        1e3 * (EVAPORATOR[0] + EVAPORATOR[1] * t_e + EVAPORATOR[2] * t_c + EVAPORATOR[3] * t_c * t_c);
    let n = ISENTROPIC[0] + ISENTROPIC[1] * t_e.min(0.0);
    let work_j_per_kg =
        n / (n - 1.0) * p_e / density * (power(ratio, (n - 1.0) / n) - 1.0) * warming / machine.isentropic_efficiency;
    let flow = machine.swept_m3_per_s * volumetric * density / warming;
    let flow = flow.min((machine.power_limit_w - machine.loss_w).max(0.0) / work_j_per_kg.max(1.0));
    (flow * cooling_j_per_kg.max(0.0), machine.loss_w + flow * work_j_per_kg)
}

/// A refrigerator in a room: cooling and power against condenser metal temperature, tabulated once.
#[derive(Clone, Debug)]
pub struct Refrigerator {
    first_k: f64,
    step_k: f64,
    points: Vec<(f64, f64)>,
}

/// Cooling and power with their slopes.
#[derive(Clone, Copy, Debug)]
pub struct Cooling {
    /// Heat taken from the metal, W.
    pub cooling_w: f64,
    /// Its slope, W/K.
    pub slope_w_per_k: f64,
    /// Electric power, W.
    pub power_w: f64,
}

const EVAPORATING_FROM_K: f64 = 195.0;
const EVAPORATING_TO_K: f64 = 300.0;
const TABLE_POINTS: usize = 53;
/// A compressor with little clearance still cools at the start of the table; it is followed down to here, where even one of
/// a hundredth pumps nothing, at any room temperature.
const COLDEST_K: f64 = 153.0;
/// How exactly the condensing temperature is looked for, K; how far from the last one first; how far over the room at all.
const CONDENSING_K: f64 = 1e-4;
const NEAR_K: f64 = 2.0;
const HOTTEST_K: f64 = 120.0;
const METAL_FROM_K: f64 = 195.0;
const METAL_TO_K: f64 = 325.0;

impl Refrigerator {
    /// Tabulates the machine in a room.
    ///
    /// # Errors
    /// [`ModelError::HotSideTooSmall`] if the hot side could not give off the heat even at 120 K over the room.
    pub fn in_room(machine: &Refrigeration, room_k: f64) -> Result<Self, ModelError> {
        let spacing_k = (EVAPORATING_TO_K - EVAPORATING_FROM_K) / (TABLE_POINTS - 1) as f64;
        // walking up in evaporating temperature gives the metal temperature without a second search
        let mut by_metal = Vec::with_capacity(TABLE_POINTS);
        let mut near_k = room_k;
        for i in 0..TABLE_POINTS {
            let evaporating_k = EVAPORATING_FROM_K + i as f64 * spacing_k;
            by_metal.push(Working::of(machine, room_k, evaporating_k, &mut near_k)?);
        }
        // and down as long as it cools: below the last point the metal gets no colder
        let (mut colder, mut near_k) = (Vec::new(), room_k);
        let mut coldest = by_metal[0];
        while coldest.cooling_w > 0.0 && coldest.evaporating_k > COLDEST_K {
            coldest = Working::of(machine, room_k, coldest.evaporating_k - spacing_k, &mut near_k)?;
            colder.push(coldest);
        }
        let by_metal: Vec<Working> = colder.into_iter().rev().chain(by_metal).collect();
        let step_k = 1.0;
        let below = ((METAL_FROM_K - by_metal[0].metal_k) / step_k).ceil().max(0.0);
        let first_k = METAL_FROM_K - below * step_k;
        let count = ((METAL_TO_K - first_k) / step_k) as usize + 1;
        let mut points = Vec::with_capacity(count);
        let mut j = 0;
        for i in 0..count {
            let metal_k = first_k + i as f64 * step_k;
            while j + 2 < by_metal.len() && by_metal[j + 1].metal_k < metal_k {
                j += 1;
            }
            let (a, b) = (by_metal[j], by_metal[j + 1]);
            let share = ((metal_k - a.metal_k) / (b.metal_k - a.metal_k)).clamp(0.0, 1.0);
            let between = |a: f64, b: f64| a + share * (b - a);
            points.push((between(a.cooling_w, b.cooling_w), between(a.power_w, b.power_w)));
        }
        Ok(Self { first_k, step_k, points })
    }

    /// Cooling and power at a metal temperature; constant beyond the table.
    pub fn at(&self, metal_k: f64) -> Cooling {
        let place = ((metal_k - self.first_k) / self.step_k).clamp(0.0, (self.points.len() - 1) as f64 - 1e-9);
        let i = place as usize;
        let share = place - i as f64;
        let (a, b) = (self.points[i], self.points[i + 1]);
        Cooling {
            cooling_w: a.0 + share * (b.0 - a.0),
            slope_w_per_k: (b.0 - a.0) / self.step_k,
            power_w: a.1 + share * (b.1 - a.1),
        }
    }
}

/// The machine at one evaporating temperature.
#[derive(Clone, Copy, Debug)]
struct Working {
    evaporating_k: f64,
    metal_k: f64,
    cooling_w: f64,
    power_w: f64,
}

impl Working {
    /// Settles the hot side; `near_k` is a condensing temperature near which to look first, and becomes the one found.
    fn of(machine: &Refrigeration, room_k: f64, evaporating_k: f64, near_k: &mut f64) -> Result<Self, ModelError> {
        let over_room_k = |condensing_k: f64| {
            let (q, p) = compressor_cooling_and_power_w(machine, evaporating_k, condensing_k);
            (q + p) / machine.hot_side_conductance_w_per_k
        };
        let hot = |condensing_k: f64| room_k + over_room_k(condensing_k) - condensing_k;
        let between = |low_k, high_k| root::bracketed("condensing temperature", low_k, high_k, CONDENSING_K, hot);
        let condensing_k = match between(*near_k - NEAR_K, *near_k + NEAR_K) {
            Ok(condensing_k) => condensing_k,
            Err(_) => {
                let hottest_k = room_k + HOTTEST_K;
                if over_room_k(hottest_k) > HOTTEST_K {
                    return Err(ModelError::HotSideTooSmall { limit_k: HOTTEST_K });
                }
                between(room_k, hottest_k)?
            }
        };
        *near_k = condensing_k;
        let (cooling_w, power_w) = compressor_cooling_and_power_w(machine, evaporating_k, condensing_k);
        let metal_k = evaporating_k + cooling_w / machine.wall_conductance_w_per_k;
        Ok(Self { evaporating_k, metal_k, cooling_w, power_w })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A machine with as little clearance as a load may have, in a cold and a warm room.
    #[test]
    fn no_machine_cools_without_end() {
        for (clearance, wall_w_per_k, swept_m3_per_s) in [(0.01, 2_000.0, 0.1), (0.01, 1.0, 1e-3), (0.05, 48.0, 7e-4)] {
            for room_k in [223.15, 293.15, 333.15] {
                let machine = Refrigeration {
                    swept_m3_per_s,
                    clearance,
                    isentropic_efficiency: 0.6,
                    loss_w: 4.0,
                    power_limit_w: 300.0,
                    wall_conductance_w_per_k: wall_w_per_k,
                    hot_side_conductance_w_per_k: 54.0,
                };
                let refrigerator = Refrigerator::in_room(&machine, room_k).unwrap();
                assert_eq!(refrigerator.at(150.0).cooling_w, 0.0, "clearance {clearance} in a room of {room_k} K");
                assert!(refrigerator.at(270.0).cooling_w > 0.0);
            }
        }
    }
}
