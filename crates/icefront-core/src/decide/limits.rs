//! How near a load is to each limit of its machine, and how much of it is still inside them all.
//!
//! # Main equations
//! What the condenser takes at the pressure limit is the vapour `N` that settles
//! ```text
//! p_limit - p_air = p_ice(T_ice) + N/C        T_ice = T_w + N L_s d/(k A)
//! Q(T_w) = N [L_s + c_v (T_shelf - T_w)] + a sigma (T_shelf^4 - T_w^4) + U (T_room - T_w)
//! ```
//! with half of the run's ice on the condenser (M1 to M6 in `docs/model.md`). It is held against the mean vapour of the
//! first half of the ice of the same load, run again with heaters that pressure does not hold back.
//!
//! The largest load inside is found by filling samples of the load more or less and running them again: it is the largest of
//! which no more than a given number of them shows a grave trouble ([`Trouble::is_grave`]).

use super::samples::Samples;
use super::trouble::Trouble;
use crate::error::ModelError;
use crate::load::Load;
use crate::machine::heat_paths::stack_to_wall_w_per_m2_k;
use crate::machine::refrigeration::Refrigerator;
use crate::machine::{Cabinet, Dryer, vapour_path};
use crate::numerics::root;
use crate::result::{BatchResult, Sample, Stage};
use crate::shape::LEAST_HEIGHT_M;
use crate::water;

/// How near a load is to the limits.
#[derive(Clone, Debug, PartialEq)]
pub struct Limits {
    /// Ice over the room for it.
    pub ice_frac: f64,
    /// Vapour the food would give off and what the condenser takes at the pressure limit, kg/s; `None` where pressure
    /// never holds the heaters back.
    pub vapour_kg_per_s: Option<(f64, f64)>,
    /// Share of primary drying with heaters held back by pressure.
    pub held_back_frac: f64,
    /// Share of primary drying with heaters at full power.
    pub full_power_frac: f64,
    /// Trays over shelves, m2/m2.
    pub area_frac: f64,
    /// The tray whose food stands highest: position, height and the height allowed, m.
    pub highest: (usize, f64, f64),
    /// Largest load inside all limits, over this one.
    pub fullest: Fullest,
}

/// The largest load inside the limits.
#[derive(Clone, Debug, PartialEq)]
pub struct Fullest {
    /// Food on every tray as a ratio to the load; 0 if even a tenth is outside.
    pub share: f64,
    /// What the next larger load runs into; empty if [`MOST`] times as much is inside too.
    pub stops: Vec<Trouble>,
}

/// More food than this, over the sheet's, is not tried.
pub const MOST: f64 = 3.0;
/// Less is not tried.
const LEAST: f64 = 0.1;
/// The largest load is found to this, and given in steps with part of one to spare.
const CLOSE: f64 = 0.02;
const STEP: f64 = 0.05;
const SPARE: f64 = 0.5;
/// Heaters within this of full power are at full power.
const FULL: f64 = 0.98;
/// Heat capacity of vapour, J/(kg K). Source: IAPWS R6-95.
const VAPOUR_J_PER_KG_K: f64 = 1_860.0;
/// Vapour in the opening, K, as in the batch.
const PATH_GAS_K: f64 = 273.15;

/// Holds a load and its run against the limits of its cabinet, and finds the largest load inside from samples of it, which
/// as it is counts as `inside` or not; `None` for a rig.
///
/// # Errors
/// [`ModelError`] as the model gives it.
pub fn limits(
    load: &Load,
    result: &BatchResult,
    samples: &Samples,
    inside: bool,
) -> Result<Option<Limits>, ModelError> {
    let Dryer::Cabinet(cabinet) = &load.dryer else { return Ok(None) };
    let trays_m2: f64 = load.trays.iter().map(|t| t.area_m2).sum();
    let heights = load.trays.iter().map(|t| t.shape.height_m()).enumerate();
    let (tray, height_m) = heights.max_by(|a, b| a.1.total_cmp(&b.1)).unwrap_or((0, 0.0));
    Ok(Some(Limits {
        ice_frac: result.machine.ice_room_frac.unwrap_or(0.0),
        vapour_kg_per_s: vapour(load, cabinet, result)?,
        held_back_frac: result.machine.time_limited_frac,
        full_power_frac: share_of_primary(result, |s| {
            s.power_w.heaters >= FULL * cabinet.heater.power_w_per_m2 * trays_m2
        }),
        area_frac: trays_m2 / cabinet.shelf_area_m2,
        highest: (tray, height_m, cabinet.highest_food_m()),
        fullest: fullest(samples, inside)?,
    }))
}

