//! Incomplete runs: missing inputs are drawn, and the published figure should lie in the predicted range.

use icefront_core::constants::ZERO_CELSIUS_K;

use crate::evidence::EvidenceError;
use crate::evidence::case::{Case, read};
use crate::evidence::drying::cloud::{Clouds, Drawn};
use crate::evidence::drying::inputs::run_named;
use crate::evidence::drying::log;
use crate::evidence::row::Prediction;

const CHECKS: &str = include_str!("../../../data/published/drying_ranges.csv");
const HOUR_S: f64 = 3_600.0;
/// Of a log.
const SLOWEST_PROBE: &str = "time until the slowest of three probes passes 0 degC";

/// The checks; what a log says is computed from it.
pub fn cases() -> Result<Vec<Case>, EvidenceError> {
    let mut cases: Vec<Case> = read("drying_ranges.csv", CHECKS)?;
    for case in cases.iter_mut().filter(|case| case.quantity == SLOWEST_PROBE) {
        case.value = Some(log::slowest_probe_s(&run_named(case, case.word("run")?)?.schedule)? / HOUR_S);
    }
    Ok(cases)
}

/// Median and range of one quantity over all draws.
pub fn predict(case: &Case, clouds: &Clouds) -> Result<Prediction, EvidenceError> {
    clouds.range(case, case.word("run")?, |drawn| quantity(case, drawn))
}

/// The quantity of a row, in the row's unit.
pub fn quantity(case: &Case, (inputs, course): &Drawn) -> Result<f64, EvidenceError> {
    Ok(match case.quantity.as_str() {
        "time to dryness" => course.dry_s(inputs.final_wet_frac) / HOUR_S,
        // a probe is warm once the front has passed its place
        SLOWEST_PROBE => course.ice_left_s(1.0 - inputs.slowest_probe) / HOUR_S,
        "time until the last ice goes" => course.ice_gone_s() / HOUR_S,
        "time to moisture ratio" => course.ratio_s(case.number("ratio")?) / HOUR_S,
        "mean rate of the batch" => {
            let dry_s = course.dry_s(inputs.final_wet_frac);
            1e3 * inputs.water_removed_kg() / (dry_s / HOUR_S)
        }
        "moisture at a time" => 100.0 * course.wet_frac_at(HOUR_S * case.number("at_h")?),
        // with no ice in it, wherever on the tray
        "moisture when the last ice goes" => 100.0 * course.wet_frac_at(course.tray_ice_gone_s()),
        "time between two moistures" => {
            (course.dry_s(case.number("to")?) - course.dry_s(case.number("from")?)) / HOUR_S
        }
        "share of the time with ice" => course.ice_gone_s() / course.dry_s(inputs.final_wet_frac),
        "front, at most the coldest probe" => course.front_at_k(60.0 * case.number("at_min")?) - ZERO_CELSIUS_K,
        _ => return Err(case.unknown()),
    })
}
