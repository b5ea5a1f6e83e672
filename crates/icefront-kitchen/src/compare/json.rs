//! A comparison as JSON; its keys are told in `docs/compare.md`.

use std::collections::BTreeMap;

use icefront_core::decide::compare::{Best, Difference, Quantity};
use icefront_core::decide::trouble::Trouble;
use icefront_core::ranges::Quantiles;
use serde::Serialize;

use crate::compare::apart::{Kept, kept};
use crate::compare::loads::{Answer, Question};
use crate::compare::words::{hours, per_day, per_kwh, short, verdict};
use crate::format;
use crate::json::{known, rounded};

/// The answer as JSON text, one line feed at its end.
pub fn json(question: &Question, answer: &Answer) -> Result<String, serde_json::Error> {
    crate::json::text(&report(question, answer))
}

#[derive(Serialize)]
struct Report<'a> {
    draws: usize,
    seed: u32,
    independent: bool,
    notes: &'a [String],
    loads: Vec<One<'a>>,
    keeping: Vec<Kept<'a>>,
    best: Bests<'a>,
}

#[derive(Serialize)]
struct One<'a> {
    name: &'a str,
    file: &'a str,
    values: BTreeMap<&'a str, &'a str>,
    time_h: Times,
    energy_kwh: Total,
    cost: Money<'a>,
    last_tray: Option<Last<'a>>,
    dried_kg: Range,
    dried_kg_per_day: Range,
    dried_kg_per_kwh: Range,
    chance: BTreeMap<String, f64>,
    grave_chance: f64,
    refused: usize,
    against_first: Against,
}

#[derive(Serialize)]
struct Last<'a> {
    name: &'a str,
    food: &'a str,
    chance: f64,
}

#[derive(Serialize)]
struct Times {
    food_ready: Range,
}

#[derive(Serialize)]
struct Total {
    total: Range,
}

#[derive(Serialize)]
struct Money<'a> {
    #[serde(flatten)]
    range: Range,
    currency: Option<&'a str>,
}

#[derive(Serialize)]
struct Against {
    food_ready: Held,
    energy: Held,
    dried_kg_per_day: Held,
    dried_kg_per_kwh: Held,
}

#[derive(Serialize)]
/// A quantity held against the first load.
pub struct Held {
    ratio: Range,
    verdict: &'static str,
}

#[derive(Serialize)]
struct Bests<'a> {
    some_safe: bool,
    least_time_per_kg: Option<Named<'a>>,
    least_cost_per_kg: Option<Named<'a>>,
    fullest_safe: Option<Named<'a>>,
}

#[derive(Serialize)]
struct Named<'a> {
    load: &'a str,
    next: Option<&'a str>,
    against_next: Option<Held>,
}

/// 10, 50 and 90 %; `null`: never, or not known.
#[derive(Serialize)]
pub struct Range {
    low: Option<f64>,
    typical: Option<f64>,
    high: Option<f64>,
}

/// P10, P50 and P90 in a unit.
pub fn range(q: Quantiles, unit: impl Fn(f64) -> f64) -> Range {
    let [low, typical, high] = [q.low, q.typical, q.high].map(|x| known(unit(x)));
    Range { low, typical, high }
}

/// A difference from the first load.
pub fn held(difference: &Difference) -> Held {
    Held { ratio: range(difference.ratio, |x| x), verdict: verdict(difference.verdict, "higher", "lower") }
}

fn report<'a>(question: &'a Question, answer: &'a Answer) -> Report<'a> {
    let name = |which: usize| question.loads[which].name.as_str();
    let named = |best: &Option<Best>| {
        best.map(|best| Named {
            load: name(best.which),
            next: best.next.map(|(next, _)| name(next)),
            against_next: best.next.map(|(_, difference)| held(&difference)),
        })
    };
    Report {
        draws: question.pairing.draws.count,
        seed: question.pairing.draws.seed,
        independent: question.pairing.independent,
        notes: &question.notes,
        loads: (0..question.loads.len()).map(|which| one(question, answer, which)).collect(),
        keeping: kept(question),
        best: Bests {
            some_safe: answer.some_safe,
            least_time_per_kg: named(&answer.least_time_per_kg),
            least_cost_per_kg: named(&answer.least_cost_per_kg),
            fullest_safe: named(&answer.fullest),
        },
    }
}

fn one<'a>(question: &'a Question, answer: &'a Answer, which: usize) -> One<'a> {
    let (load, variant) = (&question.loads[which], &answer.variants[which]);
    let tariff = &load.sheet.load.tariff;
    let [time, energy, per_time, per_energy] = &answer.against_first[which];
    One {
        name: &load.name,
        file: &load.file,
        values: load.values.iter().map(|(key, value)| (key.as_str(), value.as_str())).collect(),
        time_h: Times { food_ready: range(variant.quantiles(Quantity::ReadyS), hours) },
        energy_kwh: Total { total: range(variant.quantiles(Quantity::EnergyJ), format::kilowatt_hours) },
        cost: Money {
            range: range(variant.quantiles(Quantity::Cost), |x| x),
            currency: tariff.price_per_kwh.map(|_| tariff.currency.as_str()),
        },
        last_tray: variant.last_tray().and_then(|(tray, chance)| {
            let tray = variant.load.trays.get(tray)?;
            Some(Last { name: &tray.name, food: &tray.food, chance: rounded(chance) })
        }),
        dried_kg: range(variant.quantiles(Quantity::DriedKg), |x| x),
        dried_kg_per_day: range(variant.quantiles(Quantity::DriedKgPerS), per_day),
        dried_kg_per_kwh: range(variant.quantiles(Quantity::DriedKgPerJ), per_kwh),
        chance: Trouble::ALL
            .into_iter()
            .map(|trouble| (short(trouble).replace(' ', "_"), rounded(variant.chance(trouble))))
            .collect(),
        grave_chance: rounded(variant.grave_chance()),
        refused: variant.refused(),
        against_first: Against {
            food_ready: held(time),
            energy: held(energy),
            dried_kg_per_day: held(per_time),
            dried_kg_per_kwh: held(per_energy),
        },
    }
}
