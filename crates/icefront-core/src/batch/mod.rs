//! The batch: keeps the time and couples all trays to one machine, stage by stage.
//!
//! ```text
//! freezing (machine cools down, food freezes) -> evacuation -> drying (primary, then secondary) -> defrost
//! ```

pub mod cabinet;
mod drying;
mod end;
mod flooded;
mod freezing;
mod outlook;
pub(crate) mod parts;
mod record;
pub mod state;

use serde::{Deserialize, Serialize};

use cabinet::{Drive, Stack};
use drying::Drying;
pub(crate) use drying::below_coefficient;
use flooded::Flooded;
use freezing::{CabinetFreezing, FreezingState};
use outlook::Outlook;
use record::Recorder;
use state::DryingState;

use crate::error::{ModelError, check};
use crate::freezing::before::{self, Conditions, SetOut};
use crate::freezing::column::BATCH_CELLS;
use crate::load::{EndRule, Freezing, Load};
use crate::machine::{Cabinet, vapour_path};
use crate::numerics::components::Components;
use crate::numerics::stepper::{ImplicitEuler, Stepper};
use crate::result::{BatchResult, ByConsumer, Stage, Warning};
use crate::{stop, water};

/// Longest drying the model follows, s (300 h).
const LONGEST_DRYING_S: f64 = 300.0 * 3_600.0;
/// More steps than a stage needs (a usual one takes a hundred) at the default tolerance: a run that crawls is refused.
/// Steps over many fronts cost more: all steps together may follow so many fronts, but no load gets fewer steps than the
/// last of these. All three are ours: with them, what the fuzz rounds found to crawl is refused within a second.
const MOST_STEPS: f64 = 5_000.0;
const MOST_FRONT_STEPS: f64 = 50_000.0;
const LEAST_STEPS: f64 = 600.0;
/// First step of a stage, s.
const FIRST_STEP_S: f64 = 60.0;
/// Longest step, s; while drying, no longer than this and that share of the drying so far: some loads are dry within two hours.
const LONGEST_STEP_S: f64 = 3_600.0;
const EARLY_STEP_S: f64 = 600.0;
const EARLY_STEP_FRAC: f64 = 0.2;
/// A step to a front's last ice goes this much further than its rate says, so that it takes it. It is at least so long, as a
/// share of the drying so far.
const PAST_LAST_ICE: f64 = 1.15;
const SHORTEST_TO_LAST_ICE_FRAC: f64 = 5e-3;
/// How late the end of a stage may be noticed, s.
const LATEST_S: f64 = 30.0;
/// Still air over the melting ice of the condenser, W/(m2 K): natural convection and radiation together, as the
/// correlations of `freezing::surface` give for 20 K (about 4 + 5).
const DEFROST_AIR_W_PER_M2_K: f64 = 9.0;

/// Runs a load from freezing to defrost.
///
/// # Errors
/// [`ModelError`] for numbers outside what the model takes, a step that does not settle, or a result that no run can have.
pub fn plan(load: &Load) -> Result<BatchResult, ModelError> {
    plan_set_out(load, &[])
}

/// Runs a load whose trays were set out before: what each of `set_out` reached is what is loaded, whatever led there.
///
/// A tray with `None`, or beyond the end of the list, comes as the load says. A tray that the machine is to freeze goes
/// in at once and freezes on; any other waits outside until the machine is cold.
///
/// # Errors
/// As [`plan`].
pub fn plan_set_out(load: &Load, set_out: &[Option<SetOut>]) -> Result<BatchResult, ModelError> {
    run(load, set_out, &Precision::default())
}

/// [`plan`] with another precision than the default: to see that the default is fine enough.
///
/// # Errors
/// As [`plan`].
pub fn plan_with(load: &Load, precision: &Precision) -> Result<BatchResult, ModelError> {
    run(load, &[], precision)
}

/// How finely a run is computed.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Precision {
    /// Error allowed per step over the default one: below 1 is finer.
    pub tolerance: f64,
    /// Cells per tray while freezing.
    pub freezing_cells: usize,
    /// Strips of worse and better contact with the shelf, side by side on a tray, 1 to 3.
    pub contact_strips: usize,
}

impl Default for Precision {
    /// Times within 0.5 % of the converged ones.
    fn default() -> Self {
        Self { tolerance: 1.0, freezing_cells: BATCH_CELLS, contact_strips: 2 }
    }
}

fn run(load: &Load, set_out: &[Option<SetOut>], precision: &Precision) -> Result<BatchResult, ModelError> {
    stop::check()?;
    let stack = Stack::new(load, precision)?;
    let mut recorder = Recorder::new(&stack);
    let frozen = freeze(&stack, set_out, &mut recorder)?;
    dry(&stack, frozen, &mut recorder)?;
    defrost(&stack, &mut recorder);
    let result = recorder.result(&stack);
    result.check()?;
    Ok(result)
}

