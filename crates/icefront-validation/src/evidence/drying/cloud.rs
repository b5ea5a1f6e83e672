//! The draws of every incomplete run, each computed once and used by all rows about that run.

use std::collections::BTreeMap;

use icefront_core::ModelError;

use crate::evidence::case::Case;
use crate::evidence::draws::picks;
use crate::evidence::drying::course::Course;
use crate::evidence::drying::inputs::{Run, RunInputs, runs};
use crate::evidence::row::Prediction;
use crate::evidence::{EvidenceError, in_parallel};

/// One draw of a run: its inputs and its course.
pub type Drawn = (RunInputs, Course);

/// Draws by run. A draw that the model refuses is left out of medians and ranges.
pub struct Clouds(BTreeMap<String, Cloud>);

struct Cloud {
    draws: Vec<Result<Drawn, ModelError>>,
    missing: String,
}

impl Clouds {
    /// Runs all draws of all runs.
    ///
    /// # Errors
    /// [`EvidenceError`] if a run is wrong, or if the model refuses more than one draw in twenty of it.
    pub fn compute() -> Result<Self, EvidenceError> {
        let runs = runs()?;
        let clouds = in_parallel(&runs, cloud);
        let named = runs.iter().zip(clouds).map(|(run, cloud)| {
            let named = |error| EvidenceError::Row { id: run.case.clone(), error: Box::new(error) };
            Ok((run.case.clone(), Cloud { draws: cloud.map_err(named)?, missing: run.missing.clone() }))
        });
        named.collect::<Result<_, _>>().map(Self)
    }

    fn of(&self, case: &Case, name: &str) -> Result<&[Result<Drawn, ModelError>], EvidenceError> {
        let key = || EvidenceError::Key { id: case.id.clone(), key: name.into() };
        self.0.get(name).map(|cloud| cloud.draws.as_slice()).ok_or_else(key)
    }

    fn missing(&self, name: &str) -> Option<String> {
        self.0.get(name).map(|cloud| cloud.missing.clone())
    }

    /// Median and range of a quantity of one run.
    pub fn range(
        &self,
        case: &Case,
        name: &str,
        quantity: impl Fn(&Drawn) -> Result<f64, EvidenceError>,
    ) -> Result<Prediction, EvidenceError> {
        let values: Result<Vec<f64>, EvidenceError> = self.of(case, name)?.iter().flatten().map(quantity).collect();
        Ok(Prediction::of_draws(values?, self.missing(name)))
    }

    /// Median and range of the ratio of a quantity in two runs, draw by draw.
    pub fn ratio(
        &self,
        case: &Case,
        name: &str,
        over: &str,
        quantity: impl Fn(&Drawn) -> Result<f64, EvidenceError>,
    ) -> Result<Prediction, EvidenceError> {
        let pairs = self.of(case, name)?.iter().zip(self.of(case, over)?);
        let ratios = pairs.filter_map(|(first, second)| Some((first.as_ref().ok()?, second.as_ref().ok()?)));
        let ratios: Result<Vec<f64>, EvidenceError> =
            ratios.map(|(first, second)| Ok(quantity(first)? / quantity(second)?)).collect();
        Ok(Prediction::of_draws(ratios?, self.missing(name)))
    }
}

fn cloud(run: &Run) -> Result<Vec<Result<Drawn, ModelError>>, EvidenceError> {
    let mut cloud = Vec::new();
    for pick in picks() {
        let inputs = run.inputs(&pick)?;
        cloud.push(Course::of(&inputs.load).map(|course| (inputs, course)));
    }
    let refusals: Vec<&ModelError> = cloud.iter().filter_map(|drawn| drawn.as_ref().err()).collect();
    match refusals.last() {
        Some(refusal) if 20 * refusals.len() > cloud.len() => Err((*refusal).clone().into()),
        _ => Ok(cloud),
    }
}
