//! The batch: owns the clock and couples all trays to one machine, stage by stage.
//!
//! ```text
//! freezing (machine cools down, food freezes) -> evacuation -> drying (primary, then secondary) -> defrost
//! ```

pub mod cabinet;
mod drying;
mod end;
mod freezing;
mod outlook;
pub(crate) mod parts;
mod record;
pub mod state;

use serde::{Deserialize, Serialize};

use cabinet::{Drive, Stack};
use drying::Drying;
pub(crate) use drying::below_coefficient;
use freezing::CabinetFreezing;
use outlook::Outlook;
use record::Recorder;
use state::Layout;

use crate::error::{ModelError, check};
use crate::freezing::before::{self, Conditions, SetOut};
use crate::freezing::column::BATCH_CELLS;
use crate::load::{EndRule, Freezing, Load};
use crate::machine::{Cabinet, vapour_path};
use crate::numerics::stepper::{ImplicitEuler, Stepper};
use crate::result::{BatchResult, ByConsumer, Stage, Warning};
use crate::{stop, water};

/// Longest drying the model follows, s (300 h).
const LONGEST_DRYING_S: f64 = 300.0 * 3_600.0;
/// More steps than a stage needs (a usual one takes a hundred) at the default tolerance: a run that crawls is refused.
const MOST_STEPS: f64 = 5_000.0;
/// First step of a stage, s.
const FIRST_STEP_S: f64 = 60.0;
/// Longest step, s.
const LONGEST_STEP_S: f64 = 2_400.0;
/// A step to a front's last ice goes this much further, so that it takes it.
const PAST_LAST_ICE: f64 = 1.15;
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
}