/// Samples of primary drying with the time each stands for, s.
pub(super) fn primary(result: &BatchResult) -> impl Iterator<Item = (&Sample, f64)> {
    let drying = result.history.windows(2).filter(|pair| pair[1].stage == Stage::PrimaryDrying);
    drying.map(|pair| (&pair[1], pair[1].time_s - pair[0].time_s))
}

fn share_of_primary(result: &BatchResult, that: impl Fn(&Sample) -> bool) -> f64 {
    let (held, all) = primary(result)
        .fold((0.0, 0.0), |(held, all), (sample, dt)| (held + if that(sample) { dt } else { 0.0 }, all + dt));
    if all > 0.0 { held / all } else { 0.0 }
}

/// Mean of a quantity over those samples of primary drying that count.
fn mean(result: &BatchResult, counts: impl Fn(&Sample) -> bool, of: impl Fn(&Sample) -> f64) -> f64 {
    let samples = primary(result).filter(|(sample, _)| counts(sample));
    let (sum, all) = samples.fold((0.0, 0.0), |(sum, all), (sample, dt)| (sum + of(sample) * dt, all + dt));
    if all > 0.0 { sum / all } else { 0.0 }
}

fn vapour(load: &Load, cabinet: &Cabinet, result: &BatchResult) -> Result<Option<(f64, f64)>, ModelError> {
    let Some(cutback) = cabinet.heater.cutback else { return Ok(None) };
    let mut unheld = load.clone();
    if let Dryer::Cabinet(cabinet) = &mut unheld.dryer {
        cabinet.heater.cutback = None;
    }
    let free = crate::plan(&unheld)?;
    let half_gone = |s: &Sample| s.trays.iter().map(|t| t.ice_left_frac).sum::<f64>() < 0.5 * s.trays.len() as f64;
    let demand = mean(&free, |s| !half_gone(s), |s| s.trays.iter().map(|t| t.vapour_kg_per_s).sum());
    let shelf_k = mean(result, |_| true, |s| s.trays.iter().map(|t| t.shelf_k).sum::<f64>() / s.trays.len() as f64);
    let from_pa = cutback.absolute(vapour_path::air_pressure_pa(&cabinet.vacuum)).from_pa;
    let taken = condenser_takes_kg_per_s(load.room_k, cabinet, from_pa, 0.5 * result.machine.ice_thickness_m, shelf_k)?;
    Ok(Some((demand, taken)))
}

