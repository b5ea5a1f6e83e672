//! Ranges: determinism, coverage on synthetic truth, stability between seeds, and the worth of a measurement against
//! the exact linear-Gaussian answer. Loads are invented.

use crate::common;

use std::collections::BTreeSet;
use std::num::NonZeroUsize;

use icefront_core::ModelError;
use icefront_core::load::Load;
use icefront_core::ranges::{
    Cloud, Draws, ModelSpread, Outcome, Point, Quantiles, Spread, draw, expected_narrowing, measurements, narrowing_of,
};
use icefront_core::shape::Shape;
use statrs::distribution::{ContinuousCDF, Normal};

/// "About two fingers."
const DEPTH: Spread = Spread::Between { low: 0.010, high: 0.016 };
/// "Heaped or not": here the depth matters more than all else.
const WIDE_DEPTH: Spread = Spread::Between { low: 0.010, high: 0.024 };

/// The first unknown is the depth of the first tray, the second the room; the model's own follow.
fn build(base: &Load, model: &ModelSpread, depth: Spread) -> impl Fn(&Point) -> Result<Load, ModelError> + Sync {
    let (base, model) = (base.clone(), model.clone());
    move |point| {
        let mut load = base.clone();
        load.trays[0].shape = Shape::Layer { depth_m: depth.quantile(point.unit(0)) };
        load.room_k = Spread::GiveOrTake { typical: 293.15, by: 4.0 }.quantile(point.unit(1));
        model.apply(&mut load, point, 2);
        Ok(load)
    }
}

fn cloud(count: usize, seed: u32, threads: usize) -> Cloud {
    cloud_of(DEPTH, count, seed, threads)
}

fn cloud_of(depth: Spread, count: usize, seed: u32, threads: usize) -> Cloud {
    let base = common::two_drawn_layers();
    let model = ModelSpread::of(&base, &BTreeSet::new());
    let draws = Draws { count, seed, threads: NonZeroUsize::new(threads) };
    draw(&draws, &measurements(&base), build(&base, &model, depth)).unwrap()
}

fn ready(o: &Outcome) -> f64 {
    o.food_ready_s
}

#[test]
fn the_same_seed_gives_the_same_bits_on_one_and_two_threads() {
    let bits = |c: &Cloud| -> Vec<u64> {
        c.outcomes.iter().flat_map(|o| [o.food_ready_s, o.energy_j.total(), o.readings[0]]).map(f64::to_bits).collect()
    };
    let (a, b, other) = (cloud(64, 7, 1), cloud(64, 7, 2), cloud(64, 8, 2));
    assert_eq!(bits(&a), bits(&b));
    assert_ne!(bits(&a), bits(&other));
}

#[test]
fn the_range_holds_the_truth_eight_times_in_ten() {
    // truths are drawn from the same unknowns by another seed; 1024 of them
    let range = cloud(512, 1, 2).quantiles(ready);
    let truth = cloud(1024, 2, 2);
    let inside = truth.chance(|o| range.holds(o.food_ready_s));
    assert!((inside - 0.8).abs() <= 0.03, "{inside}");
}

#[test]
fn another_seed_moves_the_range_by_less_than_four_per_cent() {
    let ranges: Vec<Quantiles> = (0..7).map(|seed| cloud(1024, seed, 2).quantiles(ready)).collect();
    let far = |x: f64, y: f64| (x / y - 1.0).abs();
    let (mut close, mut pairs) = (0_u32, 0_u32);
    for (i, a) in ranges.iter().enumerate() {
        for b in &ranges[..i] {
            pairs += 1;
            let moved = far(a.low, b.low).max(far(a.typical, b.typical)).max(far(a.high, b.high));
            close += u32::from(moved < 0.04);
        }
    }
    assert!(f64::from(close) >= 0.95 * f64::from(pairs), "{close} of {pairs}: {ranges:?}");
}

#[test]
fn worth_of_a_measurement_in_a_linear_gaussian_case() {
    // T = a x + b z, reading = x + error: correlation rho, so the range narrows by 1 - sqrt(1 - rho^2)
    let normal = Normal::standard();
    let n = 2048;
    let x = |i: usize, k: usize| normal.inverse_cdf(Point::new(i, 3).unit(k));
    for (a, b, error) in [(1.0, 1.0, 0.2), (2.0, 1.0, 0.5), (0.5, 1.0, 0.1), (3.0, 0.3, 0.05_f64)] {
        let answers: Vec<f64> = (0..n).map(|i| a * x(i, 0) + b * x(i, 1)).collect();
        let readings: Vec<f64> = (0..n).map(|i| x(i, 0)).collect();
        let rho2 = a * a / ((a * a + b * b) * (1.0 + error * error));
        let exact = 1.0 - (1.0 - rho2).sqrt();
        let got = narrowing_of(&answers, &readings, error, 11).unwrap();
        assert!((got - exact).abs() < 0.03, "a {a} b {b} error {error}: got {got:.3}, exact {exact:.3}");
    }
    // a reading that says nothing is worth nothing
    let answers: Vec<f64> = (0..n).map(|i| x(i, 0)).collect();
    let noise: Vec<f64> = (0..n).map(|i| x(i, 1)).collect();
    assert!(narrowing_of(&answers, &noise, 0.1, 11).unwrap() < 0.03);
}

#[test]
fn doing_the_recommended_measurement_narrows_about_as_much_as_promised() {
    let base = common::two_drawn_layers();
    let model = ModelSpread::of(&base, &BTreeSet::new());
    let wide = cloud_of(WIDE_DEPTH, 512, 1, 2);
    let all = measurements(&base);
    let ranked = expected_narrowing(&wide, &all, ready);
    // the ruler on the tray of unknown depth, whose worth we can play through by giving the depth
    let ruler = ranked
        .iter()
        .find(|r| matches!(r.measurement.tool, icefront_core::ranges::Tool::Ruler { tray: 0 }))
        .expect("the depth is worth measuring");
    let before = wide.quantiles(ready).width();
    let mut after = 0.0;
    let truths = [0.1, 0.3, 0.5, 0.7, 0.9];
    for u in truths {
        let measured = Spread::GiveOrTake { typical: WIDE_DEPTH.quantile(u), by: 1.2816e-3 };
        let draws = Draws { count: 192, seed: 5, threads: None };
        after +=
            draw(&draws, &all, build(&base, &model, measured)).unwrap().quantiles(ready).width() / truths.len() as f64;
    }
    let got = 1.0 - after / before;
    assert!((got - ruler.share).abs() < 0.08, "promised {:.3}, got {got:.3}", ruler.share);
}

#[test]
fn quantiles_are_those_of_the_definition_and_infinite_runs_count_as_longest() {
    let q = Quantiles::of((1..=11).map(f64::from));
    assert_eq!((q.low, q.typical, q.high), (2.0, 6.0, 10.0));
    let q = Quantiles::of([1.0, 2.0, f64::INFINITY, f64::INFINITY]);
    assert!(q.high.is_infinite() && q.low < 2.0, "{q:?}");
    assert!(Quantiles::of([]).typical.is_nan());
}
