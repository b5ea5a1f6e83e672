//! The answer of `icefront explain`, as data.

use std::collections::BTreeMap;

use icefront_core::decide::falls::{ByStep, Step};
use icefront_core::decide::levers::{Lever, binding};
use icefront_core::result::Stage;
use serde::Serialize;

use crate::explain::reasons::Answer;
use crate::explain::words;
use crate::format::in_hours;
use crate::kept::Kept;
use crate::usable::Map;

/// Why a batch takes so long.
#[derive(Clone, Debug, Serialize)]
pub struct Explanation<'a> {
    /// The tray that is looked at.
    pub tray: &'a str,
    /// Food on it.
    pub food: &'a str,
    /// Until the food can be taken out, in the run that stands for all samples: that of `plan`.
    pub food_ready_s: f64,
    /// What limits each stage, the most first.
    pub binds: BTreeMap<Stage, Vec<Bound>>,
    /// Shares of the temperature between shelf and refrigerant, mean over primary drying.
    pub resistance_share: ByStep,
    /// Share of its heat that comes from above.
    pub heat_from_above_share: f64,
    /// What would be gained if one thing were twice as good, the most first.
    pub twice_as_good: Vec<Saved>,
    /// Food sooner ready if all of it were twice as good at once.
    pub all_ready_sooner_s: f64,
    /// The largest resistance taken away.
    pub largest_resistance: Option<Largest>,
    /// At which shelf temperatures and pressures the food of this tray dries, and how well.
    pub usable: Map<'a>,
    /// Only with `embedded` or `uneven_contact`: its parts side by side.
    pub parts: Vec<Beside>,
    /// The load with this tray as it is, thin, thick, lean and fatty.
    pub this_tray: Vec<Side>,
}

/// What limits a stage.
#[derive(Clone, Debug, Serialize)]
pub struct Bound {
    /// What.
    pub what: Lever,
    /// Share of the stage that is saved if it were twice as good.
    pub shorter_share: f64,
}

/// What a lever saves.
#[derive(Clone, Debug, Serialize)]
pub struct Saved {
    /// What would be twice as good.
    pub what: Lever,
    /// Food sooner ready by; below 0: later. `null`: only then it gets dry.
    pub ready_sooner_s: f64,
    /// The same once everything else is twice as good.
    pub ready_sooner_last_s: Option<f64>,
}

/// The largest resistance, and what holds the batch up without it.
#[derive(Clone, Debug, Serialize)]
pub struct Largest {
    /// Which.
    pub what: Step,
    /// Its share of the temperature between shelf and refrigerant.
    pub share: f64,
    /// Food sooner ready with a tenth of it; below 0: later.
    pub ready_sooner_s: f64,
    /// Share of primary drying with heaters held back by pressure, as it is.
    pub held_back_share: f64,
    /// The same with a tenth of the resistance.
    pub held_back_without_share: f64,
    /// What would save most then.
    pub then: Option<Lever>,
    /// Food sooner ready if that were twice as good too.
    pub then_ready_sooner_s: Option<f64>,
}

/// One part of the tray.
#[derive(Clone, Debug, Serialize)]
pub struct Beside {
    /// Which.
    pub what: String,
    /// Share of the tray's floor, 0 to 1.
    pub floor_share: f64,
    /// Factor on the heat from below.
    pub contact_factor: f64,
    /// Last ice gone, from the start; `null`: never.
    pub ice_gone_at_s: Option<f64>,
    /// Wettest spot under the target, from the start; `null`: never.
    pub dry_at_s: Option<f64>,
    /// As for the tray.
    pub resistance_share: ByStep,
}

/// The tray changed.
#[derive(Clone, Debug, Serialize)]
pub struct Side {
    /// How.
    pub what: &'static str,
    /// Whether weight and depth of the food stay as they are.
    pub kept: Kept,
    /// Food on it.
    pub food_kg: f64,
    /// Water it gives off.
    pub water_kg: f64,
    /// Hours under vacuum until it is dry, per kg of that water; `null`: never.
    pub drying_h_per_kg_water: Option<f64>,
    /// Last ice gone, from the start; `null`: never.
    pub ice_gone_at_s: Option<f64>,
    /// Wettest spot under the target, from the start; `null`: never.
    pub dry_at_s: Option<f64>,
    /// As for the tray.
    pub resistance_share: ByStep,
}

/// The answer as data.
pub fn explanation(answer: &Answer) -> Explanation<'_> {
    let tray = &answer.load.trays[answer.tray];
    let bound = |stage: Stage| {
        let found = binding(&answer.gains, &answer.result, stage).into_iter();
        (stage, found.map(|(what, shorter_share)| Bound { what, shorter_share }).collect())
    };
    let beside = answer.parts.iter().map(|part| Beside {
        what: words::part(&part.result, tray),
        floor_share: part.result.area_frac,
        contact_factor: part.result.contact_factor,
        ice_gone_at_s: part.result.ice_gone_at_s,
        dry_at_s: part.result.dry_at_s,
        resistance_share: part.falls.share,
    });
    let sides = answer.sides.iter().map(|side| {
        let here = &side.result.trays[answer.tray];
        Side {
            what: words::changed(side.change, &tray.shape),
            kept: side.kept,
            food_kg: here.loaded_kg,
            water_kg: side.water_kg(answer.tray),
            drying_h_per_kg_water: side.per_kg_water_s(answer.tray).map(in_hours),
            ice_gone_at_s: here.ice_gone_at_s,
            dry_at_s: here.dry_at_s,
            resistance_share: side.falls.share,
        }
    });
    let last = |lever: Lever| answer.together.last.iter().find(|(what, _)| *what == lever).map(|(_, saved)| *saved);
    let saved = answer.gains.iter().map(|gain| Saved {
        what: gain.lever,
        ready_sooner_s: gain.ready_s,
        ready_sooner_last_s: last(gain.lever),
    });
    let largest = answer.bottleneck.map(|found| Largest {
        what: found.step,
        share: found.share,
        ready_sooner_s: found.ready_s,
        held_back_share: found.held_back_frac[0],
        held_back_without_share: found.held_back_frac[1],
        then: found.next.map(|(lever, _)| lever),
        then_ready_sooner_s: found.next.map(|(_, saved)| saved),
    });
    Explanation {
        tray: &tray.name,
        food: &tray.food,
        food_ready_s: answer.result.food_ready_s(),
        binds: [Stage::Freezing, Stage::Evacuation, Stage::PrimaryDrying, Stage::SecondaryDrying].map(bound).into(),
        resistance_share: answer.falls.share,
        heat_from_above_share: answer.falls.from_above,
        twice_as_good: saved.collect(),
        all_ready_sooner_s: answer.together.ready_s,
        largest_resistance: largest,
        usable: answer.usable.map(),
        parts: beside.collect(),
        this_tray: sides.collect(),
    }
}
