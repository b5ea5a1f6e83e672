//! The answer of `icefront plan`, as data.

use std::collections::BTreeMap;

use icefront_core::decide::limits::Limits;
use icefront_core::decide::trouble::{LoadVerdict, Trouble};
use icefront_core::load::Load;
use icefront_core::machine::Dryer;
use icefront_core::ranges::Outcome;
use icefront_core::result::{Balance, ByConsumer, Flag, PartResult, Stage};
use serde::Serialize;

use crate::format;
use crate::json::Predicted;
use crate::plan::limits::Near;
use crate::plan::outcome::{cost, stopped};
use crate::plan::{Run, cautions, flags, limits};
use crate::range::{self, Range};

/// A planned batch.
#[derive(Clone, Debug, Serialize)]
pub struct Answer {
    /// How long it takes; unknown where the run was stopped before its end rule was met.
    pub time_s: Times,
    /// Trays from the bottom to the top.
    pub trays: Vec<Tray>,
    /// Electric energy; unknown in a rig.
    pub energy_j: Energy,
    /// Water of the whole load.
    pub water_kg: Water,
    /// Cost of the electricity; unknown without a `[tariff]`.
    pub cost: Cost,
    /// Relative errors of the sums, which are computed, not predicted.
    pub balance: Balance,
    /// Doubts and dangers in words, the most pressing first.
    pub cautions: Vec<String>,
    /// What was taken for granted for trays in words, your own defaults first; not with a sheet.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub assumed: Vec<String>,
    /// How near the load is to the machine's limits, in that run; not in a rig.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub limits: Option<Near>,
    /// What the samples say; only where some were made.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub range: Option<Drawn>,
}

/// Times of the whole run.
#[derive(Clone, Debug, Serialize)]
pub struct Times {
    /// Whole run.
    pub total: Predicted,
    /// Its stages, which sum to the total in a run.
    #[serde(flatten)]
    pub stages: BTreeMap<Stage, Predicted>,
    /// From the start until the food can be taken out: all but the defrost.
    pub food_ready: Predicted,
}

/// One tray.
#[derive(Clone, Debug, Serialize)]
pub struct Tray {
    /// Name, as in the sheet.
    pub tray: String,
    /// Food, as in the sheet.
    pub food: String,
    /// Wettest spot under the target, from the start; `null`: never.
    pub dry_at_s: Predicted,
    /// Last ice gone, from the start; `null`: never.
    pub ice_gone_at_s: Predicted,
    /// Warmest the ice front became.
    pub front_max_k: Predicted,
    /// The same on average over ice and time in the typical run: what its texture is judged by.
    pub front_mean_k: f64,
    /// Water by weight in the wettest spot at the end, 0 to 1.
    pub residual_moisture: Predicted,
    /// Only with `embedded` or `uneven_contact`: the parts of the tray side by side.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub parts: Vec<Part>,
    /// What is wrong with it: what spoils it in more than 1 sample in 10, the rest in most samples.
    pub flags: Vec<Flag>,
}

/// One part of a tray, in the typical run.
#[derive(Clone, Debug, Serialize)]
pub struct Part {
    /// Whether it is the columns in which embedded pieces lie.
    pub with_pieces: bool,
    /// Share of the tray's floor, 0 to 1.
    pub floor_share: f64,
    /// Factor on the heat from below.
    pub contact_factor: f64,
    /// Last ice gone, from the start; `null`: never.
    pub ice_gone_at_s: Option<f64>,
    /// Wettest spot under the target, from the start; `null`: never.
    pub dry_at_s: Option<f64>,
}

impl From<&PartResult> for Part {
    fn from(part: &PartResult) -> Self {
        Self {
            with_pieces: part.with_pieces,
            floor_share: part.area_frac,
            contact_factor: part.contact_factor,
            ice_gone_at_s: part.ice_gone_at_s,
            dry_at_s: part.dry_at_s,
        }
    }
}

/// Electric energy.
#[derive(Clone, Debug, Serialize)]
pub struct Energy {
    /// Whole run.
    pub total: Predicted,
    /// Compressor of the refrigeration.
    pub compressor: Predicted,
    /// Vacuum pump.
    pub vacuum_pump: Predicted,
    /// Shelf heaters, and a defrost heater.
    pub heaters: Predicted,
    /// Controls and fans.
    pub other: Predicted,
    /// By stage; these sum to the total in a run, as the consumers do.
    pub by_stage: BTreeMap<Stage, Predicted>,
}

/// Water of the load.
#[derive(Clone, Debug, Serialize)]
pub struct Water {
    /// In the food at the start.
    pub loaded: Predicted,
    /// Taken out.
    pub removed: Predicted,
    /// Still in the food at the end.
    pub left: Predicted,
}

/// Money.
#[derive(Clone, Debug, Serialize)]
pub struct Cost {
    /// How much.
    #[serde(flatten)]
    pub money: Predicted,
    /// Of what, as the sheet says.
    pub currency: Option<String>,
}

/// What many draws say.
#[derive(Clone, Debug, Serialize)]
pub struct Drawn {
    /// Samples used.
    pub draws: usize,
    /// Samples left out because they could not be computed: quantities that contradict each other, or a step that did not
    /// converge. The text report mentions them once they are more than 1 in 100.
    pub refused: usize,
    /// The answer in one sentence.
    pub sentence: String,
    /// Chance, 0 to 1, that some tray shows it, or the load.
    pub chance: Chances,
    /// Which measurements would narrow the time until the food is ready, the best first.
    pub measure_first: Vec<Measure>,
}

