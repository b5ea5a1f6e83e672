//! The answer as JSON. Every predicted quantity is an object `{"low": x, "typical": y, "high": z}` (only `typical` where
//! no range was drawn), with `null` where it is not known.
//! The keys are described in `docs/json.md`.

use icefront_core::decide::limits::Limits;
use icefront_core::decide::trouble::Trouble;
use icefront_core::load::Load;
use icefront_core::machine::Dryer;
use icefront_core::ranges::Outcome;
use icefront_core::result::{BatchResult, ByConsumer, Flag, PartResult, Stage};
use icefront_core::units::{Duration, Temperature};
use serde::Serialize;

use crate::format;
use crate::json::{known, rounded};
use crate::plan::outcome::{cost, stopped};
use crate::plan::{cautions, flags, limits};
use crate::range::{self, Range};

/// The report as JSON text, one line feed at its end.
pub fn json(
    load: &Load,
    result: &BatchResult,
    range: Option<&Range>,
    near: Option<&Limits>,
) -> Result<String, serde_json::Error> {
    crate::json::text(&with_limits(load, result, range, near))
}

/// The same as a JSON value.
pub fn value(
    load: &Load,
    result: &BatchResult,
    range: Option<&Range>,
    near: Option<&Limits>,
) -> Result<serde_json::Value, serde_json::Error> {
    crate::json::value(&with_limits(load, result, range, near))
}

#[derive(Serialize)]
struct Report {
    time_h: Times,
    trays: Vec<Tray>,
    energy_kwh: Energy,
    water_kg: Water,
    cost: Cost,
    balance: Balance,
    cautions: Vec<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    limits: Option<limits::Told>,
    #[serde(skip_serializing_if = "Option::is_none")]
    range: Option<Drawn>,
}

#[derive(Serialize)]
struct Predicted {
    #[serde(skip_serializing_if = "Option::is_none")]
    low: Option<Option<f64>>,
    typical: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    high: Option<Option<f64>>,
}

#[derive(Serialize)]
struct Times {
    total: Predicted,
    freezing: Predicted,
    evacuation: Predicted,
    primary_drying: Predicted,
    secondary_drying: Predicted,
    defrost: Predicted,
    food_ready: Predicted,
}

#[derive(Serialize)]
struct Tray {
    tray: String,
    food: String,
    dry_at_h: Predicted,
    ice_gone_at_h: Predicted,
    front_max_c: Predicted,
    residual_moisture: Predicted,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    parts: Vec<Part>,
    flags: Vec<String>,
}

#[derive(Serialize)]
struct Part {
    with_pieces: bool,
    floor_share: f64,
    contact_factor: f64,
    ice_gone_at_h: Option<f64>,
    dry_at_h: Option<f64>,
}

impl Part {
    fn of(part: &PartResult) -> Self {
        Self {
            with_pieces: part.with_pieces,
            floor_share: part.area_frac,
            contact_factor: part.contact_factor,
            ice_gone_at_h: part.ice_gone_at_s.map(hours),
            dry_at_h: part.dry_at_s.map(hours),
        }
    }
}

#[derive(Serialize)]
struct Energy {
    total: Predicted,
    compressor: Predicted,
    vacuum_pump: Predicted,
    heaters: Predicted,
    other: Predicted,
    by_stage: ByStage,
}

#[derive(Serialize)]
struct ByStage {
    freezing: Predicted,
    evacuation: Predicted,
    primary_drying: Predicted,
    secondary_drying: Predicted,
    defrost: Predicted,
}

#[derive(Serialize)]
struct Water {
    loaded: Predicted,
    removed: Predicted,
    left: Predicted,
}

#[derive(Serialize)]
struct Cost {
    #[serde(flatten)]
    money: Predicted,
    currency: Option<String>,
}

#[derive(Serialize)]
struct Chances {
    melts: f64,
    collapses: f64,
    softens: f64,
    not_frozen: f64,
    ice_left: f64,
    not_dry: f64,
    overload: f64,
    no_room_for_ice: f64,
}

#[derive(Serialize)]
struct Measure {
    what: String,
    narrows_by: f64,
}

/// What a cloud of draws adds.
#[derive(Serialize)]
struct Drawn {
    draws: usize,
    refused: usize,
    sentence: String,
    chance: Chances,
    measure_first: Vec<Measure>,
}

#[derive(Serialize)]
struct Balance {
    mass_rel: f64,
    energy_rel: f64,
}

fn with_limits(load: &Load, result: &BatchResult, range: Option<&Range>, near: Option<&Limits>) -> Report {
    Report { limits: near.map(|near| limits::told(result, near)), ..report(load, result, range) }
}

