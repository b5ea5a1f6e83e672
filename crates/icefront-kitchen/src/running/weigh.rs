//! Answers about a run that has begun: what the readings say (`update`), and whether the food is dry (`dryness`). Text,

use icefront_core::ModelError;
use icefront_core::learning::{self, Effort, Errors, Question, Updated};
use icefront_core::load::Load;
use icefront_core::ranges::Measurement;
use icefront_core::result::BatchResult;

use crate::{Readings, Sheet};

/// Weighs the samples of a sheet by readings; `change` is done to each drawn load.
pub fn weigh(
    sheet: &Sheet,
    typical: &BatchResult,
    readings: &Readings,
    errors: &Errors,
    effort: &Effort,
    measurements: &[Measurement],
    change: impl Fn(&mut Load) + Sync,
) -> Result<Updated, ModelError> {
    let build = |point: &icefront_core::ranges::Point| {
        let mut load = sheet.at_smooth(point)?;
        change(&mut load);
        Ok(load)
    };
    let errors = &sheet.learned.as_ref().map_or(*errors, |known| known.errors(*errors));
    let question = Question {
        unknowns: sheet.unknowns(),
        trays: sheet.load.trays.len(),
        build: &build,
        readings: &readings.used,
        slips: &readings.slips,
        errors,
        typical,
        measurements,
    };
    let prior = learning::prior(&question, effort)?;
    learning::update(&question, effort, prior)
}
