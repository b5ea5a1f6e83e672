//! Whole curves: one heat transfer number fitted on the first quarter, the rest predicted.

use serde::Deserialize;

use icefront_core::machine::Dryer;
use icefront_kitchen::evidence::Predicted;

use crate::evidence::EvidenceError;
use crate::evidence::case::{Case, read};
use crate::evidence::draws::Pick;
use crate::evidence::drying::course::Course;
use crate::evidence::drying::inputs::{RunInputs, run_named};

const CHECKS: &str = include_str!("../../../data/published/drying_curve_checks.csv");
const CURVES: &str = include_str!("../../../data/published/drying_curves.csv");

/// The checks.
pub fn cases() -> Result<Vec<Case>, EvidenceError> {
    read("drying_curve_checks.csv", CHECKS)
}

#[derive(Deserialize)]
struct CurvePoint {
    run: String,
    time_min: f64,
    moisture_ratio: f64,
}

/// Fraction of a curve used by the fit.
const SEEN: f64 = 0.25;
/// The run is over at this fraction of the water.
const END_RATIO: f64 = 0.1;

/// Predicts the rest of a curve after the fit.
pub fn predict(case: &Case) -> Result<Predicted, EvidenceError> {
    let name = case.word("curve")?;
    let curve: Vec<CurvePoint> =
        read::<CurvePoint>("drying_curves.csv", CURVES)?.into_iter().filter(|point| point.run == name).collect();
    let inputs = run_named(case, case.word("run")?)?.inputs(&Pick::typical())?;
    let end_min = falls_to_min(&curve, END_RATIO);
    // the first point after the start is used even where it lies beyond the first quarter
    let seen = curve.iter().filter(|point| point.time_min <= SEEN * end_min).count().max(2);
    let (seen, rest) = curve.split_at(seen.min(curve.len()));
    let shelf_k = case.kelvin("shelf_c")?;
    let below_w_per_m2_k = fit(&inputs, shelf_k, seen)?;
    let course = course(&inputs, shelf_k, below_w_per_m2_k)?;
    let predicted = match case.quantity.as_str() {
        "root mean square of the rest" => squares(&course, rest).sqrt(),
        "time to a tenth of the water" => course.ratio_s(END_RATIO) / 3_600.0,
        "fitted heat transfer" => below_w_per_m2_k,
        _ => return Err(case.unknown()),
    };
    Ok(predicted.into())
}

fn falls_to_min(curve: &[CurvePoint], ratio: f64) -> f64 {
    let crossed = curve.windows(2).find(|pair| pair[1].moisture_ratio <= ratio);
    crossed.map_or(f64::NAN, |pair| {
        let share = (pair[0].moisture_ratio - ratio) / (pair[0].moisture_ratio - pair[1].moisture_ratio);
        pair[0].time_min + share * (pair[1].time_min - pair[0].time_min)
    })
}

/// The run with this heat transfer from below and, unless the source excludes it, a heated shelf above.
fn course(inputs: &RunInputs, shelf_k: f64, below_w_per_m2_k: f64) -> Result<Course, EvidenceError> {
    let mut load = inputs.load.clone();
    for tray in &mut load.trays {
        tray.contact.below_w_per_m2_k = Some(below_w_per_m2_k);
    }
    if let Dryer::Prescribed(rig) = &mut load.dryer {
        (rig.heated_below, rig.heated_above) = (true, inputs.may_be_heated_above);
        rig.schedule.iter_mut().for_each(|point| point.shelf_k = shelf_k);
    }
    Ok(Course::of(&load)?)
}

/// Mean square of the difference in moisture ratio.
fn squares(course: &Course, points: &[CurvePoint]) -> f64 {
    let square = |point: &CurvePoint| (course.ratio_at(60.0 * point.time_min) - point.moisture_ratio).powi(2);
    points.iter().map(square).sum::<f64>() / points.len() as f64
}

/// Golden section over the logarithm of the heat transfer number, 0.3 to 100 W/(m2 K), to half a per cent.
fn fit(inputs: &RunInputs, shelf_k: f64, seen: &[CurvePoint]) -> Result<f64, EvidenceError> {
    const GOLDEN: f64 = 0.618_033_988_749_894_9;
    let error = |ln_h: f64| Ok::<_, EvidenceError>(squares(&course(inputs, shelf_k, ln_h.exp())?, seen));
    let (mut low, mut high) = (0.3_f64.ln(), 100.0_f64.ln());
    let (mut a, mut b) = (high - GOLDEN * (high - low), low + GOLDEN * (high - low));
    let (mut at_a, mut at_b) = (error(a)?, error(b)?);
    while high - low > 5e-3 {
        if at_a < at_b {
            (high, b, at_b) = (b, a, at_a);
            a = high - GOLDEN * (high - low);
            at_a = error(a)?;
        } else {
            (low, a, at_a) = (a, b, at_b);
            b = low + GOLDEN * (high - low);
            at_b = error(b)?;
        }
    }
    Ok((0.5 * (low + high)).exp())
}
