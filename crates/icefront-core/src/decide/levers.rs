//! What a batch would gain if one thing were twice as good: run again, not derived.

use serde::Serialize;

use super::falls::falls;
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

    /// The load where this is twice as good; `contact` is the mean heat from shelf to tray, W/(m2 K).
    fn eased(self, load: &Load, contact_w_per_m2_k: f64) -> Load {
        let mut load = load.clone();
        let foods = |load: &mut Load, ease: fn(&mut FoodModel)| {
            load.trays.iter_mut().for_each(|tray| ease(&mut tray.model));
        };
        let cabinet = |load: &mut Load, ease: &dyn Fn(&mut Cabinet)| {
            if let Dryer::Cabinet(cabinet) = &mut load.dryer {
                ease(cabinet);
            }
        };
        match self {
            Self::Contact => ease_contact(&mut load, contact_w_per_m2_k),
            Self::Lining => match &mut load.dryer {
                Dryer::Cabinet(c) => halve(&mut [&mut c.contact.lining_gap_m, &mut c.contact.frozen_block_gap_m]),
                Dryer::Prescribed(p) => halve(&mut [&mut p.contact.lining_gap_m, &mut p.contact.frozen_block_gap_m]),
            },
            Self::Frozen => foods(&mut load, |f| f.conductivity_frozen_w_per_m_k *= 2.0),
            Self::DriedHeat => foods(&mut load, |f| {
                f.dried.conductivity_vacuum_w_per_m_k *= 2.0;
                f.dried.conductivity_gas_w_per_m_k *= 2.0;
            }),
            Self::DriedVapour => foods(&mut load, |f| {
                f.dried.permeability_kg_per_m_s_pa *= 2.0;
                f.dried.skin_resistance_m2_s_pa_per_kg /= 2.0;
            }),
            Self::Passage => cabinet(&mut load, &|c| c.condenser.opening_m2 *= 2.0),
            Self::Deposit => cabinet(&mut load, &|c| c.condenser.deposit_conductivity_w_per_m_k *= 2.0),
            Self::Refrigerant => cabinet(&mut load, &|c| c.refrigeration.wall_conductance_w_per_k *= 2.0),
            Self::Compressor => cabinet(&mut load, &|c| {
                c.refrigeration.swept_m3_per_s *= 2.0;
                c.refrigeration.loss_w *= 2.0;
                c.refrigeration.power_limit_w *= 2.0;
                c.refrigeration.hot_side_conductance_w_per_k *= 2.0;
            }),
            Self::HeaterPower => cabinet(&mut load, &|c| c.heater.power_w_per_m2 *= 2.0),
            Self::PressureLimit => cabinet(&mut load, &|c| {
                if let Some(cutback) = &mut c.heater.cutback {
                    cutback.scale(2.0);
                }
            }),
            Self::Desorption => foods(&mut load, |f| f.dried.desorption_rate_40c_per_s *= 2.0),
            Self::Pump => cabinet(&mut load, &|c| c.vacuum.speed_m3_per_s *= 2.0),
        }
        load
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

fn halve(numbers: &mut [&mut f64]) {
    numbers.iter_mut().for_each(|n| **n *= 0.5);
}

/// Adds as much as there is on average: twice the whole, whatever its parts.
fn ease_contact(load: &mut Load, mean_w_per_m2_k: f64) {
    match &mut load.dryer {
        Dryer::Cabinet(c) => c.contact.direct_w_per_m2_k += mean_w_per_m2_k,
        Dryer::Prescribed(p) => p.contact.direct_w_per_m2_k += mean_w_per_m2_k,
    }
    for below_w_per_m2_k in load.trays.iter_mut().filter_map(|tray| tray.contact.below_w_per_m2_k.as_mut()) {
        *below_w_per_m2_k *= 2.0;
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

/// Runs a load again with each lever eased; the largest gain first.
///
/// # Errors
/// [`ModelError`] as the model gives it.
pub fn gains(load: &Load, result: &BatchResult) -> Result<Vec<Gain>, ModelError> {
    let mut contact = 0.0;
    for tray in 0..load.trays.len() {
        contact += falls(load, result, tray)?.contact_w_per_m2_k / load.trays.len() as f64;
    }
    let there: Vec<Lever> = Lever::ALL.into_iter().filter(|lever| lever.is_there(load)).collect();
    let runs = by_index(there.len(), None, |i| {
        let eased = crate::plan(&there[i].eased(load, contact))?;
        let stage_s = ByStage::from_fn(|s| result.stage_s[s] - eased.stage_s[s]);
        Ok(Gain { lever: there[i], ready_s: result.food_ready_s() - eased.food_ready_s(), stage_s })
    });
    let mut gains = runs.into_iter().collect::<Result<Vec<Gain>, ModelError>>()?;
    gains.sort_by(|a, b| b.ready_s.total_cmp(&a.ready_s));
    Ok(gains)
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
