//! Two runs of one publication: missing inputs are drawn alike for both, so most of their effect cancels.

use crate::evidence::EvidenceError;
use crate::evidence::case::{Case, read};
use crate::evidence::drying::cloud::Clouds;
use crate::evidence::drying::ranges::quantity;
use crate::evidence::row::Prediction;

const CHECKS: &str = include_str!("../../../data/published/drying_ratios.csv");

/// The checks.
pub fn cases() -> Result<Vec<Case>, EvidenceError> {
    read("drying_ratios.csv", CHECKS)
}

/// Median and range of the ratio.
pub fn predict(case: &Case, clouds: &Clouds) -> Result<Prediction, EvidenceError> {
    clouds.ratio(case, case.word("run")?, case.word("over")?, |drawn| quantity(case, drawn))
}
