//! Where the temperature between shelf and refrigerant is spent: all resistances of one tray in one series.
//!
//! # Main equations
//! Heat comes down from shelf to ice front, vapour goes on from the front to the condenser's ice, and its heat from there
//! to the refrigerant. A fall of vapour pressure counts as the fall of its frost point, so that all steps add up:
//! ```text
//! T_shelf - T_refrigerant = contact + lining + frozen layer + space above + dried layer (heat)
//!                         + [T_i - T_f(p_v)] + [T_f(p_v) - T_ice] + [T_ice - T_w] + Q/UA
//! ```
//! A layer has two heat paths to its front, from below (contact, lining, frozen layer) and from above (space above, dried
//! layer); each counts by its share of the heat. Pieces are heated at their surface; heat then crosses the dried layer.
//!
//! # Assumptions and limits
//! Shares say where the driving temperature goes at this operating point, not what the batch would gain: where pressure
//! holds the heaters back, easing one step only moves the others ([`super::levers`] runs again for that). In a bed the
//! coldest front and the warmest surface stand for all layers.

use std::ops::Index;

use serde::{Serialize, Serializer};

use super::limits::primary;
use crate::batch::Precision;
use crate::batch::below_coefficient;
use crate::batch::cabinet::{Drive, Stack, StackTray};
use crate::batch::parts::Part;
use crate::error::ModelError;
use crate::load::{Freezing, Load, Tray};
use crate::machine::Above;
use crate::primary::Arrangement;
use crate::result::{BatchResult, PartSample, Sample};
use crate::water;

/// One step between shelf and refrigerant.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Step {
    /// Shelf to tray.
    Contact,
    /// Lining, and the gap under a block of food that was loaded frozen.
    #[serde(rename = "tray_lining")]
    Lining,
    /// Frozen part of a layer.
    #[serde(rename = "frozen_layer")]
    Frozen,
    /// From the shelf above to the food.
    SpaceAbove,
    /// Dried food, for the heat to the front.
    #[serde(rename = "dried_layer_heat")]
    DriedHeat,
    /// Dried food, for the vapour from the front.
    #[serde(rename = "dried_layer_vapour")]
    DriedVapour,
    /// Chamber to condenser.
    #[serde(rename = "chamber_to_condenser")]
    Passage,
    /// Ice on the condenser.
    #[serde(rename = "condenser_ice")]
    Deposit,
    /// Condenser metal to refrigerant.
    #[serde(rename = "refrigerant_to_wall")]
    Refrigerant,
}

const STEPS: usize = 9;

impl Step {
    /// All, from the shelf on.
    pub const ALL: [Self; STEPS] = [
        Self::Contact,
        Self::Lining,
        Self::Frozen,
        Self::SpaceAbove,
        Self::DriedHeat,
        Self::DriedVapour,
        Self::Passage,
        Self::Deposit,
        Self::Refrigerant,
    ];
}

/// One number per step, indexed by [`Step`]. Serialised under the names of the steps.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct ByStep([f64; STEPS]);

impl ByStep {
    /// Sum over all steps.
    pub fn sum(&self) -> f64 {
        self.0.iter().sum()
    }
}

impl Index<Step> for ByStep {
    type Output = f64;

    fn index(&self, step: Step) -> &f64 {
        &self.0[step as usize]
    }
}

impl Serialize for ByStep {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        to.collect_map(Step::ALL.into_iter().zip(self.0))
    }
}

/// Falls of one tray over its primary drying.
#[derive(Clone, Debug, PartialEq)]
pub struct Falls {
    /// Times from the start of the run, s.
    pub time_s: Vec<f64>,
    /// Falls at those times, K.
    pub falls_k: Vec<ByStep>,
    /// Share of each step in the sum, mean over time.
    pub share: ByStep,
    /// Mean heat from shelf to tray without lining, W/(m2 K).
    pub contact_w_per_m2_k: f64,
    /// Share of the heat that comes from above, mean over time; 0 for pieces.
    pub from_above: f64,
}

/// Less ice than this, of all, is not looked at: the front is nearly gone.
const LAST_ICE: f64 = 0.02;
/// Thinnest dried layer through which heat is reckoned, m.
const THINNEST_M: f64 = 2e-4;

/// Falls of one tray over a run; of a tray with parts side by side, those of its first: the plain food.
///
/// # Errors
/// [`ModelError`] for a load that cannot be run.
pub fn falls(load: &Load, result: &BatchResult, tray: usize) -> Result<Falls, ModelError> {
    falls_of_part(load, result, tray, 0)
}

