//! Why it takes so long, as JSON; its keys are told in `docs/explain.md`.

use std::collections::BTreeMap;

use icefront_core::decide::falls::{Falls, Step};
use icefront_core::decide::levers::binding;
use icefront_core::result::Stage;
use icefront_core::units::Duration;
use serde::Serialize;

use crate::explain::reasons::Answer;
use crate::explain::words;
use crate::json::{known, rounded};

/// The answer as JSON text, one line feed at its end.
pub fn json(answer: &Answer) -> Result<String, serde_json::Error> {
    crate::json::text(&report(answer))
}

#[derive(Serialize)]
struct Report<'a> {
    tray: &'a str,
    food: &'a str,
    food_ready_h: Option<f64>,
    binds: BTreeMap<String, Vec<Bound>>,
    resistance_share: BTreeMap<&'static str, f64>,
    heat_from_above_share: f64,
    twice_as_good: Vec<Saved>,
    parts: Vec<Beside>,
    this_tray: Vec<Side>,
}

#[derive(Serialize)]
struct Beside {
    what: String,
    floor_share: f64,
    contact_factor: f64,
    ice_gone_at_h: Option<f64>,
    dry_at_h: Option<f64>,
    resistance_share: BTreeMap<&'static str, f64>,
}

#[derive(Serialize)]
struct Bound {
    what: &'static str,
    shorter_share: f64,
}

#[derive(Serialize)]
struct Saved {
    what: &'static str,
    ready_sooner_h: Option<f64>,
}

#[derive(Serialize)]
struct Side {
    what: &'static str,
    food_kg: f64,
    ice_gone_at_h: Option<f64>,
    dry_at_h: Option<f64>,
    resistance_share: BTreeMap<&'static str, f64>,
}

fn report(answer: &Answer) -> Report<'_> {
    let tray = &answer.load.trays[answer.tray];
    let bound = |stage: Stage| {
        let found = binding(&answer.gains, &answer.result, stage).into_iter();
        let found = found.map(|(lever, share)| Bound { what: words::lever_id(lever), shorter_share: rounded(share) });
        (stage.name().replace(' ', "_"), found.collect())
    };
    Report {
        tray: &tray.name,
        food: &tray.food,
        food_ready_h: hours(Some(answer.result.food_ready_s())),
        binds: [Stage::Freezing, Stage::Evacuation, Stage::PrimaryDrying, Stage::SecondaryDrying].map(bound).into(),
        resistance_share: shares(&answer.falls),
        heat_from_above_share: rounded(answer.falls.from_above),
        twice_as_good: answer
            .gains
            .iter()
            .map(|gain| Saved { what: words::lever_id(gain.lever), ready_sooner_h: hours(Some(gain.ready_s)) })
            .collect(),
        parts: answer
            .parts
            .iter()
            .map(|part| Beside {
                what: words::part(&part.result, tray),
                floor_share: rounded(part.result.area_frac),
                contact_factor: rounded(part.result.contact_factor),
                ice_gone_at_h: hours(part.result.ice_gone_at_s),
                dry_at_h: hours(part.result.dry_at_s),
                resistance_share: shares(&part.falls),
            })
            .collect(),
        this_tray: answer
            .sides
            .iter()
            .map(|side| {
                let here = &side.result.trays[answer.tray];
                Side {
                    what: words::changed(side.change, &tray.shape),
                    food_kg: rounded(here.loaded_kg),
                    ice_gone_at_h: hours(here.ice_gone_at_s),
                    dry_at_h: hours(here.dry_at_s),
                    resistance_share: shares(&side.falls),
                }
            })
            .collect(),
    }
}

fn shares(falls: &Falls) -> BTreeMap<&'static str, f64> {
    Step::ALL.into_iter().zip(falls.share).map(|(step, share)| (words::step_id(step), rounded(share))).collect()
}

fn hours(seconds: Option<f64>) -> Option<f64> {
    seconds.and_then(|s| known(Duration::from_seconds(s).hours()))
}
