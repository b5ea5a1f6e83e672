//! What a batch would gain if one thing were twice as good: run again, not derived.
//!
//! # Main equations
//! With `t(S)` the time until the food is ready when the things of a set `S` are twice as good:
//! ```text
//! alone    t() - t({i})          what i saves as the batch stands
//! last     t(all but i) - t(all) what i saves once everything else is twice as good
//! together t() - t(all)          what all of them save at once
//! ```
//! Resistances in series lose the less the larger the others are: `last` exceeds `alone` where something else holds the
//! batch up, and `together` then exceeds the sum of all `alone`. Two ways to the same end (a larger compressor, a better
//! cold wall) share their gain: their sum exceeds what they save together.
//!
//! The largest resistance need not be what holds the batch up. [`bottleneck`] takes it away ([`GONE`] times as good) and
//! asks again what would save most.

use serde::Serialize;

use super::falls::{Falls, Step, falls};
use crate::error::ModelError;
use crate::food::FoodModel;
use crate::load::Load;
use crate::machine::{Cabinet, Dryer};
use crate::ranges::by_index;
use crate::result::{BatchResult, ByStage, Stage};

/// Something that can hold a batch back.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Lever {
    /// Twice the heat from shelf to tray.
    Contact,
    /// Half the gaps of linings and frozen blocks.
    #[serde(rename = "tray_lining")]
    Lining,
    /// Frozen food conducts twice as well.
    #[serde(rename = "frozen_layer")]
    Frozen,
    /// Dried food conducts twice as well.
    #[serde(rename = "dried_layer_heat")]
    DriedHeat,
    /// Dried food and skin let twice the vapour through.
    #[serde(rename = "dried_layer_vapour")]
    DriedVapour,
    /// Twice the opening between chamber and condenser.
    #[serde(rename = "chamber_to_condenser")]
    Passage,
    /// Ice on the condenser conducts twice as well.
    #[serde(rename = "condenser_ice")]
    Deposit,
    /// Twice the conductance from condenser metal to refrigerant.
    #[serde(rename = "refrigerant_to_wall")]
    Refrigerant,
    /// A compressor twice as large, with twice the conductance to the room.
    Compressor,
    /// Twice the heater power.
    HeaterPower,
    /// Twice the pressure at which the heaters are held back.
    PressureLimit,
    /// Held water leaves twice as fast.
    Desorption,
    /// Twice the pumping speed.
    Pump,
}

impl Lever {
    /// All, from the shelf on.
    pub const ALL: [Self; 13] = [
        Self::Contact,
        Self::Lining,
        Self::Frozen,
        Self::DriedHeat,
        Self::DriedVapour,
        Self::Passage,
        Self::Deposit,
        Self::Refrigerant,
        Self::Compressor,
        Self::HeaterPower,
        Self::PressureLimit,
        Self::Desorption,
        Self::Pump,
    ];

    /// The load where this is `times` as good; `contact` is the mean heat from shelf to tray, W/(m2 K).
    fn eased(self, mut load: Load, contact_w_per_m2_k: f64, times: f64) -> Load {
        let foods = |load: &mut Load, ease: &dyn Fn(&mut FoodModel)| {
            load.trays.iter_mut().for_each(|tray| ease(&mut tray.model));
        };
        let cabinet = |load: &mut Load, ease: &dyn Fn(&mut Cabinet)| {
            if let Dryer::Cabinet(cabinet) = &mut load.dryer {
                ease(cabinet);
            }
        };
        match self {
            Self::Contact => ease_contact(&mut load, contact_w_per_m2_k, times),
            Self::Lining => {
                let contact = match &mut load.dryer {
                    Dryer::Cabinet(c) => &mut c.contact,
                    Dryer::Prescribed(p) => &mut p.contact,
                };
                contact.lining_gap_m /= times;
                contact.frozen_block_gap_m /= times;
            }
            Self::Frozen => foods(&mut load, &|f| f.conductivity_frozen_w_per_m_k *= times),
            Self::DriedHeat => foods(&mut load, &|f| {
                f.dried.conductivity_vacuum_w_per_m_k *= times;
                f.dried.conductivity_gas_w_per_m_k *= times;
            }),
            Self::DriedVapour => foods(&mut load, &|f| {
                f.dried.permeability_kg_per_m_s_pa *= times;
                f.dried.skin_resistance_m2_s_pa_per_kg /= times;
            }),
            Self::Passage => cabinet(&mut load, &|c| c.condenser.opening_m2 *= times),
            Self::Deposit => cabinet(&mut load, &|c| c.condenser.deposit_conductivity_w_per_m_k *= times),
            Self::Refrigerant => cabinet(&mut load, &|c| c.refrigeration.wall_conductance_w_per_k *= times),
            Self::Compressor => cabinet(&mut load, &|c| {
                c.refrigeration.scale(times);
                c.refrigeration.hot_side_conductance_w_per_k *= times;
            }),
            Self::HeaterPower => cabinet(&mut load, &|c| c.heater.power_w_per_m2 *= times),
            Self::PressureLimit => cabinet(&mut load, &|c| {
                if let Some(cutback) = &mut c.heater.cutback {
                    cutback.scale(times);
                }
            }),
            Self::Desorption => foods(&mut load, &|f| f.dried.desorption_rate_40c_per_s *= times),
            Self::Pump => cabinet(&mut load, &|c| c.vacuum.speed_m3_per_s *= times),
        }
        load
    }

