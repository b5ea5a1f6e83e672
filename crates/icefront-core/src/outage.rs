//! A run that stands still: how warm the food gets while power, pump or door interrupt it.
//!
//! # Main equations
//! The ice of a tray, its food and its shelf are one body at one temperature T:
//! ```text
//! (m c + A C_shelf) dT/dt = (G A/A_all + h A)(T_room - T)        below the freezing point
//! -L dm_ice/dt            = (G A/A_all + h A)(T_room - T_f)      at the freezing point, until the ice is gone
//! ```
//! `m c`: food with its water, `C_shelf`: shelf metal, which gives its heat at once; `G`: heat leak of the cabinet, W/K; `h`: 0
//! with the door closed, 10 W/(m2 K) in still air.
//!
//! # Assumptions and limits
//! On the safe side: sublimation, which cools, has stopped; the room is the warmest thing there is. One temperature: the
//! edge of a thick piece is warmer than that, the middle colder. Specific heats of ice and food are rounded, the air-side
//! coefficient is `common practice, no source`.

use crate::constants::ZERO_CELSIUS_K;
use crate::load::Load;
use crate::machine::Dryer;
use crate::result::{BatchResult, Stage};

/// What became of a tray.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Warmed {
    /// Food before, K.
    pub from_k: f64,
    /// Food after, K; at most its freezing point while ice is left.
    pub to_k: f64,
    /// Share of the ice that melted, 0 to 1.
    pub melted_frac: f64,
    /// Whether there was ice to melt.
    pub had_ice: bool,
}

/// Food with ice in it, J/(kg K): between ice (2.1) and dry matter (1.5).
const FROZEN_J_PER_KG_K: f64 = 2_000.0;
/// Heat of melting, J/kg (0.334 MJ/kg at 0 degC).
const MELTING_J_PER_KG: f64 = 334_000.0;
/// Still air and radiation on an open tray, W/(m2 K).
const OPEN_W_PER_M2_K: f64 = 10.0;
/// Step, s.
const STEP_S: f64 = 60.0;
/// Less ice than this is none.
const NO_ICE: f64 = 1e-3;

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
        let freezing_k = tray.model.curve.freezing_point_k.min(ZERO_CELSIUS_K);
        let had_ice = state.ice_left_frac > NO_ICE;
        let per_m2 = 1.0 / tray.area_m2;
        let ice_kg_per_m2 = per_m2 * state.ice_left_frac * answer.water_kg;
        let food_kg_per_m2 = per_m2 * answer.dry_matter_kg * (1.0 + state.water_per_dry);
        let capacity = food_kg_per_m2 * FROZEN_J_PER_KG_K;
        let from_k = state.front_k;
        // the shelf's heat comes first
        let shelf_j_per_m2 = shelf_j_per_m2_k * (state.shelf_k - from_k);
        let mut to_k = from_k + shelf_j_per_m2.max(0.0) / (capacity + shelf_j_per_m2_k).max(1.0);
        let mut melted_j_per_m2 = 0.0;
        if had_ice && to_k > freezing_k {
            melted_j_per_m2 = (to_k - freezing_k) * (capacity + shelf_j_per_m2_k);
            to_k = freezing_k;
        }
        let mut time_s = 0.0;
        while time_s < for_s {
            let step_s = STEP_S.min(for_s - time_s);
            let gained = w_per_m2_k * (load.room_k - to_k) * step_s;
            if had_ice && to_k >= freezing_k && melted_j_per_m2 < ice_kg_per_m2 * MELTING_J_PER_KG {
                melted_j_per_m2 += gained.max(0.0);
            } else {
                to_k += gained / (capacity + shelf_j_per_m2_k).max(1.0);
                if had_ice && melted_j_per_m2 == 0.0 {
                    to_k = to_k.min(freezing_k);
                }
            }
            time_s += step_s;
        }
        let all_j_per_m2 = ice_kg_per_m2 * MELTING_J_PER_KG;
        let melted_frac = if had_ice { (melted_j_per_m2 / all_j_per_m2.max(1.0)).min(1.0) } else { 0.0 };
        Some(Warmed { from_k, to_k, melted_frac, had_ice })
    };
    (0..load.trays.len()).filter_map(one).collect()
}