/// What drying starts from.
struct FrozenStack {
    /// Heat of the food by tray, J.
    heat_j: Vec<f64>,
    /// Shelves, K.
    shelf_k: Vec<f64>,
    /// Condenser metal, K.
    coil_k: f64,
}

/// Enthalpy of each tray's cells as it is loaded, J/kg.
fn loaded_cells(
    stack: &Stack<'_>,
    set_out: &[Option<SetOut>],
    recorder: &mut Recorder,
) -> Result<Vec<Vec<f64>>, ModelError> {
    let mut all = Vec::with_capacity(stack.trays.len());
    for (i, st) in stack.trays.iter().enumerate() {
        let uniform = |t: f64| vec![st.column.enthalpy_j_per_kg(t); st.column.cells()];
        let set_out = set_out.get(i).and_then(Option::as_ref);
        all.push(match (set_out, st.tray.freezing) {
            (Some(out), _) => {
                let cells = st.column.cells() as f64;
                check("cells of a tray that was set out", out.enthalpy_j_per_kg.len() as f64, "cells", cells, cells)?;
                recorder.set_out(i, out);
                out.enthalpy_j_per_kg.clone()
            }
            (None, Freezing::InMachine { loaded_k } | Freezing::Frozen { loaded_k }) => uniform(loaded_k),
            (None, Freezing::Before { start_k, air_k, wind_m_per_s, time_s, outdoors }) => {
                let conditions = |_| Conditions { air_k, wind_m_per_s, sky_k: air_k, outdoors, covered: false };
                let wanted_k = air_k + 3.0;
                let out = before::set_out(&st.column, st.tray.area_m2, start_k, time_s, wanted_k, conditions)?;
                recorder.set_out(i, &out);
                out.enthalpy_j_per_kg
            }
        });
    }
    Ok(all)
}

fn freeze(stack: &Stack<'_>, set_out: &[Option<SetOut>], recorder: &mut Recorder) -> Result<FrozenStack, ModelError> {
    let cells = loaded_cells(stack, set_out, recorder)?;
    let Drive::Machine { cabinet, .. } = &stack.drive else {
        for (i, st) in stack.trays.iter().enumerate() {
            recorder.check_frozen(i, st, &cells[i]);
        }
        let heat_j = stack.trays.iter().zip(&cells).map(|(st, h)| st.column.heat_j(h)).collect();
        return Ok(FrozenStack { heat_j, shelf_k: Vec::new(), coil_k: 0.0 });
    };
    let Some(mut system) = CabinetFreezing::new(stack) else { return Err(ModelError::Empty { what: "the cabinet" }) };
    let mut state = FreezingState::new(stack.load.room_k, cells);
    let start_j = system.heat_content_j(&state);
    let mut stepper = stepper(stack, &state, FIRST_STEP_S);
    let mut t = 0.0;
    recorder.freezing_sample(stack, &state, 0.0, Stage::Freezing);
    // frozen trays wait outside until the condenser is cold and the others are frozen; the shelves may still be warm
    let freezing: Vec<usize> = (0..stack.trays.len()).filter(|&i| system.inside(i)).collect();
    let ready_share = |before: &FreezingState, state: &FreezingState| {
        let mut share = falling_share(before.coil_k, state.coil_k, cabinet.evacuate_below_k)?;
        for &tray in &freezing {
            let column = &stack.trays[tray].column;
            let core_k = |state: &FreezingState| column.thermal_centre_k(&state.trays[tray].enthalpy_j_per_kg);
            share = share.max(falling_share(core_k(before), core_k(state), cabinet.freeze_core_k)?);
        }
        Some(share)
    };
    let mut done = ready_share(&state, &state).is_some();
    let mut before = state.clone();
    while !done && t < cabinet.freeze_limit_s {
        before.copy_from(&state);
        let met = |state: &FreezingState, _: f64| ready_share(&before, state);
        let limit_s = cabinet.freeze_limit_s - t;
        let (h, ready) = step_until(&mut stepper, &mut system, t, limit_s, &before, &mut state, met)?;
        t += h;
        done = ready;
        recorder.freezing_step(stack, &system, &state, t, h);
    }
    recorder.end_stage(Stage::Freezing, t);
    recorder.freezing_verdict(stack, &system, &state, cabinet);
    evacuate(stack, cabinet, &mut system, &mut state, t, recorder)?;
    let change_j = system.heat_content_j(&state) - start_j;
    recorder.close_freezing_balance(change_j, state.leaked_j, state.cooled_j, system.metal_j_per_k());
    recorder.compressor_before_drying_j = state.compressor_j;
    let mut frozen = FrozenStack { heat_j: Vec::new(), shelf_k: Vec::new(), coil_k: state.coil_k };
    for (i, (st, tray)) in stack.trays.iter().zip(&state.trays).enumerate() {
        recorder.check_frozen(i, st, &tray.enthalpy_j_per_kg);
        frozen.heat_j.push(st.column.heat_j(&tray.enthalpy_j_per_kg));
        frozen.shelf_k.push(tray.metal_k);
    }
    if stack.heated_top() {
        frozen.shelf_k.push(frozen.shelf_k.last().copied().unwrap_or(frozen.coil_k));
    }
    Ok(frozen)
}