    /// What makes a step between shelf and refrigerant smaller; `None` for the space above, which no one changes.
    pub fn of_step(step: Step) -> Option<Self> {
        Some(match step {
            Step::Contact => Self::Contact,
            Step::Lining => Self::Lining,
            Step::Frozen => Self::Frozen,
            Step::SpaceAbove => return None,
            Step::DriedHeat => Self::DriedHeat,
            Step::DriedVapour => Self::DriedVapour,
            Step::Passage => Self::Passage,
            Step::Deposit => Self::Deposit,
            Step::Refrigerant => Self::Refrigerant,
        })
    }

    /// Whether there is such a thing in this load.
    fn is_there(self, load: &Load) -> bool {
        let in_cabinet = matches!(load.dryer, Dryer::Cabinet(_));
        match self {
            Self::Contact | Self::DriedHeat | Self::DriedVapour | Self::Desorption | Self::Frozen => true,
            Self::Lining => {
                load.trays.iter().any(|t| t.lined || matches!(t.freezing, crate::load::Freezing::Frozen { .. }))
            }
            Self::PressureLimit => {
                matches!(&load.dryer, Dryer::Cabinet(c) if c.heater.cutback.is_some())
            }
            Self::Passage | Self::Deposit | Self::Refrigerant | Self::Compressor | Self::HeaterPower | Self::Pump => {
                in_cabinet
            }
        }
    }
}

/// Adds what is missing to `times` as much as there is on average: so much of the whole, whatever its parts.
fn ease_contact(load: &mut Load, mean_w_per_m2_k: f64, times: f64) {
    let more_w_per_m2_k = (times - 1.0) * mean_w_per_m2_k;
    match &mut load.dryer {
        Dryer::Cabinet(c) => c.contact.direct_w_per_m2_k += more_w_per_m2_k,
        Dryer::Prescribed(p) => p.contact.direct_w_per_m2_k += more_w_per_m2_k,
    }
    for below_w_per_m2_k in load.trays.iter_mut().filter_map(|tray| tray.contact.below_w_per_m2_k.as_mut()) {
        *below_w_per_m2_k *= times;
    }
}

/// What one lever would save.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Gain {
    /// The lever.
    pub lever: Lever,
    /// Sooner ready, s (negative: later). Infinite if only then it gets dry.
    pub ready_s: f64,
    /// Each stage shorter, s.
    pub stage_s: ByStage<f64>,
}

/// Eased: so many times as good.
const EASED: f64 = 2.0;
/// So many times as good, a resistance counts as taken away.
pub const GONE: f64 = 10.0;

/// Heat from shelf to tray, mean over trays and time, W/(m2 K).
fn mean_contact(load: &Load, result: &BatchResult) -> Result<f64, ModelError> {
    let trays = 0..load.trays.len();
    trays.map(|tray| Ok(falls(load, result, tray)?.contact_w_per_m2_k / load.trays.len() as f64)).sum()
}

/// All levers that a load has.
fn levers_of(load: &Load) -> Vec<Lever> {
    Lever::ALL.into_iter().filter(|lever| lever.is_there(load)).collect()
}

