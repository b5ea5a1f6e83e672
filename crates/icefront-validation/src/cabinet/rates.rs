//! Rates of change of the differential state.
//!
//! ```text
//! R1  df/dt    = (dm/dt)/m_d
//! R2  dH/dt    = q_in - N [dh_sub(T_i) + c_v (T_s - T_i)] - (dm/dt)[h(T_i)/x_s - c_d (T_i - T_0)] - h_d D
//! R3  dX_k/dt  = (dm/dt w - N)/m_k at the depth of the front - k_d (X_k - X_eq)      w: all water per dry matter
//! R4  C dT_shelf/dt = P - heat to the food above and below - (A_stack/n) [sigma (T_shelf^4 - T_coil^4) + h_gas (T_shelf - T_coil)]
//! R5  C dT_coil/dt  = N_c [h_v(T_out) - h_ice(T_coil)] + radiation + UA_leak (T_room - T_coil) - Q(T_coil)
//! R6  P        = A P_max min(share by the thermostat at the set point of the moment, share by the pressure)
//! ```
//! `R2` counts frozen food from its freezing point and dried matter from 0 degC: the third term turns one into the other.

use icefront_core::constants::{STEFAN_BOLTZMANN_W_PER_M2_K4, ZERO_CELSIUS_K};
use icefront_core::machine::heat_paths::gas_gap_w_per_m2_k;
use icefront_core::machine::{Gauge, Heater, STACK_TO_WALL_M, SetPoint};
use icefront_core::water;

use super::balance::{Balances, Now};
use super::refrigeration::Refrigerator;
use super::stack::{Ceiling, Element};
use super::state::{ElementState, State};

/// The thermostat lets the power fall from full to nothing over this band around the set point, K.
const THERMOSTAT_BAND_K: f64 = 1.0;

/// The right-hand side.
#[derive(Clone, Debug)]
pub struct Rates<'a> {
    /// Algebraic part.
    pub balances: Balances<'a>,
    /// Cooling of the coil.
    pub refrigerator: Refrigerator,
    /// Room, K.
    pub room_k: f64,
}

impl Rates<'_> {
    /// Rates at a time from the start of drying and a state whose balances are settled.
    pub fn at(&self, time_s: f64, state: &State, iced: &[bool], now: &Now, rates: &mut State) {
        let stack = &self.balances.stack;
        let cabinet = stack.cabinet;
        let total_pa = now.vapour_pa + self.balances.air_pa;
        for (e, element) in stack.elements.iter().enumerate() {
            element_rates(element, &state.elements[e], iced[e], now, e, &mut rates.elements[e]);
        }
        let set_point_k = set_point_k(&cabinet.heater.set_point, time_s);
        let to_coil_m2 = cabinet.stack_to_cold_surface_m2 / state.shelves_k.len() as f64;
        let mut to_coil_w = 0.0;
        rates.heaters_j = 0.0;
        for (shelf, &here_k) in state.shelves_k.iter().enumerate() {
            let demand = 0.5 + (set_point_k - here_k) / THERMOSTAT_BAND_K;
            let power_w =
                heater_w(&cabinet.heater, stack.shelf_areas_m2[shelf], demand, now.vapour_pa, self.balances.air_pa);
            let mean_k = 0.5 * (here_k + state.coil_k);
            let gas = gas_gap_w_per_m2_k(STACK_TO_WALL_M, total_pa, mean_k, cabinet.contact.accommodation);
            let lost_w = to_coil_m2
                * (STEFAN_BOLTZMANN_W_PER_M2_K4 * (here_k.powi(4) - state.coil_k.powi(4))
                    + gas * (here_k - state.coil_k));
            rates.heaters_j += power_w;
            to_coil_w += lost_w;
            // heat first, divided by the capacity below
            rates.shelves_k[shelf] = power_w - lost_w;
        }
        for column in &stack.columns {
            rates.shelves_k[column.tray] -= now.elements[column.elements.start].from_below_w;
            let down_w = now.elements[column.elements.end - 1].from_above_w;
            match column.ceiling {
                Ceiling::Shelf(shelf) => rates.shelves_k[shelf] -= down_w,
                Ceiling::Coil => to_coil_w -= down_w,
                Ceiling::Insulated => {}
            }
        }
        for (shelf, heat) in rates.shelves_k.iter_mut().enumerate() {
            *heat /= stack.shelf_capacity_j_per_k(shelf);
        }
        let cooling = self.refrigerator.at(state.coil_k);
        let deposited_w = now.deposition_kg_per_s
            * (water::vapour_enthalpy_j_per_kg(now.vapour_k)
                - water::ice_enthalpy_j_per_kg(state.coil_k.min(ZERO_CELSIUS_K)));
        let leak_w = cabinet.heat_leak_w_per_k * (self.room_k - state.coil_k);
        rates.coil_k = (deposited_w + to_coil_w + leak_w - cooling.cooling_w) / cabinet.condenser.heat_capacity_j_per_k;
        rates.ice_kg = now.deposition_kg_per_s;
        rates.pumped_kg = now.pumped_kg_per_s;
        rates.compressor_j = cooling.power_w;
    }
}