fn evacuate(
    stack: &Stack<'_>,
    cabinet: &Cabinet,
    system: &mut CabinetFreezing<'_>,
    state: &mut FreezingState,
    start_s: f64,
    recorder: &mut Recorder,
) -> Result<(), ModelError> {
    let time_s = vapour_path::evacuation_s(&cabinet.vacuum);
    system.air_in = false;
    system.all_inside = true;
    let mut stepper = stepper(stack, state, time_s);
    let mut t = 0.0;
    while t < time_s {
        let h = stepper.advance(system, start_s + t, time_s - t, state)?;
        t += h;
        recorder.freezing_sample(stack, state, start_s + t, Stage::Evacuation);
    }
    recorder.end_stage(Stage::Evacuation, time_s);
    Ok(())
}

fn dry(stack: &Stack<'_>, frozen: FrozenStack, recorder: &mut Recorder) -> Result<(), ModelError> {
    let mut system = Drying::new(stack);
    let mut state = system.zero_state();
    let mut elements = state.elements.iter_mut();
    for (st, heat_j) in stack.trays.iter().zip(&frozen.heat_j) {
        let food_kg: f64 = st.bodies().map(|(part, b)| b.dry_kg / part.model.dry_frac()).sum();
        let mean_k = st.column.temperature_k(heat_j / food_kg);
        for ((part, body), element) in st.bodies().zip(elements.by_ref()) {
            element.front_heat_j = body.dry_kg / part.model.dry_frac() * part.model.curve.enthalpy_j_per_kg(mean_k);
            element.front_k = mean_k;
            element.surface_k = mean_k;
        }
    }
    for (shelf_k, frozen_k) in state.shelf_k.iter_mut().zip(&frozen.shelf_k) {
        *shelf_k = *frozen_k;
    }
    state.machine.coil_k = frozen.coil_k;
    if matches!(stack.drive, Drive::Rig(_)) {
        state.shelf_k = system.rig_surfaces_k(0.0);
    } else {
        state.machine.vapour_pa = water::ice_vapour_pressure_pa(frozen.coil_k.min(273.15));
    }
    state.machine.compressor_j = recorder.compressor_before_drying_j;
    let start_j = system.heat_content_j(&state);
    recorder.start_drying(stack, &system, &state);

    let mut stepper = stepper(stack, &state, FIRST_STEP_S);
    let mut t = 0.0;
    let fixed_s = match stack.load.end {
        EndRule::FixedTime { time_s } => (time_s - recorder.evacuation_s()).max(60.0),
        _ => LONGEST_DRYING_S,
    };
    if let Some(warning) = heaters_never_work(stack) {
        recorder.warn(warning);
        recorder.end_drying(stack, &system, &state, t, start_j);
        return Ok(());
    }
    let mut outlook = Outlook::new(stack, &state);
    let mut flooded = Flooded::default();
    let mut before = state.clone();
    loop {
        if fixed_s == LONGEST_DRYING_S && outlook.hopeless(stack, &state, t, LONGEST_DRYING_S) {
            recorder.warn(Warning::RunTooLong { limit_s: LONGEST_DRYING_S });
            break;
        }
        if t >= fixed_s - 1e-6 {
            if fixed_s == LONGEST_DRYING_S {
                recorder.warn(Warning::RunTooLong { limit_s: LONGEST_DRYING_S });
            }
            break;
        }
        before.copy_from(&state);
        let met = |state: &DryingState, h: f64| recorder.end_reached(stack, &before, state, t, h);
        let limit_s = (fixed_s - t).min(next_last_ice_s(stack, t, &state)).min(next_corner_s(stack, t));
        let limit_s = limit_s.min(EARLY_STEP_S + EARLY_STEP_FRAC * t);
        let (h, done) = step_until(&mut stepper, &mut system, t, limit_s, &before, &mut state, met)?;
        recorder.drying_step(stack, &system, &before, &state, t, h);
        t += h;
        if done {
            break;
        }
        if let Some(warning) = flooded.reached(stack, &state, h) {
            recorder.warn(warning);
            break;
        }
    }
    recorder.end_drying(stack, &system, &state, t, start_j);
    Ok(())
}

