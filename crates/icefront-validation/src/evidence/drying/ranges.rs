//! Incomplete runs: missing inputs are drawn, and the published figure should lie in the predicted range.

use icefront_core::constants::ZERO_CELSIUS_K;
use icefront_kitchen::evidence::Predicted;

use crate::evidence::EvidenceError;
use crate::evidence::case::{Case, read};
use crate::evidence::drying::cloud::{Clouds, Drawn};

const CHECKS: &str = include_str!("../../../data/published/drying_ranges.csv");
const HOUR_S: f64 = 3_600.0;

/// The checks.
pub fn cases() -> Result<Vec<Case>, EvidenceError> {
    read("drying_ranges.csv", CHECKS)
}

/// Median and range of one quantity over all draws.
pub fn predict(case: &Case, clouds: &Clouds) -> Result<Predicted, EvidenceError> {
    clouds.range(case, case.word("run")?, |drawn| quantity(case, drawn))
}

/// The quantity of a row, in the row's unit.
pub fn quantity(case: &Case, (inputs, course): &Drawn) -> Result<f64, EvidenceError> {
    Ok(match case.quantity.as_str() {
        "time to dryness" => course.dry_s(inputs.final_wet_frac) / HOUR_S,
        "time until the last ice goes" => course.ice_gone_s() / HOUR_S,
        "time to moisture ratio" => course.ratio_s(case.number("ratio")?) / HOUR_S,
        "moisture at a time" => 100.0 * course.wet_frac_at(HOUR_S * case.number("at_h")?),
        "moisture when the last ice goes" => 100.0 * course.wet_frac_at(course.ice_gone_s()),
        "time between two moistures" => {
            (course.dry_s(case.number("to")?) - course.dry_s(case.number("from")?)) / HOUR_S
        }
        "share of the time with ice" => course.ice_gone_s() / course.dry_s(inputs.final_wet_frac),
        "front, at most the coldest probe" => course.front_at_k(60.0 * case.number("at_min")?) - ZERO_CELSIUS_K,
        _ => return Err(case.unknown()),
    })
}
