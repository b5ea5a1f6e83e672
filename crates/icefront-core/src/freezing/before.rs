//! A tray set out in a freezer or outdoors before loading.
//!
//! # Main equations
//! ```text
//! open      q = h_c (T_s - T_air) + h_r (T_s - T_sky)                 h_r = e sigma (T_s^2 + T_sky^2)(T_s + T_sky)
//! covered   q = (T_s - T_air) / [1/(h_n/2 + h_r) + 1/h_c]             h_r to the lid, taken at air temperature
//! h_c       = max(natural, along a plate, outdoors: wind formula - what a black plate radiates to the air)
//! ```
//! # Assumptions and limits
//! The tray stands free: air touches the food from above and the metal from below. Under a lid the air is still: two
//! films, one at the food and one at the lid, halve natural convection; wind reaches the lid and the metal only, and
//! what the lid itself radiates to the sky is left out. No sun, no frost, no drying by the wind.
//!
//! Coefficients come from [`surface`] at the temperatures of the moment.

use serde::{Deserialize, Serialize};

use super::column::{Around, Column, Metal, Rows, TrayState};
pub use super::sky::clear_sky_k;
use super::surface;
use crate::error::ModelError;
use crate::machine::heat_paths::radiation_w_per_m2_k;
use crate::numerics::components::Components;
use crate::numerics::stepper::{ImplicitEuler, Stepper};
use crate::numerics::tridiagonal;

/// Air, wind and sky at one time.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Conditions {
    /// Air, K.
    pub air_k: f64,
    /// Wind or fan, m/s.
    pub wind_m_per_s: f64,
    /// What the food radiates to: sky outdoors, wall in a freezer, K.
    pub sky_k: f64,
    /// Outdoors: the wind formula for outdoor air; else a plate in a stream or in still air.
    pub outdoors: bool,
    /// A lid over the tray: no sky, and no wind on the food.
    pub covered: bool,
}

/// State of a tray at one time.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct SetOutSample {
    /// Time since it was set out, s.
    pub time_s: f64,
    /// Slowest point, K.
    pub core_k: f64,
    /// Surface towards the air, K.
    pub surface_k: f64,
    /// Air, K.
    pub air_k: f64,
}

/// What a tray is like when it comes in.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct SetOut {
    /// Enthalpy of the cells, J/kg.
    pub enthalpy_j_per_kg: Vec<f64>,
    /// Temperature of the tray's metal, K.
    pub metal_k: f64,
    /// Course of the temperatures.
    pub history: Vec<SetOutSample>,
    /// Time of the slowest point between 57 and 5 degC, s.
    pub warm_time_s: f64,
    /// First time the slowest point was below the wanted temperature, s.
    pub reached_at_s: Option<f64>,
}

/// Sheet of 1 mm steel, J/(m2 K): 7900 kg/m3 x 500 J/(kg K) x 1 mm (`from memory`, ordinary steel).
const TRAY_J_PER_M2_K: f64 = 3_950.0;
/// Emissivity of wet or frozen food. Source: infrared handbook tables (ice 0.96, water 0.96).
const FOOD_EMISSIVITY: f64 = 0.96;
/// Gap between food and its own tray is filled by the food itself: a good contact, W/(m2 K), `from memory`.
const WET_CONTACT_W_PER_M2_K: f64 = 500.0;
/// Bacteria of concern grow between these, K. Source: US FDA Food Code 3-501.14 (57 degC and 5 degC).
pub const GROWTH_FROM_K: f64 = 278.15;
/// Upper end of that range, K.
pub const GROWTH_TO_K: f64 = 330.15;

/// Newton has converged when no update exceeds this, K; the error left is about its square.
const SETTLED_K: f64 = 1e-3;
/// Joules per kilogram that count as one kelvin when updates are judged.
const J_PER_KG_PER_K: f64 = 2e3;

struct System<'a, C> {
    column: &'a Column,
    conditions: C,
    area_m2: f64,
    rows: Rows,
}