/// Vapour that the condenser takes at a chamber pressure (that from which the heaters are held back), kg/s; 0 if it takes
/// none.
fn condenser_takes_kg_per_s(
    room_k: f64,
    cabinet: &Cabinet,
    limit_pa: f64,
    deposit_m: f64,
    shelf_k: f64,
) -> Result<f64, ModelError> {
    let refrigerator = Refrigerator::in_room(&cabinet.refrigeration, room_k)?;
    let condenser = &cabinet.condenser;
    let path = vapour_path::opening_conductance_kg_per_s_pa(condenser.opening_m2, PATH_GAS_K);
    let vapour_pa = limit_pa - vapour_path::air_pressure_pa(&cabinet.vacuum);
    if vapour_pa <= 1.0 {
        return Ok(0.0);
    }
    let deposit_m2_k_per_w = deposit_m / condenser.deposit_conductivity_w_per_m_k;
    let spare_w = |rate: f64| {
        let ice_k = water::frost_point_k((vapour_pa - rate / path).max(1e-3));
        let heat_j_per_kg = water::heat_of_sublimation_j_per_kg(ice_k.clamp(200.0, 273.0));
        let wall_k = ice_k - rate * heat_j_per_kg * deposit_m2_k_per_w / condenser.area_m2;
        let stack_w_per_m2_k = stack_to_wall_w_per_m2_k(limit_pa, shelf_k, wall_k, cabinet.contact.accommodation);
        let stack_w = cabinet.stack_to_cold_surface_m2 * stack_w_per_m2_k * (shelf_k - wall_k).max(0.0);
        let leak_w = cabinet.heat_leak_w_per_k * (room_k - wall_k);
        let vapour_w = rate * (heat_j_per_kg + VAPOUR_J_PER_KG_K * (shelf_k - wall_k).max(0.0));
        refrigerator.at(wall_k).cooling_w - vapour_w - stack_w - leak_w
    };
    if spare_w(0.0) <= 0.0 {
        return Ok(0.0);
    }
    root::bracketed("vapour at the pressure limit", 0.0, 0.999 * path * vapour_pa, 1e-9, spare_w)
}

/// What is in the way of a load.
struct Outside {
    /// The samples that fail.
    failing: Samples,
    /// What most of them run into.
    stops: Vec<Trouble>,
}

/// What is in the way of the load filled to this share; `None` if it is inside.
fn outside(samples: &Samples, share: f64) -> Result<Option<Outside>, ModelError> {
    let failing = samples.failing(|load| Some(filled(load, share)))?.unwrap_or_default();
    if failing.len() <= samples.may_fail {
        return Ok(None);
    }
    let half = |t: &Trouble| 2 * failing.iter().filter(|one| one.troubles.contains(t)).count() >= failing.len();
    let stops = Trouble::ALL.into_iter().filter(half).collect();
    Ok(Some(Outside { failing: samples.only(failing.iter().map(|one| one.place)), stops }))
}

/// Smallest share that is tried: no food gets thinner than can be computed.
fn least(samples: &Samples) -> f64 {
    let trays = samples.loads.iter().flat_map(|load| &load.trays);
    trays.map(|tray| 1.001 * LEAST_HEIGHT_M / tray.shape.height_m()).fold(LEAST, f64::max).min(1.0)
}

fn filled(load: &Load, share: f64) -> Load {
    let mut load = load.clone();
    load.trays.iter_mut().for_each(|tray| tray.shape = tray.shape.filled(share));
    load
}

/// The largest load inside, where the load as it is counts as inside or not: bisects between one that is and one that is not.
/// A sample that goes well in a larger load goes well in a smaller one, and is not run again.
///
/// # Errors
/// [`ModelError`] as the model gives it.
pub fn fullest(samples: &Samples, is_inside: bool) -> Result<Fullest, ModelError> {
    let (mut inside, mut beyond) = if is_inside { (1.0, MOST) } else { (least(samples), 1.0) };
    if !is_inside && let Some(Outside { stops, .. }) = outside(samples, inside)? {
        return Ok(Fullest { share: 0.0, stops });
    }
    let Some(mut found) = outside(samples, beyond)? else {
        // as it is the load may count as outside though so few of these samples fail
        let share = if is_inside { MOST } else { in_steps(beyond).max(inside) };
        return Ok(Fullest { share, stops: Vec::new() });
    };
    let least = inside;
    while beyond - inside > CLOSE * beyond {
        let middle = 0.5 * (inside + beyond);
        match outside(&found.failing, middle)? {
            None => inside = middle,
            Some(nearer) => (beyond, found) = (middle, nearer),
        }
    }
    Ok(Fullest { share: in_steps(inside).max(least), stops: found.stops })
}

/// The share in steps, with something to spare: a few samples know it no better.
fn in_steps(share: f64) -> f64 {
    STEP * (share / STEP - SPARE).floor()
}
