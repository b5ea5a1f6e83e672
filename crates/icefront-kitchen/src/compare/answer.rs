//! The answer of `icefront compare`, as data.

use std::collections::BTreeMap;

use icefront_core::decide::compare::{Best, Difference, Quantity};
use icefront_core::decide::trouble::Trouble;
use icefront_core::ranges::Quantiles;
use serde::Serialize;

use crate::compare::apart::{Kept, kept};
use crate::compare::loads::{AgainstFirst, Answer, Question};
use crate::compare::words::{per_day, per_kwh};

/// Loads side by side.
#[derive(Clone, Debug, Serialize)]
pub struct Comparison<'a> {
    /// Samples of each load.
    pub draws: usize,
    /// Their seed.
    pub seed: u32,
    /// Whether each load has samples of its own.
    pub independent: bool,
    /// What the variations mean.
    pub notes: &'a [String],
    /// The loads, the first of which the others are compared with.
    pub loads: Vec<One<'a>>,
    /// Trays whose embedded pieces a load takes apart: what that gains in keeping.
    pub keeping: Vec<Kept<'a>>,
    /// The best of them.
    pub best: Bests<'a>,
}

/// One load.
#[derive(Clone, Debug, Serialize)]
pub struct One<'a> {
    /// What it is called in the tables.
    pub name: &'a str,
    /// File it was read from.
    pub file: &'a str,
    /// Keys of the sheet that were changed, with their values.
    pub values: BTreeMap<&'a str, &'a str>,
    /// Time; `null`: never.
    pub time_s: Times,
    /// Electric energy.
    pub energy_j: Total,
    /// Cost of the electricity; `null` without a price.
    pub cost: Cost<'a>,
    /// The tray that is dry last in most samples.
    pub last_tray: Option<Last<'a>>,
    /// Dried food.
    pub dried_kg: Quantiles,
    /// Dried food per day of the whole run.
    pub dried_kg_per_day: Quantiles,
    /// Dried food per electricity.
    pub dried_kg_per_kwh: Quantiles,
    /// Chance of each trouble, 0 to 1.
    pub chance: BTreeMap<Trouble, f64>,
    /// Chance of any grave trouble, 0 to 1; up to 0.1 counts as safe.
    pub grave_chance: f64,
    /// Samples left out because they could not be computed.
    pub refused: usize,
    /// Ratios to the first load over the samples, and what they say.
    pub against_first: AgainstFirst,
}

/// Times of a load.
#[derive(Clone, Debug, Serialize)]
pub struct Times {
    /// Until the food can be taken out.
    pub food_ready: Quantiles,
}

/// Energy of a load.
#[derive(Clone, Debug, Serialize)]
pub struct Total {
    /// Whole run.
    pub total: Quantiles,
}

/// Money of a load.
#[derive(Clone, Debug, Serialize)]
pub struct Cost<'a> {
    /// How much.
    #[serde(flatten)]
    pub money: Quantiles,
    /// Of what, as the sheet says.
    pub currency: Option<&'a str>,
}

/// The tray that is dry last.
#[derive(Clone, Debug, Serialize)]
pub struct Last<'a> {
    /// Its name.
    pub name: &'a str,
    /// Food on it.
    pub food: &'a str,
    /// Share of the samples in which it is the last.
    pub chance: f64,
}

/// The best loads; `null` where none counts.
#[derive(Clone, Debug, Serialize)]
pub struct Bests<'a> {
    /// Whether any load is safe; if not, the best are so without regard to that.
    pub some_safe: bool,
    /// Most dried food per time.
    pub least_time_per_kg: Option<Named<'a>>,
    /// Most dried food per cost, or per electricity without a price.
    pub least_cost_per_kg: Option<Named<'a>>,
    /// Most dried food in one batch that is still safe.
    pub fullest_safe: Option<Named<'a>>,
}

/// A best load.
#[derive(Clone, Debug, Serialize)]
pub struct Named<'a> {
    /// Its name.
    pub load: &'a str,
    /// Name of the next best.
    pub next: Option<&'a str>,
    /// Against the next best.
    pub against_next: Option<Difference>,
}

/// The answer as data.
pub fn comparison<'a>(question: &'a Question, answer: &'a Answer) -> Comparison<'a> {
    let name = |which: usize| question.loads[which].name.as_str();
    let named = |best: &Option<Best>| {
        best.map(|best| Named {
            load: name(best.which),
            next: best.next.map(|(next, _)| name(next)),
            against_next: best.next.map(|(_, difference)| difference),
        })
    };
    Comparison {
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
    One {
        name: &load.name,
        file: &load.file,
        values: load.values.iter().map(|(key, value)| (key.as_str(), value.as_str())).collect(),
        time_s: Times { food_ready: variant.quantiles(Quantity::ReadyS) },
        energy_j: Total { total: variant.quantiles(Quantity::EnergyJ) },
        cost: Cost {
            money: variant.quantiles(Quantity::Cost),
            currency: tariff.price_per_kwh.map(|_| tariff.currency.as_str()),
        },
        last_tray: variant.last_tray().and_then(|(tray, chance)| {
            let tray = variant.load.trays.get(tray)?;
            Some(Last { name: &tray.name, food: &tray.food, chance })
        }),
        dried_kg: variant.quantiles(Quantity::DriedKg),
        dried_kg_per_day: variant.quantiles(Quantity::DriedKgPerS).map(per_day),
        dried_kg_per_kwh: variant.quantiles(Quantity::DriedKgPerJ).map(per_kwh),
        chance: Trouble::ALL.map(|trouble| (trouble, variant.chance(trouble))).into(),
        grave_chance: variant.grave_chance(),
        refused: variant.refused(),
        against_first: answer.against_first[which].clone(),
    }
}
