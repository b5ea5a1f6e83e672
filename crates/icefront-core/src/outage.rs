//! A run that stands still: how warm the food gets while power, pump or door interrupt it.
//!
//! # Main equations
//! The ice of a tray, its food and its shelf are one body at one temperature T, which takes heat from the room:
//! ```text
//! E(T)  = m h(T) + C (T - T_f)                    h: enthalpy of the food that is still icy (freezing curve F6), C: the rest
//! dE/dt = (G/A + U) (T_room - T)
//! ```
//! `m`: food with ice in it, kg/m2; `C`: dried food and shelf metal, J/(m2 K), the metal as warm as it was; `G/A`: heat leak of the
//! cabinet for each square metre of tray; `U`: 0 with the door closed, 10 W/(m2 K) in still air.
//!
//! # Assumptions and limits
//! On the safe side: sublimation, which cools, has stopped; the room is the warmest thing there is; the condenser's ice keeps
//! nothing cold. One temperature: the edge of a thick piece is warmer than that, the middle colder. The air-side coefficient is
//! `common practice, no source`.
//!
//! # Checked against
//! Warming of white fish by the enthalpies of FAO Fisheries Technical Paper 340: `tests/properties.rs`.

use crate::food::FreezingCurve;
use crate::load::Load;
use crate::machine::Dryer;
use crate::numerics::root::bracketed;
use crate::result::{BatchResult, Stage};

/// What became of a tray.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Warmed {
    /// Food before, K.
    pub from_k: f64,
    /// Food after, K; at most its freezing point while ice is left.
    pub to_k: f64,
    /// Share of the ice that turned to liquid, 0 to 1; a little does in any food that gets warmer and stays solid.
    pub melted_frac: f64,
    /// Whether there was ice to melt.
    pub had_ice: bool,
}

/// Dry food and the water held in it, J/(kg K).
const DRY_J_PER_KG_K: f64 = 1_500.0;
const HELD_WATER_J_PER_KG_K: f64 = 4_200.0;
/// Still air and radiation on an open tray, W/(m2 K).
const OPEN_W_PER_M2_K: f64 = 10.0;
/// Step, s.
const STEP_S: f64 = 60.0;
/// Less ice than this is none.
const NO_ICE: f64 = 1e-3;

/// A tray with its shelf, for each square metre.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Body {
    /// Food that still has ice in it.
    pub curve: FreezingCurve,
    /// How much of it, kg/m2.
    pub icy_kg_per_m2: f64,
    /// Heat capacity of everything else, J/(m2 K).
    pub rest_j_per_m2_k: f64,
    /// Temperature, K.
    pub temperature_k: f64,
}

impl Body {
    /// Heat in it, J/m2; zero at the freezing point with nothing frozen.
    fn heat_j_per_m2(&self) -> f64 {
        self.heat_at(self.temperature_k)
    }

    fn heat_at(&self, temperature_k: f64) -> f64 {
        self.icy_kg_per_m2 * self.curve.enthalpy_j_per_kg(temperature_k)
            + self.rest_j_per_m2_k * (temperature_k - self.curve.freezing_point_k)
    }

    /// The same body with so much heat in it.
    fn with_heat(mut self, heat_j_per_m2: f64) -> Self {
        let off = |temperature_k: f64| self.heat_at(temperature_k) - heat_j_per_m2;
        self.temperature_k = bracketed("temperature", COLDEST_K, HOTTEST_K, 1e-6, off).unwrap_or(self.temperature_k);
        self
    }

    /// The same body after it stood for a time beside a room.
    #[must_use]
    pub fn warmed(mut self, w_per_m2_k: f64, room_k: f64, for_s: f64) -> Self {
        let mut time_s = 0.0;
        while time_s < for_s {
            let step_s = STEP_S.min(for_s - time_s);
            let gained = w_per_m2_k * (room_k - self.temperature_k) * step_s;
            // it comes no nearer to the room than the room itself
            let most = self.heat_at(room_k) - self.heat_j_per_m2();
            self = self.with_heat(self.heat_j_per_m2() + if most >= 0.0 { gained.min(most) } else { gained.max(most) });
            time_s += step_s;
        }
        self
    }
}

/// Temperatures that a body is looked for between, K.
const COLDEST_K: f64 = 150.0;
const HOTTEST_K: f64 = 450.0;

/// How warm each tray gets if the run stands still from `at_s` for `for_s`.
pub fn warmed(load: &Load, result: &BatchResult, at_s: f64, for_s: f64, air_in: bool) -> Vec<Warmed> {
    let before_defrost = result.history.iter().take_while(|s| s.stage != Stage::Defrost);
    let Some(sample) = before_defrost.take_while(|s| s.time_s <= at_s).last().or(result.history.first()) else {
        return Vec::new();
    };
    let area_m2: f64 = load.trays.iter().map(|t| t.area_m2).sum();
    let (leak_w_per_m2_k, shelf_j_per_m2_k) = match &load.dryer {
        Dryer::Cabinet(c) => (c.heat_leak_w_per_k / area_m2, c.shelf_heat_capacity_j_per_m2_k),
        Dryer::Prescribed(_) => (OPEN_W_PER_M2_K, 0.0),
    };
    let w_per_m2_k = leak_w_per_m2_k + if air_in { OPEN_W_PER_M2_K } else { 0.0 };
    let one = |i: usize| {
        let (tray, state, answer) = (&load.trays[i], sample.trays.get(i)?, result.trays.get(i)?);
        let had_ice = state.ice_left_frac > NO_ICE;
        let icy_kg = if had_ice { state.ice_left_frac * answer.loaded_kg } else { 0.0 };
        let dry_kg = answer.dry_matter_kg * (1.0 - state.ice_left_frac);
        let held_kg = (answer.dry_matter_kg * state.water_per_dry - icy_kg * tray.model.curve.water_frac).max(0.0);
        let food_j_per_k = dry_kg * DRY_J_PER_KG_K + held_kg * HELD_WATER_J_PER_KG_K;
        let food = Body {
            curve: tray.model.curve,
            icy_kg_per_m2: icy_kg / tray.area_m2,
            rest_j_per_m2_k: (food_j_per_k / tray.area_m2).max(1.0),
            temperature_k: state.front_k,
        };
        let with_shelf = Body { rest_j_per_m2_k: food.rest_j_per_m2_k + shelf_j_per_m2_k, ..food };
        // a shelf that is warmer gives its heat at once
        let shelf_j_per_m2 = shelf_j_per_m2_k * (state.shelf_k - state.front_k).max(0.0);
        let after = with_shelf.with_heat(with_shelf.heat_j_per_m2() + shelf_j_per_m2);
        let after = after.warmed(w_per_m2_k, load.room_k, for_s);
        let ice = |temperature_k: f64| tray.model.curve.ice_frac(temperature_k);
        let left_frac = ice(after.temperature_k) / ice(state.front_k).max(f64::MIN_POSITIVE);
        let melted_frac = if had_ice { (1.0 - left_frac).clamp(0.0, 1.0) } else { 0.0 };
        Some(Warmed { from_k: state.front_k, to_k: after.temperature_k, melted_frac, had_ice })
    };
    (0..load.trays.len()).filter_map(one).collect()
}