/// Falls of one part of a tray over a run, by its place in [`TrayResult::parts`](crate::result::TrayResult::parts).
///
/// # Errors
/// [`ModelError`] for a load that cannot be run.
pub fn falls_of_part(load: &Load, result: &BatchResult, tray: usize, part: usize) -> Result<Falls, ModelError> {
    let stack = Stack::new(load, &Precision::default())?;
    let bare = Tray { lined: false, freezing: unfrozen(load.trays[tray].freezing), ..load.trays[tray].clone() };
    let mut out = Falls {
        time_s: Vec::new(),
        falls_k: Vec::new(),
        share: ByStep::default(),
        contact_w_per_m2_k: 0.0,
        from_above: 0.0,
    };
    let mut all_s = 0.0;
    let mut before: Option<[f64; STEPS]> = None;
    for (sample, dt) in primary(result) {
        let seen = sample.trays[tray].part(part);
        if seen.ice_left_frac <= LAST_ICE {
            continue;
        }
        let Some(now) = stack.trays[tray].parts.get(part).map(|part| at(&stack, &bare, tray, part, sample, &seen))
        else {
            continue;
        };
        let sum: f64 = now.falls_k.iter().sum();
        if sum <= 0.0 {
            continue;
        }
        out.time_s.push(sample.time_s);
        out.falls_k.push(ByStep(now.falls_k));
        all_s += dt;
        // mean of both ends of the step
        let shares = now.falls_k.map(|fall| fall / sum);
        let start = before.replace(shares).unwrap_or(shares);
        for ((share, a), b) in out.share.0.iter_mut().zip(start).zip(shares) {
            *share += dt * 0.5 * (a + b);
        }
        out.contact_w_per_m2_k += dt * now.contact_w_per_m2_k;
        out.from_above += dt * now.from_above;
    }
    if all_s > 0.0 {
        out.share.0.iter_mut().for_each(|share| *share /= all_s);
        out.contact_w_per_m2_k /= all_s;
        out.from_above /= all_s;
    }
    Ok(out)
}

/// Food that lies on its tray without a gap.
fn unfrozen(freezing: Freezing) -> Freezing {
    match freezing {
        Freezing::Frozen { loaded_k } => Freezing::InMachine { loaded_k },
        other => other,
    }
}

struct Now {
    falls_k: [f64; STEPS],
    contact_w_per_m2_k: f64,
    from_above: f64,
}

fn at(stack: &Stack<'_>, bare: &Tray, tray: usize, part: &Part, sample: &Sample, now: &PartSample) -> Now {
    let st = &stack.trays[tray];
    let (shelf_k, front_k, top_k) = (sample.trays[tray].shelf_k, now.front_k, now.surface_k);
    let total_pa = sample.chamber_pressure_pa;
    let faces_k = if part.is_layer() { front_k } else { top_k };
    let coefficient = |st: &StackTray<'_>| match st.tray.contact.below_w_per_m2_k {
        Some(known) => known,
        None => below_coefficient(stack, st, part, total_pa, shelf_k, faces_k),
    };
    let contact_w_per_m2_k = coefficient(&StackTray { tray: bare, ..st.clone() });
    let contact = 1.0 / contact_w_per_m2_k.max(1e-9);
    let lining = (1.0 / coefficient(st).max(1e-9) - contact).max(0.0);
    let mut falls_k = [0.0; STEPS];
    let mut from_above = 0.0;
    match part.arrangement {
        Arrangement::Layer { .. } => {
            let (model, body) = (&part.model, &part.bodies[0]);
            let passed = 1.0 - now.ice_left_frac;
            let frozen = body.frozen_path_m(passed, true) / model.conductivity_frozen_w_per_m_k;
            let below = contact + lining + frozen;
            let dried_m = body.heat_shell_per_m(passed, true) * part.floor_m2();
            let from_below_w = ((shelf_k - front_k) / below).max(0.0);
            let from_above_w = if dried_m > THINNEST_M {
                (model.dried.conductivity_at(total_pa) / dried_m * (top_k - front_k)).max(0.0)
            } else {
                0.0
            };
            from_above = from_above_w / (from_above_w + from_below_w).max(1e-12);
            let fall = (1.0 - from_above) * (shelf_k - front_k).max(0.0) / below;
            falls_k[Step::Contact as usize] = fall * contact;
            falls_k[Step::Lining as usize] = fall * lining;
            falls_k[Step::Frozen as usize] = fall * frozen;
            falls_k[Step::SpaceAbove as usize] = from_above * (above_k(stack, tray, sample) - top_k).max(0.0);
            falls_k[Step::DriedHeat as usize] = from_above * (top_k - front_k).max(0.0);
        }
        Arrangement::Pieces { .. } => {
            let fall = (shelf_k - top_k).max(0.0) / (contact + lining);
            falls_k[Step::Contact as usize] = fall * contact;
            falls_k[Step::Lining as usize] = fall * lining;
            falls_k[Step::DriedHeat as usize] = (top_k - front_k).max(0.0);
        }
    }
    let frost_k = water::frost_point_k(sample.vapour_pressure_pa.max(1e-3));
    falls_k[Step::DriedVapour as usize] = (front_k - frost_k).max(0.0);
    if let Drive::Machine { cabinet, refrigerator, .. } = &stack.drive {
        falls_k[Step::Passage as usize] = (frost_k - sample.ice_surface_k).max(0.0);
        falls_k[Step::Deposit as usize] = (sample.ice_surface_k - sample.condenser_k).max(0.0);
        falls_k[Step::Refrigerant as usize] =
            refrigerator.at(sample.condenser_k).cooling_w / cabinet.refrigeration.wall_conductance_w_per_k;
    }
    Now { falls_k, contact_w_per_m2_k, from_above }
}

/// What faces the food from above, K.
fn above_k(stack: &Stack<'_>, tray: usize, sample: &Sample) -> f64 {
    match (sample.trays.get(tray + 1), &stack.drive) {
        (Some(next), _) => next.shelf_k,
        (None, Drive::Machine { cabinet, .. }) if !stack.heated_top() && cabinet.above_top_tray == Above::ColdWall => {
            sample.condenser_k
        }
        (None, Drive::Rig(rig)) if !rig.heated_above => rig.surroundings_k(stack.load.room_k),
        _ => sample.trays[tray].shelf_k,
    }
}