/// Runs a load again with each lever eased; the largest gain first.
///
/// # Errors
/// [`ModelError`] as the model gives it.
pub fn gains(load: &Load, result: &BatchResult) -> Result<Vec<Gain>, ModelError> {
    let contact = mean_contact(load, result)?;
    let there = levers_of(load);
    let runs = by_index(there.len(), None, |i| {
        let eased = crate::plan(&there[i].eased(load.clone(), contact, EASED))?;
        let stage_s = ByStage::from_fn(|s| result.stage_s[s] - eased.stage_s[s]);
        Ok(Gain { lever: there[i], ready_s: result.food_ready_s() - eased.food_ready_s(), stage_s })
    });
    let mut gains = runs.into_iter().collect::<Result<Vec<Gain>, ModelError>>()?;
    gains.sort_by(|a, b| b.ready_s.total_cmp(&a.ready_s));
    Ok(gains)
}

/// What the levers do to each other.
#[derive(Clone, Debug, PartialEq)]
pub struct Together {
    /// Sooner ready with all of them eased at once, s.
    pub ready_s: f64,
    /// What each saves once all the others are eased, s.
    pub last: Vec<(Lever, f64)>,
}

/// Runs a load again with all levers eased at once, and with all but one.
///
/// # Errors
/// [`ModelError`] as the model gives it.
pub fn together(load: &Load, result: &BatchResult) -> Result<Together, ModelError> {
    let contact = mean_contact(load, result)?;
    let there = levers_of(load);
    // the last run leaves none out
    let runs = by_index(there.len() + 1, None, |left_out| {
        let eased = there.iter().enumerate().filter(|(i, _)| *i != left_out);
        let load = eased.fold(load.clone(), |load, (_, lever)| lever.eased(load, contact, EASED));
        Ok(crate::plan(&load)?.food_ready_s())
    });
    let ready_s = runs.into_iter().collect::<Result<Vec<f64>, ModelError>>()?;
    let all_s = ready_s.last().copied().unwrap_or(f64::NAN);
    let last = there.into_iter().zip(&ready_s).map(|(lever, without_s)| (lever, without_s - all_s)).collect();
    Ok(Together { ready_s: result.food_ready_s() - all_s, last })
}

/// The largest resistance of a tray, and what holds the batch up once it is gone.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bottleneck {
    /// The largest step between shelf and refrigerant that can be made smaller.
    pub step: Step,
    /// Its share of all.
    pub share: f64,
    /// Sooner ready without it, s.
    pub ready_s: f64,
    /// Share of primary drying with heaters held back by pressure: as it is, and without it.
    pub held_back_frac: [f64; 2],
    /// What would then save most if it were twice as good, and how much, s.
    pub next: Option<(Lever, f64)>,
}

/// Takes the largest resistance of a tray away and looks again; `None` where nothing resists.
///
/// # Errors
/// [`ModelError`] as the model gives it.
pub fn bottleneck(load: &Load, result: &BatchResult, falls: &Falls) -> Result<Option<Bottleneck>, ModelError> {
    let changeable = Step::ALL.into_iter().filter_map(|step| Some((step, Lever::of_step(step)?)));
    let largest = changeable.max_by(|a, b| falls.share[a.0].total_cmp(&falls.share[b.0]));
    let Some((step, lever)) = largest.filter(|(step, _)| falls.share[*step] > 0.0) else { return Ok(None) };
    let gone = lever.eased(load.clone(), mean_contact(load, result)?, GONE);
    let without = crate::plan(&gone)?;
    let next = gains(&gone, &without)?.into_iter().find(|gain| gain.lever != lever && gain.ready_s > 0.0);
    Ok(Some(Bottleneck {
        step,
        share: falls.share[step],
        ready_s: result.food_ready_s() - without.food_ready_s(),
        held_back_frac: [result.machine.time_limited_frac, without.machine.time_limited_frac],
        next: next.map(|gain| (gain.lever, gain.ready_s)),
    }))
}

/// Less than this share of a stage does not bind it.
const BINDING: f64 = 0.03;

/// The levers that would shorten a stage most, at most three, with the share of the stage each saves.
pub fn binding(gains: &[Gain], result: &BatchResult, stage: Stage) -> Vec<(Lever, f64)> {
    let length_s = result.stage_s[stage];
    let mut shares: Vec<(Lever, f64)> =
        gains.iter().map(|gain| (gain.lever, gain.stage_s[stage] / length_s.max(1.0))).collect();
    shares.retain(|(_, share)| *share > BINDING);
    shares.sort_by(|a, b| b.1.total_cmp(&a.1));
    shares.truncate(3);
    shares
}