impl<C: Fn(f64) -> Conditions> System<'_, C> {
    /// Air over one face of the tray, W/(m2 K). The wind formula holds radiation, which is counted by itself here.
    fn convection_w_per_m2_k(&self, now: &Conditions, surface_k: f64, faces_up: bool) -> f64 {
        let film_k = 0.5 * (surface_k + now.air_k);
        let side_m = self.area_m2.sqrt();
        let along = surface::forced_plate_w_per_m2_k(now.wind_m_per_s, film_k, side_m);
        let plate = self.natural_w_per_m2_k(now, surface_k, faces_up).max(along);
        if !now.outdoors {
            return plate;
        }
        let wind = surface::wind_w_per_m2_k(now.wind_m_per_s) - radiation_w_per_m2_k(1.0, surface_k, now.air_k);
        wind.max(plate)
    }

    fn natural_w_per_m2_k(&self, now: &Conditions, surface_k: f64, faces_up: bool) -> f64 {
        surface::natural_plate_w_per_m2_k(surface_k, now.air_k, self.area_m2.sqrt() / 4.0, faces_up)
    }

    /// What the food faces, and the metal's underside to air, W/K.
    fn around(&self, now: &Conditions, metal_k: f64, surface_k: f64) -> (Around, f64) {
        let exposed_m2 = self.exposed_m2();
        // pieces see each other from the side: together they radiate no more than the tray they cover
        let facing_m2 = exposed_m2.min(self.area_m2);
        let convection = self.convection_w_per_m2_k(now, surface_k, true);
        let (above_w_per_k, air_k) = if now.covered {
            let still = 0.5 * self.natural_w_per_m2_k(now, surface_k, true);
            let radiation = radiation_w_per_m2_k(FOOD_EMISSIVITY, surface_k, now.air_k);
            let to_lid = still * exposed_m2 + radiation * facing_m2;
            (1.0 / (1.0 / to_lid + 1.0 / (convection * self.area_m2)), now.air_k)
        } else {
            let to_air = convection * exposed_m2;
            let to_sky = radiation_w_per_m2_k(FOOD_EMISSIVITY, surface_k, now.sky_k) * facing_m2;
            // sky and air as one: the air temperature that takes the same heat
            (to_air + to_sky, (to_air * now.air_k + to_sky * now.sky_k) / (to_air + to_sky))
        };
        let around = Around { below_w_per_k: WET_CONTACT_W_PER_M2_K * self.area_m2, above_w_per_k, air_k };
        (around, self.convection_w_per_m2_k(now, metal_k, false) * self.area_m2)
    }

    /// Surface towards the air at the temperatures of the moment, K.
    fn surface_k(&self, now: &Conditions, state: &TrayState) -> f64 {
        let guess = Around { below_w_per_k: 0.0, above_w_per_k: 10.0 * self.exposed_m2(), air_k: now.air_k };
        let (around, _) = self.around(now, state.metal_k, self.column.surface_k(&state.enthalpy_j_per_kg, &guess));
        self.column.surface_k(&state.enthalpy_j_per_kg, &around)
    }

    fn exposed_m2(&self) -> f64 {
        if self.column.is_piece() { self.column.low_area_m2 } else { self.column.high_area_m2 }
    }
}

