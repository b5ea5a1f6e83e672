//! Learning on synthetic truth: invented machines whose numbers are known, readings with the errors the tools are said to
//! have. Is the truth in the 10-90 % range as often as it says, and how fast does the range shrink? The quick tests take few
//! cases; the full study takes a thousand and prints the tables of `docs/readings.md`:
//! `cargo test --release -p icefront-core --test physics learning_study --  --ignored --nocapture`

use crate::learning;

use icefront_core::batch::{Precision, plan_with};
use icefront_core::learning::{Errors, Learned, Logged, Quantity, Reading, learn};
use icefront_core::load::Load;
use icefront_core::ranges::{Point, Quantiles};
use icefront_core::result::BatchResult;
use learning::{Kitchen, OWN, Tally, normal, read};
use statrs::distribution::{ContinuousCDF, Normal};

/// What a cook logs of a batch: both trays weighed at half time, the plug meter near the end, and the end.
fn logged_readings(kitchen: &Kitchen) -> Vec<Reading> {
    let ready_s = kitchen.typical().food_ready_s();
    let at = |share: f64, quantity| Reading { time_s: share * ready_s, quantity, value: 0.0 };
    vec![
        at(0.5, Quantity::WaterLost { tray: 0 }),
        at(0.5, Quantity::WaterLost { tray: 1 }),
        at(0.9, Quantity::Energy),
        at(1.0, Quantity::Finished),
    ]
}

/// A batch as it really goes, which is not a run of the model: three strips of contact where the model has two, gaps of its own
/// under each tray, and an end that is off by 4 %.
fn truth(kitchen: &Kitchen, z: &[f64], case: usize, batch: usize) -> Option<(Load, BatchResult, f64)> {
    let standard = Normal::standard();
    let own = (0..OWN).map(|k| normal(case, 1000 + 10 * batch + k));
    let units: Vec<f64> = own.chain(z.iter().copied()).map(|z| standard.cdf(z)).collect();
    let gaps: Vec<f64> = (0..2).map(|k| standard.cdf(normal(case, 1005 + 10 * batch + k))).collect();
    let load = kitchen.load(&Point::of_trays(units, gaps)).ok()?;
    let result = plan_with(&load, &Precision { contact_strips: 3, ..Precision::default() }).ok()?;
    let ready_s = result.food_ready_s() * (1.0 + 0.04 * normal(case, 1008 + 10 * batch));
    Some((load, result, ready_s))
}

/// A batch of a true machine `z`, with depths of its own, weights off by an error of the drying curve, and a meter off by 3 %.
fn logged<'a>(kitchen: &'a Kitchen, errors: &Errors, z: &[f64], case: usize, batch: usize) -> Logged<'a> {
    let (load, result, ready_s) = truth(kitchen, z, case, batch).unwrap();
    let asked = logged_readings(kitchen);
    let shown = asked.iter().enumerate().map(|(k, r)| {
        let shown = r.predicted(&load, &result);
        match r.quantity {
            Quantity::WaterLost { tray } => {
                let water_kg = result.trays[tray].water_kg;
                let ratio = (1.0 - shown / water_kg).clamp(0.0, 1.0);
                shown + water_kg * 0.06 * (4.0 * ratio * (1.0 - ratio)).sqrt() * normal(case, 1500 + 10 * batch + k)
            }
            Quantity::Energy => shown * (1.0 + 0.03 * normal(case, 1900)),
            Quantity::Finished => ready_s,
            _ => shown,
        }
    });
    let shown: Vec<f64> = shown.collect();
    Logged {
        name: format!("batch {batch}"),
        sheet: "the same food",
        own: OWN,
        shared: kitchen.model.parameters().iter().map(ToString::to_string).collect(),
        build: Box::new(|p: &Point| kitchen.load(p)),
        readings: read(errors, &asked, &shown, case, 2000 + 300 * batch),
    }
}

/// Finish of the next plan with machines and foods that are believable; without any: with all that there are.
fn next_plan(kitchen: &Kitchen, learned: Option<&Learned>, draws: usize) -> Quantiles {
    let mut all = Vec::new();
    for index in 0..draws {
        let p = Point::new(index, 9);
        let standard: Vec<f64> = (0..kitchen.unknowns()).map(|k| Normal::standard().inverse_cdf(p.unit(k))).collect();
        let shared = match learned {
            Some(known) => {
                let z = &known.draws[index % known.draws.len()];
                let at = |n: &String| z[known.names.iter().position(|m| m == n).unwrap()];
                kitchen.model.parameters().iter().map(ToString::to_string).map(|name| at(&name)).collect()
            }
            None => standard[OWN..].to_vec(),
        };
        let unknowns = [standard[..OWN].to_vec(), shared].concat();
        let units: Vec<f64> = unknowns.iter().map(|z| Normal::standard().cdf(*z)).collect();
        all.push(icefront_core::plan(&kitchen.load(&p.replaced(units)).unwrap()).unwrap().food_ready_s());
    }
    Quantiles::of(all)
}