fn element_rates(
    element: &Element<'_>,
    state: &ElementState,
    iced: bool,
    now: &Now,
    number: usize,
    rates: &mut ElementState,
) {
    let now = &now.elements[number];
    let (food, matrix) = (element.food, &element.food.dried);
    let passing = now.passing_kg_per_s;
    let front_over_k = now.front_k - ZERO_CELSIUS_K;
    let per_vapour = water::heat_of_sublimation_j_per_kg(now.front_k.min(ZERO_CELSIUS_K))
        + element.vapour_j_per_kg_k * (now.surface_k - now.front_k);
    let per_passed =
        food.curve.enthalpy_j_per_kg(now.front_k) / food.dry_frac() - matrix.heat_capacity_j_per_kg_k * front_over_k;
    rates.passed_frac = passing / element.dry_kg;
    rates.heat_j = now.from_below_w + now.from_above_w
        - now.sublimation_kg_per_s * per_vapour
        - passing * per_passed
        - now.desorption_kg_per_s * matrix.heat_of_desorption_j_per_kg;
    let depths = rates.sorbed_per_dry.len();
    for (rate, desorbing) in rates.sorbed_per_dry.iter_mut().zip(&now.desorbing_per_s) {
        *rate = -desorbing;
    }
    if iced {
        let at_front = ((state.passed_frac * depths as f64) as usize).min(depths - 1);
        let left_behind = passing * food.water_per_dry() - now.sublimation_kg_per_s;
        rates.sorbed_per_dry[at_front] += left_behind * depths as f64 / element.dry_kg;
    }
}

/// Set point of the shelves: the value of the ramp that runs at this time, K.
fn set_point_k(programme: &SetPoint, time_s: f64) -> f64 {
    let points = programme.points();
    let before = points.iter().rev().find(|point| point.time_s <= time_s);
    let after = points.iter().find(|point| point.time_s > time_s);
    match (before, after) {
        (Some(a), Some(b)) => {
            (a.shelf_k * (b.time_s - time_s) + b.shelf_k * (time_s - a.time_s)) / (b.time_s - a.time_s)
        }
        (Some(only), None) | (None, Some(only)) => only.shelf_k,
        (None, None) => f64::NAN,
    }
}

/// Power of a shelf's heater that its thermostat sets to a share, W.
fn heater_w(heater: &Heater, area_m2: f64, by_thermostat: f64, vapour_pa: f64, air_pa: f64) -> f64 {
    let reading_pa = |gauge: Gauge| air_pa + gauge.vapour_factor() * vapour_pa;
    let by_pressure =
        heater.cutback.map_or(1.0, |band| (band.to_pa - reading_pa(band.gauge)) / (band.to_pa - band.from_pa));
    area_m2 * heater.power_w_per_m2 * by_thermostat.min(by_pressure).clamp(0.0, 1.0)
}
