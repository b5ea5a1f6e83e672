//! What to heat the shelves to: a load run at many set points and two-step programmes in its own machine.
//!
//! # Main equations
//! None: a search over all settings of a grid. A programme holds one temperature until the last ice of all trays is gone and
//! then rises to a warmer one within [`RAMP_S`]: once the ice is gone, there is no front to keep cold.
//! ```text
//! gentlest   coldest ice fronts, counted from each food's limit, among the settings that are dry in time
//! fastest    soonest ready among the settings in which no tray is graded worse than in the gentlest
//! ```
//!
//! # Assumptions and limits
//! Typical numbers. No shelf is warmer than the load's own set point: what else a machine stands is not known. Heat may
//! cost colour, aroma and vitamins before texture, which is not modelled.

use super::grade::Grade;
use super::region::PATIENCE_S;
use crate::constants::ZERO_CELSIUS_K;
use crate::error::ModelError;
use crate::load::Load;
use crate::machine::{Dryer, SetPoint, SetPointAt};
use crate::ranges::by_index;
use crate::result::{BatchResult, Stage};

/// Coldest shelf tried, and the step to the next, K.
const COLDEST_K: f64 = ZERO_CELSIUS_K + 10.0;
const STEP_K: f64 = 5.0;
/// A programme rises within this time, s.
pub const RAMP_S: f64 = 3_600.0;
/// Programmes are given to this time, s: half an hour.
const CLOCK_S: f64 = 1_800.0;
/// Fronts closer than this are equally cold, K: less than anyone could taste.
const AS_COLD_K: f64 = 0.2;

/// One setting of the shelves and what it makes of the load.
#[derive(Clone, Debug, PartialEq)]
pub struct Setting {
    /// The shelves.
    pub set_point: SetPoint,
    /// Food ready, s; infinite: never.
    pub ready_s: f64,
    /// Each tray's grade.
    pub grades: Vec<Grade>,
    /// Warmest of the trays' mean ice fronts, counted from its food's limit, K.
    pub front_over_limit_k: f64,
}

/// Settings of one load.
#[derive(Clone, Debug, PartialEq)]
pub struct Settings {
    /// As the load has it.
    pub given: Setting,
    /// The gentlest.
    pub gentlest: Setting,
    /// The fastest that grades no tray worse than the gentlest does.
    pub fastest: Setting,
}

/// Tries settings of the shelves; `None` for a rig.
///
/// # Errors
/// [`ModelError`] of the load as given; settings that the model refuses are passed over.
pub fn settings(load: &Load) -> Result<Option<Settings>, ModelError> {
    let Dryer::Cabinet(cabinet) = &load.dryer else { return Ok(None) };
    let warmest_k = cabinet.heater.set_point.warmest_k();
    let (given, _) = tried(load, cabinet.heater.set_point.clone())?;
    let steps = ((warmest_k - COLDEST_K) / STEP_K - 1e-9).ceil().max(0.0) as usize;
    // the warmest is the load's own, whatever it is
    let levels_k: Vec<f64> = (0..steps).map(|i| COLDEST_K + STEP_K * i as f64).chain([warmest_k]).collect();
    let constant = by_index(levels_k.len(), None, |i| tried(load, SetPoint::constant(levels_k[i])));
    let constant: Vec<(f64, Setting, Option<f64>)> = levels_k
        .iter()
        .zip(constant)
        .filter_map(|(level_k, run)| run.ok().map(|(setting, last_ice_s)| (*level_k, setting, last_ice_s)))
        .collect();
    let programmes: Vec<SetPoint> = constant
        .iter()
        .filter_map(|(low_k, _, last_ice_s)| Some((*low_k, (*last_ice_s)?)))
        .flat_map(|(low_k, last_ice_s)| {
            let warmer = levels_k.iter().filter(move |high_k| **high_k > low_k + 0.5 * STEP_K);
            warmer.map(move |high_k| two_steps(low_k, *high_k, last_ice_s))
        })
        .collect();
    let stepped = by_index(programmes.len(), None, |i| tried(load, programmes[i].clone()));
    let all: Vec<Setting> = [given.clone()]
        .into_iter()
        .chain(constant.into_iter().map(|(_, setting, _)| setting))
        .chain(stepped.into_iter().filter_map(|run| Some(run.ok()?.0)))
        .collect();
    Ok(Some(chosen(given, &all)))
}

fn chosen(given: Setting, all: &[Setting]) -> Settings {
    let in_time = |setting: &&Setting| setting.ready_s <= PATIENCE_S;
    let usable: Vec<&Setting> =
        if all.iter().any(|s| in_time(&s)) { all.iter().filter(in_time).collect() } else { all.iter().collect() };
    let coldest_k = usable.iter().map(|s| s.front_over_limit_k).fold(f64::INFINITY, f64::min);
    let soonest =
        |settings: &mut dyn Iterator<Item = &Setting>| settings.min_by(|a, b| a.ready_s.total_cmp(&b.ready_s)).cloned();
    let mut as_cold = usable.iter().copied().filter(|s| s.front_over_limit_k <= coldest_k + AS_COLD_K);
    let gentlest = soonest(&mut as_cold).unwrap_or_else(|| given.clone());
    let as_good = |s: &&Setting| s.grades.iter().zip(&gentlest.grades).all(|(here, best)| here <= best);
    let fastest = soonest(&mut usable.iter().copied().filter(as_good)).unwrap_or_else(|| gentlest.clone());
    Settings { given, gentlest, fastest }
}

/// A run with the shelves set so: what comes of it, and when its last ice was gone, s from the start of drying.
fn tried(load: &Load, set_point: SetPoint) -> Result<(Setting, Option<f64>), ModelError> {
    let result = crate::plan(&heated(load, set_point.clone()))?;
    let trays = &result.trays;
    let before_s = result.stage_s[Stage::Freezing] + result.stage_s[Stage::Evacuation];
    let last_ice_s = trays.iter().map(|t| t.ice_gone_at_s).collect::<Option<Vec<f64>>>();
    let last_ice_s = last_ice_s.map(|all| all.into_iter().fold(0.0, f64::max) - before_s);
    let over_k = trays.iter().map(|t| t.front_mean_k - t.collapse_k).fold(f64::NEG_INFINITY, f64::max);
    let grades = trays.iter().map(|t| Grade::of(&t.flags)).collect();
    let setting = Setting { set_point, ready_s: ready_s(&result), grades, front_over_limit_k: over_k };
    Ok((setting, last_ice_s))
}

fn ready_s(result: &BatchResult) -> f64 {
    let dry = result.trays.iter().all(|t| t.dry_at_s.is_some());
    if dry { result.food_ready_s() } else { f64::INFINITY }
}

/// The load with its shelves set so.
#[must_use]
pub fn heated(load: &Load, set_point: SetPoint) -> Load {
    let mut load = load.clone();
    if let Dryer::Cabinet(cabinet) = &mut load.dryer {
        cabinet.heater.set_point = set_point;
    }
    load
}

/// One temperature until the last ice is gone, rounded up to half an hour, then another.
fn two_steps(low_k: f64, high_k: f64, last_ice_s: f64) -> SetPoint {
    let until_s = (last_ice_s / CLOCK_S).ceil() * CLOCK_S;
    SetPoint::programme(vec![
        SetPointAt { time_s: until_s, shelf_k: low_k },
        SetPointAt { time_s: until_s + RAMP_S, shelf_k: high_k },
    ])
}
