//! The one run that stands for the answer, with the draws around it.

use icefront_core::ModelError;
use icefront_core::decide::limits::{Limits, limits};
use icefront_core::load::Load;
use icefront_core::ranges::{Draws, Point};
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

    /// How near it is to the machine's limits.
    ///
    /// # Errors
    /// As [`limits`].
    pub fn limits(&self) -> Result<Option<Limits>, ModelError> {
        limits(&self.load, &self.result)
    }
}
