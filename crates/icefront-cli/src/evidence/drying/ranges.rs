//! Incomplete runs: what is missing is drawn, and the published figure should lie in the predicted range.

use icefront_core::constants::ZERO_CELSIUS_K;

use super::super::EvidenceError;
use super::super::case::{Case, read};
use super::super::draws::{Draws, Pick};
use super::super::row::Predicted;
use super::course::Course;
use super::inputs::{Settled, run_named};

const CHECKS: &str = include_str!("../../../../../data/published/drying_ranges.csv");

/// The checks.
pub fn cases() -> Result<Vec<Case>, EvidenceError> {
    read("drying_ranges.csv", CHECKS)
}

/// Median and range of one quantity over all draws.
pub fn predict(case: &Case) -> Result<Predicted, EvidenceError> {
    let run = run_named(case, case.word("run")?)?;
    let one = |pick: Pick<'_>| {
        let settled = run.settle(&pick)?;
        quantity(case, &settled, &Course::of(&settled.load)?)
    };
    over_draws(Draws::new().picks().map(one))
}

/// Median and range of what the draws gave. A draw that the model refuses is left out, if it is one in twenty at most.
pub fn over_draws(drawn: impl Iterator<Item = Result<f64, EvidenceError>>) -> Result<Predicted, EvidenceError> {
    let (mut values, mut refusals) = (Vec::new(), Vec::new());
    for value in drawn {
        match value {
            Ok(value) => values.push(value),
            Err(EvidenceError::Model(refusal)) => refusals.push(refusal),
            Err(other) => return Err(other),
        }
    }
    match refusals.into_iter().enumerate().last() {
        Some((last, refusal)) if 20 * (last + 1) > values.len() => Err(refusal.into()),
        _ => Ok(Predicted::from_draws(values)),
    }
}

/// The quantity of a row, in the row's unit.
pub fn quantity(case: &Case, settled: &Settled, course: &Course) -> Result<f64, EvidenceError> {
    const HOUR_S: f64 = 3_600.0;
    Ok(match case.quantity.as_str() {
        "time to dryness" => course.dry_s(settled.final_wet_frac) / HOUR_S,
        "time until the last ice goes" => course.ice_gone_s() / HOUR_S,
        "time to moisture ratio" => course.ratio_s(case.number("ratio")?) / HOUR_S,
        "moisture at a time" => 100.0 * course.wet_frac_at(HOUR_S * case.number("at_h")?),
        "moisture when the last ice goes" => 100.0 * course.wet_frac_at(course.ice_gone_s()),
        "time between two moistures" => {
            (course.dry_s(case.number("to")?) - course.dry_s(case.number("from")?)) / HOUR_S
        }
        "share of the time with ice" => course.ice_gone_s() / course.dry_s(settled.final_wet_frac),
        "coldest probe" => course.front_at_k(60.0 * case.number("at_min")?) - ZERO_CELSIUS_K,
        _ => return Err(case.unknown()),
    })
}