/// Chances of trouble.
#[derive(Clone, Debug, Serialize)]
pub struct Chances {
    /// Some food softens, or shrinks, as its ice front is so warm.
    pub softens: f64,
    /// Some food shrinks.
    pub shrinks: f64,
    /// What the machine makes of the load: the chance of each verdict.
    pub load: BTreeMap<LoadVerdict, f64>,
    /// Not frozen at evacuation, melting, collapsing, ice left or not dry at the end, or more ice than the condenser has room
    /// for.
    #[serde(flatten)]
    pub trouble: BTreeMap<Trouble, f64>,
}

/// What a measurement is worth.
#[derive(Clone, Debug, Serialize)]
pub struct Measure {
    /// What to measure.
    pub what: String,
    /// Share of the range that it takes away.
    pub narrows_by: f64,
}

/// The answer from a run, its samples and its limits.
pub fn answer(run: &Run, near: Option<&Limits>) -> Answer {
    let (load, result, range) = (&run.load, &run.result, run.range.as_ref());
    let predicted = |typical_run: f64, of: &dyn Fn(&Outcome) -> f64| Predicted {
        drawn: range.map(|range| range.cloud.quantiles(of)),
        typical_run,
    };
    let stages = |of: &dyn Fn(Stage) -> Predicted| Stage::ALL.map(|stage| (stage, of(stage))).into();
    let unless_stopped = |seconds: f64| if stopped(result) { f64::NAN } else { seconds };
    let pressing = flags::pressing(run);
    // a rig has no machine, so its electricity is not known
    let known = if matches!(load.dryer, Dryer::Cabinet(_)) { 1.0 } else { f64::NAN };
    let total = result.energy_j();
    let by = |of: fn(&ByConsumer) -> f64| predicted(known * of(&total), &|o| known * of(&o.energy_j));
    let money = cost(load, result);
    let price = money.and(load.tariff.price_per_kwh).unwrap_or(f64::NAN);
    Answer {
        time_s: Times {
            total: predicted(unless_stopped(result.total_s()), &|o| o.total_s),
            stages: stages(&|stage| predicted(result.stage_s[stage], &|o| o.stage_s[stage])),
            food_ready: predicted(unless_stopped(result.food_ready_s()), &|o| o.food_ready_s),
        },
        trays: result
            .trays
            .iter()
            .enumerate()
            .map(|(i, tray)| Tray {
                tray: tray.name.clone(),
                food: tray.food.clone(),
                dry_at_s: predicted(tray.dry_at_s.unwrap_or(f64::NAN), &|o| o.trays[i].dry_at_s),
                ice_gone_at_s: predicted(tray.ice_gone_at_s.unwrap_or(f64::NAN), &|o| o.trays[i].ice_gone_at_s),
                front_max_k: predicted(tray.front_max_k, &|o| o.trays[i].front_max_k),
                front_mean_k: tray.front_mean_k,
                residual_moisture: predicted(tray.wettest_wet_frac, &|o| o.trays[i].wettest_wet_frac),
                parts: tray.parts.iter().map(Part::from).collect(),
                flags: flags::of_tray(&pressing, i),
            })
            .collect(),
        energy_j: Energy {
            total: by(ByConsumer::total),
            compressor: by(|e| e.compressor),
            vacuum_pump: by(|e| e.vacuum_pump),
            heaters: by(|e| e.heaters),
            other: by(|e| e.other),
            by_stage: stages(&|stage| {
                predicted(known * result.energy_by_stage_j[stage].total(), &|o| known * o.stage_energy_j[stage])
            }),
        },
        water_kg: Water {
            loaded: predicted(result.water.loaded_kg, &|o| o.water_loaded_kg),
            removed: predicted(result.water.removed_kg, &|o| o.water_loaded_kg - o.water_left_kg),
            left: predicted(result.water.left_kg, &|o| o.water_left_kg),
        },
        cost: Cost {
            money: predicted(money.unwrap_or(f64::NAN), &|o| price * format::kilowatt_hours(o.energy_j.total())),
            currency: money.map(|_| load.tariff.currency.clone()),
        },
        balance: result.balance,
        cautions: cautions::cautions(run),
        assumed: Vec::new(),
        limits: near.map(|near| limits::near(result, near)),
        range: range.map(|r| drawn(load, r)),
    }
}

fn drawn(load: &Load, range: &Range) -> Drawn {
    let cloud = &range.cloud;
    let trouble = Trouble::ALL.into_iter().filter(|trouble| *trouble != Trouble::TooHigh);
    let measure = |n| Measure { what: range::words(load, n), narrows_by: n.share };
    Drawn {
        draws: cloud.outcomes.len(),
        refused: cloud.refused,
        sentence: range::ready(range, None),
        chance: Chances {
            softens: cloud.chance(|o| o.shows(Flag::Softens) || o.shows(Flag::Shrinks)),
            shrinks: cloud.chance(|o| o.shows(Flag::Shrinks)),
            load: [LoadVerdict::Fine, LoadVerdict::SlowButSafe, LoadVerdict::TooMuch]
                .map(|verdict| (verdict, cloud.chance(|o| LoadVerdict::of(load, o) == verdict)))
                .into(),
            trouble: trouble.map(|trouble| (trouble, range::chance(load, cloud, trouble))).collect(),
        },
        measure_first: range.measure.iter().map(measure).collect(),
    }
}