impl Default for Precision {
    /// Times within 0.5 % of the converged ones.
    fn default() -> Self {
        Self { tolerance: 1.0, freezing_cells: BATCH_CELLS }
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
    wall_k: f64,
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
        let told = set_out.get(i).and_then(Option::as_ref);
        all.push(match (told, st.tray.freezing) {
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
        return Ok(FrozenStack { heat_j, shelf_k: Vec::new(), wall_k: 0.0 });
    };
    let Some(mut system) = CabinetFreezing::new(stack) else { return Err(ModelError::Empty { what: "the cabinet" }) };
    let mut state = vec![stack.load.room_k; system.len()];
    let m = system.machine();
    state[m + 1..m + 4].fill(0.0);
    for (i, h) in cells.iter().enumerate() {
        let at = system.tray(i);
        state[at + 1..at + 1 + h.len()].copy_from_slice(h);
    }
    let start_j = system.heat_content_j(&state);
    let mut stepper = stepper(stack, state.len(), FIRST_STEP_S);
    let mut t = 0.0;
    recorder.freezing_sample(stack, &system, &state, 0.0, Stage::Freezing);
    // frozen trays wait outside until the condenser is cold and the others are frozen; the shelves may still be warm
    let freezing: Vec<usize> = (0..stack.trays.len()).filter(|&i| system.inside(i)).collect();
    let places: Vec<_> = freezing.iter().map(|&i| (&stack.trays[i].column, system.tray(i) + 1)).collect();
    let ready_share = |before: &[f64], state: &[f64]| {
        let mut share = falling_share(before[m], state[m], cabinet.evacuate_below_k)?;
        for (column, at) in &places {
            let core_k = |state: &[f64]| column.slowest_k(&state[*at..at + column.cells()]);
            share = share.max(falling_share(core_k(before), core_k(state), cabinet.freeze_core_k)?);
        }
        Some(share)
    };
    let mut done = ready_share(&state, &state).is_some();
    let mut before = state.clone();
    while !done && t < cabinet.freeze_limit_s {
        before.copy_from_slice(&state);
        let met = |state: &[f64], _| ready_share(&before, state);
        let limit_s = cabinet.freeze_limit_s - t;
        let (h, ready) = step_until(&mut stepper, &mut system, t, limit_s, &before, &mut state, met)?;
        t += h;
        done = ready;
        recorder.freezing_step(stack, &system, &state, t, h);
    }
    recorder.end_stage(Stage::Freezing, t);
    recorder.freezing_verdict(stack, &system, &state, cabinet);
    evacuate(stack, cabinet, &mut system, &mut state, t, recorder)?;
    let (compressed, cooled, leaked) = (state[m + 1], state[m + 2], state[m + 3]);
    let change_j = system.heat_content_j(&state) - start_j;
    recorder.close_freezing_balance(change_j, leaked, cooled, system.metal_j_per_k());
    recorder.compressor_before_drying_j = compressed;
    let mut frozen = FrozenStack { heat_j: Vec::new(), shelf_k: Vec::new(), wall_k: state[m] };
    for (i, st) in stack.trays.iter().enumerate() {
        let at = system.tray(i);
        let cells = &state[at + 1..at + 1 + st.column.cells()];
        recorder.check_frozen(i, st, cells);
        frozen.heat_j.push(st.column.heat_j(cells));
        frozen.shelf_k.push(state[at]);
    }
    if stack.heated_top() {
        frozen.shelf_k.push(frozen.shelf_k.last().copied().unwrap_or(frozen.wall_k));
    }
    Ok(frozen)
}

fn evacuate(
    stack: &Stack<'_>,
    cabinet: &Cabinet,
    system: &mut CabinetFreezing<'_>,
    state: &mut [f64],
    start_s: f64,
    recorder: &mut Recorder,
) -> Result<(), ModelError> {
    let time_s = vapour_path::evacuation_s(&cabinet.vacuum);
    system.air_in = false;
    system.all_inside = true;
    let mut stepper = stepper(stack, state.len(), time_s);
    let mut t = 0.0;
    while t < time_s {
        let h = stepper.advance(system, start_s + t, time_s - t, state)?;
        t += h;
        recorder.freezing_sample(stack, system, state, start_s + t, Stage::Evacuation);
    }
    recorder.end_stage(Stage::Evacuation, time_s);
    Ok(())
}

fn dry(stack: &Stack<'_>, frozen: FrozenStack, recorder: &mut Recorder) -> Result<(), ModelError> {
    use state::{FRONT, HEAT_FRONT, TOP, WALL};
    let mut system = Drying::new(stack);
    let layout = system.layout();
    let mut state = vec![0.0; layout.length()];
    let mut body = 0;
    for (st, heat_j) in stack.trays.iter().zip(&frozen.heat_j) {
        let food_kg: f64 = st.bodies().map(|(part, b)| b.dry_kg / part.model.dry_frac()).sum();
        let mean_k = st.column.temperature_k(heat_j / food_kg);
        for (part, b) in st.bodies() {
            let at = layout.body(body);
            state[at + HEAT_FRONT] = b.dry_kg / part.model.dry_frac() * part.model.curve.enthalpy_j_per_kg(mean_k);
            state[at + FRONT] = mean_k;
            state[at + TOP] = mean_k;
            body += 1;
        }
    }
    for (s, k) in frozen.shelf_k.iter().enumerate() {
        state[layout.shelf(s)] = *k;
    }
    let m = layout.machine();
    state[m + WALL] = frozen.wall_k;
    if matches!(stack.drive, Drive::Rig(_)) {
        for s in 0..layout.shelves {
            state[layout.shelf(s)] = system.rig_shelf_k(0.0);
        }
    } else {
        state[m + state::PRESSURE] = water::ice_vapour_pressure_pa(frozen.wall_k.min(273.15));
    }
    state[m + state::COMPRESSOR] = recorder.compressor_before_drying_j;
    let start_j = system.heat_content_j(&state);
    recorder.start_drying(stack, &system, &state);

    let mut stepper = stepper(stack, layout.length(), FIRST_STEP_S);
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
    let mut outlook = Outlook::new(stack, layout, &state);
    let mut before = state.clone();
    loop {
        if fixed_s == LONGEST_DRYING_S && outlook.hopeless(stack, layout, &state, t, LONGEST_DRYING_S) {
            recorder.warn(Warning::RunTooLong { limit_s: LONGEST_DRYING_S });
            break;
        }
        if t >= fixed_s - 1e-6 {
            if fixed_s == LONGEST_DRYING_S {
                recorder.warn(Warning::RunTooLong { limit_s: LONGEST_DRYING_S });
            }
            break;
        }
        before.copy_from_slice(&state);
        let met = |state: &[f64], h: f64| recorder.end_reached(stack, layout, &before, state, t, h);
        let limit_s = (fixed_s - t).min(next_last_ice_s(stack, layout, &state));
        let (h, done) = step_until(&mut stepper, &mut system, t, limit_s, &before, &mut state, met)?;
        recorder.drying_step(stack, &system, &before, &state, t, h);
        t += h;
        if done {
            break;
        }
    }
    recorder.end_drying(stack, &system, &state, t, start_j);
    Ok(())
}

/// A stepper for one stage of a stack.
fn stepper(stack: &Stack<'_>, len: usize, first_s: f64) -> Stepper {
    // second order: a hundredth of the tolerance takes ten times the steps
    let most = MOST_STEPS / stack.tolerance.min(1.0).sqrt();
    Stepper::new(len, first_s, LONGEST_STEP_S).with_tolerance(stack.tolerance).with_most_attempts(most as usize)
}

/// One step from the state `before`, taken again and shorter where something waited for happened within it: its length,
/// and whether it has happened by its end. `met` tells from the state after and the step's length at which share of it.
fn step_until(
    stepper: &mut Stepper,
    system: &mut impl ImplicitEuler,
    t_s: f64,
    limit_s: f64,
    before: &[f64],
    state: &mut [f64],
    met: impl Fn(&[f64], f64) -> Option<f64>,
) -> Result<(f64, bool), ModelError> {
    let mut limit_s = limit_s;
    loop {
        let h_s = stepper.advance(system, t_s, limit_s, state)?;
        match met(state, h_s) {
            None => return Ok((h_s, false)),
            Some(share) if (1.0 - share) * h_s <= LATEST_S => return Ok((h_s, true)),
            Some(share) => {
                state.copy_from_slice(before);
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
fn next_last_ice_s(stack: &Stack<'_>, layout: Layout, state: &[f64]) -> f64 {
    let bodies = stack.trays.iter().flat_map(|t| t.bodies()).enumerate();
    let times = bodies.filter_map(|(b, (_, body))| {
        let at = layout.body(b);
        let (left_kg, pace) = (body.dry_kg - state[at + state::PASSED], state[at + state::PACE]);
        (left_kg > 0.0 && pace > 0.0).then(|| (PAST_LAST_ICE * left_kg / pace).max(LATEST_S))
    });
    times.fold(f64::INFINITY, f64::min)
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
    let (ice_kg, wall_k) = recorder.condenser_at_end();
    let metal_j = c.heat_capacity_j_per_k * (273.15 - wall_k).max(0.0);
    let ice_j = ice_kg * (water::HEAT_OF_FUSION_J_PER_KG - water::ice_enthalpy_j_per_kg(wall_k.min(273.15)));
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
