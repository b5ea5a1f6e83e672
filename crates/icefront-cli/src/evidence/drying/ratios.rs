//! Two runs of one publication: what is missing is drawn alike for both, so most of it cancels.

use super::super::EvidenceError;
use super::super::case::{Case, read};
use super::super::draws::Draws;
use super::super::row::Predicted;
use super::course::Course;
use super::inputs::run_named;
use super::ranges::quantity;

const CHECKS: &str = include_str!("../../../../../data/published/drying_ratios.csv");

/// The checks.
pub fn cases() -> Result<Vec<Case>, EvidenceError> {
    read("drying_ratios.csv", CHECKS)
}

/// Median and range of the ratio.
pub fn predict(case: &Case) -> Result<Predicted, EvidenceError> {
    let (run, over) = (run_named(case, case.word("run")?)?, run_named(case, case.word("over")?)?);
    let mut ratios = Vec::new();
    let draws = Draws::new();
    for (first, second) in draws.picks().zip(draws.picks()) {
        let (first, second) = (run.settle(&first)?, over.settle(&second)?);
        let first = quantity(case, &first, &Course::of(&first.load)?)?;
        let second = quantity(case, &second, &Course::of(&second.load)?)?;
        // neither dry in the longest run: nothing to compare
        if first.is_finite() || second.is_finite() {
            ratios.push(first / second);
        }
    }
    Ok(Predicted::from_draws(ratios))
}
