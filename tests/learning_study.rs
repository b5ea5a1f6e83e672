//! Learning on synthetic truth: invented machines whose numbers are known, readings with the errors the tools are said to
//! have. Is the truth in the 10-90 % range as often as it says, and how fast does the range shrink? The quick tests take few
//! cases; the full study (`cargo test --release -p icefront-core --test learning_study -- --ignored --nocapture`) takes a
//! thousand and prints the table of `docs/learning.md`.
#![allow(clippy::unwrap_used, clippy::panic, reason = "helpers of tests, not only test functions")]

mod common;

use std::collections::BTreeSet;

use icefront_core::ModelError;
use icefront_core::food::{Band, DryingClass, FoodSpread};
use icefront_core::learning::{Draw, Effort, Errors, Quantity, Question, Reading, prior, update};
use icefront_core::load::{Freezing, Load};
use icefront_core::machine::Dryer;
use icefront_core::ranges::{ModelSpread, Outcome, Point, Quantiles, Spread};
use icefront_core::shape::Shape;
use statrs::distribution::{ContinuousCDF, Normal};

/// Two trays in a small cabinet, loaded frozen: quick to run.
fn small() -> Load {
    let mut trays = Vec::new();
    for (class, depth_m) in [(DryingClass::MinceOrStew, 0.012), (DryingClass::CutFruit, 0.010)] {
        let mut tray = common::layer(common::food(0.8, 0.05, -1.0), depth_m, 0.1);
        tray.freezing = Freezing::Frozen { loaded_k: 253.15 };
        tray.spread = Some(FoodSpread {
            class,
            permeability: Band::new(0.8e-8, 1.8e-8, 4e-8),
            conductivity: Band::new(0.03, 0.042, 0.055),
            unfreezable: Band::new(0.04, 0.06, 0.08),
            skin: Band::new(0.0, 0.0, 0.0),
        });
        trays.push(tray);
    }
    common::load(Dryer::Cabinet(Box::new(common::cabinet(0.2))), trays)
}

/// Unknowns of the batch alone: the depth of each tray by eye.
const OWN: usize = 2;

struct Kitchen {
    base: Load,
    model: ModelSpread,
}

impl Kitchen {
    fn new() -> Self {
        let base = small();
        let model = ModelSpread::of(&base, &BTreeSet::new());
        Self { base, model }
    }

    fn unknowns(&self) -> usize {
        OWN + self.model.len()
    }

    fn load(&self, point: &Point) -> Result<Load, ModelError> {
        let mut load = self.base.clone();
        for (tray, typical) in load.trays.iter_mut().zip([0.012, 0.010]).map(|(t, d)| (t, d)).enumerate().map(|(i, (t, d))| {
            let spread = Spread::GiveOrTake { typical: d, by: 0.001 };
            (t, spread.quantile(point.unit(i)))
        }) {
            tray.shape = Shape::Layer { depth_m: typical };
        }
        self.model.apply(&mut load, point, OWN);
        Ok(load)
    }
}

fn last_ice(o: &Outcome) -> f64 {
    o.trays.iter().map(|t| t[0]).fold(0.0, f64::max)
}

fn ready(o: &Outcome) -> f64 {
    o.food_ready_s
}

/// A draw of the true machine, read with errors.
fn truth(question: &Question<'_>, effort: &Effort) -> Vec<Draw> {
    prior(question, effort).unwrap()
}

fn noisy(errors: &Errors, readings: &[Reading], predicted: &[f64], case: usize) -> Vec<Reading> {
    let normal = Normal::standard();
    let noise = |k: usize| normal.inverse_cdf(Point::new(case, 0xe550).unit(k));
    let mut last = None;
    readings
        .iter()
        .zip(predicted)
        .enumerate()
        .map(|(k, (r, p))| {
            let tool = errors.of(r.quantity);
            let common = *last.get_or_insert_with(|| noise(100));
            let value = p + tool.own * noise(k) + common * tool.common.hypot(tool.common_share * p);
            Reading { value, ..*r }
        })
        .collect()
}

#[derive(Default)]
struct Tally {
    cases: usize,
    held: [usize; 2],
    width: [f64; 2],
    effective: f64,
    refreshed: usize,
}

fn study(cases: usize, asked: &[Quantity], at_share: &[f64]) -> Tally {
    let kitchen = Kitchen::new();
    let build = |p: &Point| kitchen.load(p);
    let errors = Errors::default();
    let none = Question { unknowns: kitchen.unknowns(), build: &build, readings: &[], errors: &errors, measurements: &[] };
    let typical = icefront_core::plan(&kitchen.load(&Point::given(vec![])).unwrap()).unwrap();
    let readings: Vec<Reading> = at_share
        .iter()
        .flat_map(|share| {
            let time_s = share * typical.food_ready_s();
            asked.iter().map(move |q| Reading { time_s, quantity: *q, value: 0.0 })
        })
        .collect();
    let question = Question { readings: &readings, ..none };
    let truths = truth(&question, &Effort { draws: cases, seed: 77, ..Effort::default() });
    let effort = Effort::default();
    let before = prior(&question, &effort).unwrap();
    let mut tally = Tally::default();
    for (case, truth) in truths.iter().enumerate() {
        let read = noisy(&errors, &readings, &truth.predicted, case);
        let question = Question { unknowns: kitchen.unknowns(), build: &build, readings: &read, errors: &errors, measurements: &[] };
        let updated = update(&question, &effort, before.clone()).unwrap();
        for (k, of) in [last_ice, ready].into_iter().enumerate() {
            let (a, b): (Quantiles, Quantiles) = (updated.before(of), updated.after(of));
            tally.held[k] += usize::from(b.holds(of(&truth.outcome)));
            tally.width[k] += b.width() / a.width();
        }
        tally.cases += 1;
        tally.effective += updated.effective;
        tally.refreshed += updated.refreshed;
    }
    tally
}

impl Tally {
    fn show(&self, what: &str) {
        let n = self.cases as f64;
        println!(
            "{what}: {} cases; last ice: held {:.3}, width {:.3}; ready: held {:.3}, width {:.3}; n eff {:.0}, rounds {:.2}",
            self.cases,
            self.held[0] as f64 / n,
            self.width[0] / n,
            self.held[1] as f64 / n,
            self.width[1] / n,
            self.effective / n,
            self.refreshed as f64 / n
        );
    }
}

#[test]
fn try_it() {
    let cases = std::env::var("CASES").ok().and_then(|c| c.parse().ok()).unwrap_or(24);
    let w = |tray| Quantity::WaterLost { tray };
    study(cases, &[w(0)], &[0.5]).show("tray 1 at half");
    study(cases, &[w(0), w(1)], &[0.5]).show("both at half");
    study(cases, &[w(0)], &[0.5, 0.7]).show("tray 1 at 0.5 0.7");
    study(cases, &[w(0), w(1)], &[0.5, 0.7]).show("both at 0.5 0.7");
    study(cases, &[w(0), Quantity::Energy], &[0.5]).show("tray 1, energy at half");
}