/// Next batches of each true machine.
const NEXT: usize = 8;

/// The next plan's finish over many true machines, after so many logged batches.
fn learn_study(cases: usize, batches: usize, draws: usize) -> Tally {
    let kitchen = Kitchen::new();
    let errors = Errors::default();
    let before = next_plan(&kitchen, None, draws);
    let mut tally = Tally::default();
    for case in 0..cases {
        let truth: Vec<f64> =
            (0..kitchen.model.len()).map(|k| Normal::standard().inverse_cdf(Point::new(case, 31).unit(k))).collect();
        let history: Vec<Logged<'_>> = (0..batches).map(|b| logged(&kitchen, &errors, &truth, case, b)).collect();
        let after = next_plan(&kitchen, Some(&learn(&history, &errors, None).unwrap()), draws);
        // the next batch, with several depths that it may have: the share held is steadier than yes or no
        let held = (0..NEXT).filter(|next| {
            self::truth(&kitchen, &truth, case, 100 + next).is_some_and(|(.., ready_s)| after.holds(ready_s))
        });
        tally.add(before, after, held.count() as f64 / NEXT as f64);
        if (case + 1).is_multiple_of(50) {
            eprintln!("  {batches} batches, {} cases: {}", case + 1, tally.cells());
        }
    }
    tally
}

#[test]
fn three_batches_sharpen_the_next_plan() {
    let tally = learn_study(4, 3, 96);
    let (held, width) = (tally.held(), tally.width());
    assert!(held >= 0.5 && width <= 0.7, "held {held}, width {width}");
}

#[test]
fn one_wild_batch_does_not_spoil_the_rest_and_is_named() {
    let kitchen = Kitchen::new();
    let errors = Errors::default();
    let truth: Vec<f64> = (0..kitchen.model.len()).map(|k| 0.5 * normal(3, k)).collect();
    let history = |wild: bool| -> Vec<Logged<'_>> {
        let mut all: Vec<_> = (0..5).map(|b| logged(&kitchen, &errors, &truth, 3, b)).collect();
        if wild {
            // weighed in pounds and written down as kilograms, and the end noted a day late
            all[2].readings[0].value *= 2.2;
            all[2].readings[3].value += 86_400.0;
        }
        all
    };
    let (good, spoilt) =
        (learn(&history(false), &errors, None).unwrap(), learn(&history(true), &errors, None).unwrap());
    assert!(good.batches.iter().all(|b| b.fits), "{:?}", good.batches.iter().map(|b| b.chance).collect::<Vec<_>>());
    let odd: Vec<&str> = spoilt.batches.iter().filter(|b| !b.fits).map(|b| b.name.as_str()).collect();
    assert_eq!(odd, ["batch 2"]);
    assert!(spoilt.batches[2].weight < 0.1, "{}", spoilt.batches[2].weight);
    let (a, b) = (next_plan(&kitchen, Some(&good), 96).typical, next_plan(&kitchen, Some(&spoilt), 96).typical);
    assert!((a / b - 1.0).abs() < 0.05, "next plan {a} s without, {b} s with the wild batch");
}

/// Cases of the full study, or as many as the environment asks for.
fn cases() -> usize {
    std::env::var("CASES").ok().and_then(|c| c.parse().ok()).unwrap_or(1000)
}

/// Holds the figures to what is promised, widened by three standard deviations where there are fewer than 1000 cases.
fn judge(cases: usize, what: &str, held: f64, width: f64, widest: f64) {
    let luck = if cases < 1000 { 3.0 * (0.16 / cases as f64).sqrt() } else { 0.0 };
    assert!((held - 0.8).abs() <= 0.05 + luck && width <= widest + luck, "{what}: held {held}, width {width}");
}

/// Prints and judges the study of so many logged batches.
fn study_learning(cases: usize, batches: usize, widest: f64) {
    let tally = learn_study(cases, batches, 96);
    println!("| {batches} | {cases} | {} |", tally.cells());
    judge(cases, &format!("{batches} batches"), tally.held(), tally.width(), widest);
}

#[test]
#[ignore = "minutes"]
fn full_study_of_five_batches() {
    study_learning(cases(), 5, 0.6);
}

#[test]
#[ignore = "minutes"]
fn full_study_of_one_three_and_ten_batches() {
    for (batches, widest) in [(1, 1.0), (3, 0.8), (10, 0.6)] {
        study_learning(cases() / 4, batches, widest);
    }
}