impl<C: Fn(f64) -> Conditions> ImplicitEuler for System<'_, C> {
    type State = TrayState;

    fn step(&mut self, t_s: f64, h_s: f64, old: &TrayState, new: &mut TrayState) -> Result<(), ModelError> {
        let now = (self.conditions)(t_s + h_s);
        let (around, below) = self.around(&now, old.metal_k, self.surface_k(&now, old));
        let air_k = now.air_k;
        let mut largest = f64::INFINITY;
        for _ in 0..30 {
            let metal = Metal {
                capacity_j_per_k: TRAY_J_PER_M2_K * self.area_m2,
                old_k: old.metal_k,
                new_k: new.metal_k,
                air_w_per_k: below,
                wall_w_per_k: 0.0,
                wall_k: air_k,
            };
            let mut rows = std::mem::take(&mut self.rows);
            // the metal sees plain air, the food air and sky
            let (from, to) = (&old.enthalpy_j_per_kg, &new.enthalpy_j_per_kg);
            self.column.rows(h_s, &around, &metal, from, to, &mut rows);
            rows[0].rhs.residual += below * (air_k - around.air_k);
            tridiagonal::solve(&mut rows);
            let metal_update_k = rows[0].rhs.residual;
            new.metal_k += metal_update_k;
            largest = metal_update_k.abs();
            for (enthalpy, row) in new.enthalpy_j_per_kg.iter_mut().zip(&rows[1..]) {
                *enthalpy += row.rhs.residual;
                largest = f64::max(largest, row.rhs.residual.abs() / J_PER_KG_PER_K);
            }
            self.rows = rows;
            if largest < SETTLED_K {
                return Ok(());
            }
        }
        Err(ModelError::NotConverged { what: "freezing step", at_s: t_s, residual: largest, limit: SETTLED_K })
    }

    fn error_norm(&self, full: &TrayState, half: &TrayState) -> f64 {
        // 600 J/kg is 0.3 K in ice and a five-hundredth of the latent heat
        let cells = full.enthalpy_j_per_kg.iter().zip(&half.enthalpy_j_per_kg).map(|(a, b)| (a - b).abs() / 600.0);
        cells.fold((full.metal_k - half.metal_k).abs() / 0.3, f64::max)
    }

    fn admissible(&self, _: &TrayState, state: &TrayState) -> bool {
        state.all_finite()
    }
}

/// Runs a tray from `start_k` for `time_s` under conditions that may change; `wanted_k` is the core temperature to
/// be reached.
///
/// # Errors
/// [`ModelError::NotConverged`] if a step does not settle.
pub fn set_out(
    column: &Column,
    area_m2: f64,
    start_k: f64,
    time_s: f64,
    wanted_k: f64,
    conditions: impl Fn(f64) -> Conditions,
) -> Result<SetOut, ModelError> {
    let enthalpy_j_per_kg = vec![column.enthalpy_j_per_kg(start_k); column.cells()];
    let mut state = TrayState { metal_k: start_k, enthalpy_j_per_kg };
    let mut system = System { column, conditions, area_m2, rows: Rows::default() };
    let mut stepper = Stepper::new(&state, 10.0, 1_800.0);
    let mut out = SetOut {
        enthalpy_j_per_kg: Vec::new(),
        metal_k: start_k,
        history: Vec::new(),
        warm_time_s: 0.0,
        reached_at_s: (start_k <= wanted_k).then_some(0.0),
    };
    let mut t = 0.0;
    let mut core_k = start_k;
    let air_k = (system.conditions)(0.0).air_k;
    out.history.push(SetOutSample { time_s: 0.0, core_k, surface_k: start_k, air_k });
    while t < time_s {
        let h = stepper.advance(&mut system, t, time_s - t, &mut state)?;
        let before_k = core_k;
        core_k = column.thermal_centre_k(&state.enthalpy_j_per_kg);
        out.warm_time_s += warm_share(before_k, core_k) * h;
        if out.reached_at_s.is_none() && core_k <= wanted_k {
            out.reached_at_s = Some(t + h * crossing(before_k, core_k, wanted_k));
        }
        t += h;
        let now = (system.conditions)(t);
        let surface_k = system.surface_k(&now, &state);
        out.history.push(SetOutSample { time_s: t, core_k, surface_k, air_k: now.air_k });
    }
    out.metal_k = state.metal_k;
    out.enthalpy_j_per_kg = state.enthalpy_j_per_kg;
    Ok(out)
}

/// Share of a step spent in the growth range while the core went from one temperature to another.
pub fn warm_share(from_k: f64, to_k: f64) -> f64 {
    let (low, high) = (from_k.min(to_k), from_k.max(to_k));
    if high - low < 1e-9 {
        return f64::from(u8::from((GROWTH_FROM_K..=GROWTH_TO_K).contains(&low)));
    }
    ((high.min(GROWTH_TO_K) - low.max(GROWTH_FROM_K)) / (high - low)).max(0.0)
}

/// Share of a step at which a falling temperature met a level.
pub fn crossing(from_k: f64, to_k: f64, level_k: f64) -> f64 {
    if from_k <= to_k { 1.0 } else { ((from_k - level_k) / (from_k - to_k)).clamp(0.0, 1.0) }
}