fn report(load: &Load, result: &BatchResult, range: Option<&Range>) -> Report {
    let ask = Ask { load, result, range };
    let water = |typical: f64, of: fn(&Outcome) -> f64| ask.number(typical, of);
    let price = load.tariff.price_per_kwh.unwrap_or(f64::NAN);
    let money = cost(load, result);
    Report {
        time_h: ask.times(),
        trays: (0..result.trays.len()).filter_map(|i| ask.tray(i)).collect(),
        energy_kwh: ask.energy(),
        water_kg: Water {
            loaded: water(result.water.loaded_kg, |o| o.water_loaded_kg),
            removed: water(result.water.removed_kg, |o| o.water_loaded_kg - o.water_left_kg),
            left: water(result.water.left_kg, |o| o.water_left_kg),
        },
        cost: Cost {
            money: ask.number(money.unwrap_or(f64::NAN), |o| {
                if money.is_some() { price * format::kilowatt_hours(o.energy_j.total()) } else { f64::NAN }
            }),
            currency: money.map(|_| load.tariff.currency.clone()),
        },
        balance: Balance { mass_rel: result.balance.mass_rel, energy_rel: result.balance.energy_rel },
        cautions: cautions::cautions(load, result),
        limits: None,
        range: range.map(|r| drawn(load, r)),
    }
}

fn drawn(load: &Load, range: &Range) -> Drawn {
    let cloud = &range.cloud;
    let of = |trouble: Trouble| rounded(range::chance(load, cloud, trouble));
    Drawn {
        draws: cloud.outcomes.len(),
        refused: cloud.refused,
        sentence: range::sentence(range),
        chance: Chances {
            melts: of(Trouble::Melts),
            collapses: of(Trouble::Collapses),
            softens: rounded(cloud.chance(|o| o.shows(Flag::Softens))),
            not_frozen: of(Trouble::NotFrozen),
            ice_left: of(Trouble::IceLeft),
            not_dry: of(Trouble::NotDry),
            overload: of(Trouble::Overload),
            no_room_for_ice: of(Trouble::NoRoomForIce),
        },
        measure_first: range
            .measure
            .iter()
            .map(|n| Measure { what: range::words(load, n), narrows_by: rounded(n.share) })
            .collect(),
    }
}

fn hours(seconds: f64) -> f64 {
    Duration::from_seconds(seconds).hours()
}

/// A run with its cloud: each number is asked of both.
struct Ask<'a> {
    load: &'a Load,
    result: &'a BatchResult,
    range: Option<&'a Range>,
}

impl Ask<'_> {
    /// The run's own number without a cloud, else the cloud's quantiles.
    fn number(&self, typical: f64, of: impl Fn(&Outcome) -> f64) -> Predicted {
        match self.range {
            Some(range) => {
                let q = range.cloud.quantiles(of);
                Predicted { low: Some(known(q.low)), typical: known(q.typical), high: Some(known(q.high)) }
            }
            None => Predicted { low: None, typical: known(typical), high: None },
        }
    }

    fn times(&self) -> Times {
        let result = self.result;
        let stage = |i: Stage| self.number(hours(result.stage_s[i]), |o| hours(o.stage_s[i]));
        let unless_stopped = |seconds: f64| if stopped(result) { f64::NAN } else { hours(seconds) };
        Times {
            total: self.number(unless_stopped(result.total_s()), |o| hours(o.total_s)),
            freezing: stage(Stage::Freezing),
            evacuation: stage(Stage::Evacuation),
            primary_drying: stage(Stage::PrimaryDrying),
            secondary_drying: stage(Stage::SecondaryDrying),
            defrost: stage(Stage::Defrost),
            food_ready: self.number(unless_stopped(result.food_ready_s()), |o| hours(o.food_ready_s)),
        }
    }

    fn tray(&self, i: usize) -> Option<Tray> {
        let tray = self.result.trays.get(i)?;
        let celsius = |k: f64| Temperature::from_kelvin(k).celsius();
        Some(Tray {
            tray: tray.name.clone(),
            food: tray.food.clone(),
            dry_at_h: self.number(hours(tray.dry_at_s.unwrap_or(f64::NAN)), |o| hours(o.trays[i].dry_at_s)),
            ice_gone_at_h: self
                .number(hours(tray.ice_gone_at_s.unwrap_or(f64::NAN)), |o| hours(o.trays[i].ice_gone_at_s)),
            front_max_c: self.number(celsius(tray.front_max_k), |o| celsius(o.trays[i].front_max_k)),
            residual_moisture: self.number(tray.wettest_wet_frac, |o| o.trays[i].wettest_wet_frac),
            parts: tray.parts.iter().map(Part::of).collect(),
            flags: tray.flags.iter().map(|flag| flags::id(*flag)).collect(),
        })
    }

    /// A rig has no machine, so its electricity is not known.
    fn energy(&self) -> Energy {
        let is_cabinet = matches!(self.load.dryer, Dryer::Cabinet(_));
        let kwh = move |joules: f64| if is_cabinet { format::kilowatt_hours(joules) } else { f64::NAN };
        let stage = |i: Stage| self.number(kwh(self.result.energy_by_stage_j[i].total()), |o| kwh(o.stage_energy_j[i]));
        let by = |of: fn(&ByConsumer) -> f64| self.number(kwh(of(&self.result.energy_j())), |o| kwh(of(&o.energy_j)));
        Energy {
            total: by(ByConsumer::total),
            compressor: by(|e| e.compressor),
            vacuum_pump: by(|e| e.vacuum_pump),
            heaters: by(|e| e.heaters),
            other: by(|e| e.other),
            by_stage: ByStage {
                freezing: stage(Stage::Freezing),
                evacuation: stage(Stage::Evacuation),
                primary_drying: stage(Stage::PrimaryDrying),
                secondary_drying: stage(Stage::SecondaryDrying),
                defrost: stage(Stage::Defrost),
            },
        }
    }
}
