//! Two runs of one publication: what is missing is drawn alike for both, so most of it cancels.

use super::super::EvidenceError;
use super::super::case::{Case, read};
use super::super::draws::Draws;
use super::super::row::Predicted;
use super::course::Course;
use super::inputs::run_named;
use super::ranges::{over_draws, quantity};

const CHECKS: &str = include_str!("../../../../../data/published/drying_ratios.csv");

/// The checks.
pub fn cases() -> Result<Vec<Case>, EvidenceError> {
    read("drying_ratios.csv", CHECKS)
}

/// Median and range of the ratio.
pub fn predict(case: &Case) -> Result<Predicted, EvidenceError> {
    let (run, over) = (run_named(case, case.word("run")?)?, run_named(case, case.word("over")?)?);
    let draws = Draws::new();
    over_draws(draws.picks().zip(draws.picks()).map(|(first, second)| {
        let (first, second) = (run.settle(&first)?, over.settle(&second)?);
        let first = quantity(case, &first, &Course::of(&first.load)?)?;
        Ok(first / quantity(case, &second, &Course::of(&second.load)?)?)
    }))
}
