//! The one run that stands for the answer, with the draws around it.

use icefront_core::ModelError;
use icefront_core::decide::compare::SAFE;
use icefront_core::decide::limits::{Limits, Samples, limits};
use icefront_core::decide::trouble::LoadVerdict;
use icefront_core::load::Load;
use icefront_core::ranges::{Draws, Outcome, Point};
use icefront_core::result::BatchResult;

use crate::Sheet;
use crate::range::Range;
use crate::sheet::dish::Dish;

/// A planned sheet. Headline, tables, charts, bill and JSON all speak of `result`.
#[derive(Clone, Debug)]
pub struct Run {
    /// The load of that run.
    pub load: Load,
    /// The run: of all draws the nearest to the median; without samples that of typical inputs.
    pub result: BatchResult,
    /// The draws; `None` if none were made.
    pub range: Option<Range>,
    /// What the food of each tray is to the cook.
    pub dishes: Vec<Dish>,
}

impl Run {
    /// Plans a sheet with so many draws.
    ///
    /// # Errors
    /// As [`Range::draw`].
    pub fn of(sheet: &Sheet, draws: &Draws) -> Result<Self, ModelError> {
        let dishes = sheet.dishes.clone();
        if draws.count == 0 {
            let (load, result) = (sheet.load.clone(), icefront_core::plan(&sheet.load)?);
            return Ok(Self { load, result, range: None, dishes });
        }
        let range = Range::draw(&sheet.load, draws, |point| sheet.at(point))?;
        let load = match range.cloud.representative() {
            Some(outcome) => sheet.at(&Point::new(outcome.draw, draws.seed))?,
            None => sheet.load.clone(),
        };
        let result = icefront_core::plan(&load)?;
        Ok(Self { load, result, range: Some(range), dishes })
    }

    /// Share of primary drying with the heaters held back by pressure: of the samples the middle one.
    pub fn held_back_frac(&self) -> f64 {
        let of_run = self.result.machine.time_limited_frac;
        self.range.as_ref().map_or(of_run, |range| range.cloud.quantiles(|o| o.held_back_frac).typical)
    }

    /// How near it is to the machine's limits. The largest load inside is one that does well at least 9 times in 10, as far
    /// as [`LIMIT_SAMPLES`] samples show.
    ///
    /// # Errors
    /// As [`limits`].
    pub fn limits(&self, sheet: &Sheet) -> Result<Option<Limits>, ModelError> {
        let near = limits(&self.load, &self.result, &self.limit_samples(sheet)?)?;
        Ok(near.map(|near| Limits { held_back_frac: self.held_back_frac(), ..near }))
    }

    /// A few samples that stand for the chance of trouble: of a load that is inside evenly spread over all; else spread over
    /// those that show a grave trouble, of which so many may still show it as makes one in ten of all.
    fn limit_samples(&self, sheet: &Sheet) -> Result<Samples, ModelError> {
        let grave = |outcome: &Outcome| LoadVerdict::of(&self.load, outcome) == LoadVerdict::TooMuch;
        let Some(range) = &self.range else {
            let inside = !grave(&Outcome::of(&self.load, &self.result, &[]));
            return Ok(Samples { loads: vec![self.load.clone()], may_fail: 0, inside });
        };
        let chance = range.cloud.chance(grave);
        let inside = chance <= SAFE;
        let outcomes: Vec<&Outcome> = range.cloud.outcomes.iter().filter(|o| inside || grave(o)).collect();
        let every = (outcomes.len() / LIMIT_SAMPLES).max(1);
        let spread = outcomes.into_iter().skip(every / 2).step_by(every).take(LIMIT_SAMPLES);
        let loads: Vec<Load> = spread.map(|o| sheet.at(&Point::new(o.draw, range.seed))).collect::<Result<_, _>>()?;
        let may_fail = if inside { SAFE } else { SAFE / chance } * loads.len() as f64;
        Ok(Samples { loads, may_fail: may_fail.floor() as usize, inside })
    }
}

/// Samples that the largest load is found with.
const LIMIT_SAMPLES: usize = 9;