/// A stepper for one stage of a stack.
fn stepper<S: Components + Clone>(stack: &Stack<'_>, state: &S, first_s: f64) -> Stepper<S> {
    // second order: a hundredth of the tolerance takes ten times the steps
    let fronts = stack.trays.iter().flat_map(|t| t.bodies()).count();
    let steps = (MOST_FRONT_STEPS / fronts as f64).clamp(LEAST_STEPS, MOST_STEPS);
    let most = steps / stack.tolerance.min(1.0).sqrt();
    Stepper::new(state, first_s, LONGEST_STEP_S).with_tolerance(stack.tolerance).with_most_attempts(most as usize)
}

/// One step from the state `before`, taken again and shorter where something waited for happened within it: its length,
/// and whether it has happened by its end. `met` tells from the state after and the step's length at which share of it.
fn step_until<S: Components + Clone>(
    stepper: &mut Stepper<S>,
    system: &mut impl ImplicitEuler<State = S>,
    t_s: f64,
    limit_s: f64,
    before: &S,
    state: &mut S,
    met: impl Fn(&S, f64) -> Option<f64>,
) -> Result<(f64, bool), ModelError> {
    let mut limit_s = limit_s;
    loop {
        let h_s = stepper.advance(system, t_s, limit_s, state)?;
        match met(state, h_s) {
            None => return Ok((h_s, false)),
            Some(share) if (1.0 - share) * h_s <= LATEST_S => return Ok((h_s, true)),
            Some(share) => {
                state.copy_from(before);
                // a little late, so that it has happened when it is looked at next
                limit_s = share * h_s + 0.5 * LATEST_S;
            }
        }
    }
}

/// Share of a step at which a falling temperature met a level; 0 if it lay under it before, `None` if it does not.
fn falling_share(from_k: f64, to_k: f64, level_k: f64) -> Option<f64> {
    (to_k <= level_k).then(|| if from_k <= level_k { 0.0 } else { before::crossing(from_k, to_k, level_k) })
}

/// Time until the first of the fronts runs out of ice at its present pace, s: a step ends there, since all changes
/// with it.
fn next_last_ice_s(stack: &Stack<'_>, t_s: f64, state: &DryingState) -> f64 {
    let shortest_s = LATEST_S.max(SHORTEST_TO_LAST_ICE_FRAC * t_s);
    let bodies = stack.trays.iter().flat_map(|t| t.bodies());
    let times = bodies.zip(&state.elements).filter_map(|((_, body), element)| {
        let (left_kg, kg_per_s) = (body.dry_kg - element.passed_kg, element.front_rate_kg_per_s);
        let past = PAST_LAST_ICE * body.last_ice_slowing();
        (element.has_ice(body.dry_kg) && kg_per_s > 0.0).then(|| (past * left_kg / kg_per_s).max(shortest_s))
    });
    times.fold(f64::INFINITY, f64::min)
}

/// Time until the shelf programme has its next corner, s: a step ends there.
fn next_corner_s(stack: &Stack<'_>, t_s: f64) -> f64 {
    match &stack.drive {
        Drive::Machine { heater, .. } => (heater.set_point.next_after(t_s + LATEST_S) - t_s).max(LATEST_S),
        Drive::Rig(_) => f64::INFINITY,
    }
}

/// A leak or a weak pump that keeps the heaters off for good.
fn heaters_never_work(stack: &Stack<'_>) -> Option<Warning> {
    let Drive::Machine { cabinet, air_pa, .. } = &stack.drive else { return None };
    let limit_pa = cabinet.heater.cutback?.to_pa;
    (*air_pa >= limit_pa).then_some(Warning::AirTooHigh { air_pa: *air_pa, limit_pa })
}

fn defrost(stack: &Stack<'_>, recorder: &mut Recorder) {
    let Drive::Machine { cabinet, .. } = &stack.drive else { return };
    let c = &cabinet.condenser;
    let (ice_kg, coil_k) = recorder.condenser_at_end();
    let metal_j = c.heat_capacity_j_per_k * (273.15 - coil_k).max(0.0);
    let ice_j = ice_kg * (water::HEAT_OF_FUSION_J_PER_KG - water::ice_enthalpy_j_per_kg(coil_k.min(273.15)));
    let room_w = DEFROST_AIR_W_PER_M2_K * c.area_m2 * (stack.load.room_k - 273.15).max(0.0);
    let heater_w = cabinet.defrost_heater_w.unwrap_or(0.0);
    let power_w = room_w + heater_w;
    if power_w < 1.0 {
        return;
    }
    let time_s = (metal_j + ice_j) / power_w;
    let energy = ByConsumer { heaters: heater_w * time_s, ..ByConsumer::default() };
    recorder.defrost(time_s, energy, ByConsumer { heaters: heater_w, ..ByConsumer::default() });
}

/// Moisture on wet basis from water per dry matter.
pub(crate) fn wet_frac(water_per_dry: f64) -> f64 {
    water_per_dry / (1.0 + water_per_dry)
}
