//! The one run that stands for the answer, with the draws around it.

use icefront_core::ModelError;
use icefront_core::decide::compare::SAFE;
use icefront_core::decide::limits::{Limits, limits};
use icefront_core::decide::remedy::{Remedy, remedy};
use icefront_core::decide::samples::Samples;
use icefront_core::decide::trouble::{LoadVerdict, Trouble};
use icefront_core::load::Load;
use icefront_core::ranges::{Draws, Outcome, Point, Quantiles, by_index};
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
        let load = at_middle(sheet, Some(&range))?;
        let result = icefront_core::plan(&load)?;
        Ok(Self { load, result, range: Some(range), dishes })
    }

    /// The load of another sheet in the sample that stands for all of this one.
    ///
    /// # Errors
    /// As [`Sheet::at`].
    pub fn load_of(&self, other: &Sheet) -> Result<Load, ModelError> {
        at_middle(other, self.range.as_ref())
    }

    /// How near it is to the machine's limits. The largest load inside is one that goes well, as far as a few samples show.
    ///
    /// # Errors
    /// As [`limits`].
    pub fn limits(&self, sheet: &Sheet) -> Result<Option<Limits>, ModelError> {
        let inside = match &self.range {
            Some(range) => range.cloud.chance(|outcome| self.is_grave(outcome)) <= SAFE,
            None => !self.is_grave(&Outcome::of(&self.load, &self.result, &[])),
        };
        limits(&self.load, &self.result, &self.few(sheet)?, inside)
    }

    /// The mildest change after which it goes well, where this trouble shows on these trays.
    ///
    /// # Errors
    /// As [`remedy`].
    pub fn remedy(&self, sheet: &Sheet, at_fault: &[usize], trouble: Trouble) -> Result<Option<Remedy>, ModelError> {
        remedy(&self.few(sheet)?, at_fault, trouble)
    }

    /// How much sooner the food is ready without a tray, s, by the middle of a few samples; `None` where that does not go well.
    ///
    /// # Errors
    /// As [`icefront_core::plan`].
    pub fn saved_without(&self, sheet: &Sheet, place: usize) -> Result<Option<f64>, ModelError> {
        let Some(range) = &self.range else { return Ok(None) };
        let few = spread(&range.cloud.outcomes.iter().collect::<Vec<_>>(), FEW / 3);
        let saved = by_index(few.len(), None, |i| {
            let Some(outcome) = few.get(i) else { return Ok(None) };
            let load = sheet.at(&Point::new(outcome.draw, range.seed))?;
            let Some(rest) = (Remedy::Without { places: vec![place] }).of(&load) else { return Ok(None) };
            let result = icefront_core::plan(&rest)?;
            let goes_well = LoadVerdict::of(&rest, &Outcome::of(&rest, &result, &[])) != LoadVerdict::TooMuch;
            Ok(goes_well.then(|| outcome.food_ready_s - result.food_ready_s()))
        });
        let saved: Vec<f64> = saved.into_iter().flatten().flatten().filter(|s| s.is_finite()).collect();
        Ok((saved.len() + 1 >= few.len()).then(|| Quantiles::of(saved).typical))
    }

    fn is_grave(&self, outcome: &Outcome) -> bool {
        LoadVerdict::of(&self.load, outcome) == LoadVerdict::TooMuch
    }

    /// A few samples, spread over those that show a grave trouble and those that do not as all are. A change of the load that
    /// [`MAY_FAIL`] of them survive is one that goes well at least 9 times in 10, with something to spare.
    fn few(&self, sheet: &Sheet) -> Result<Samples, ModelError> {
        let Some(range) = &self.range else { return Ok(Samples { loads: vec![self.load.clone()], may_fail: 0 }) };
        let mut outcomes: Vec<&Outcome> = range.cloud.outcomes.iter().collect();
        outcomes.sort_by_key(|outcome| !self.is_grave(outcome));
        let few = spread(&outcomes, FEW);
        let loads = few.into_iter().map(|o| sheet.at(&Point::new(o.draw, range.seed))).collect::<Result<_, _>>()?;
        Ok(Samples { loads, may_fail: MAY_FAIL })
    }
}

fn at_middle(sheet: &Sheet, range: Option<&Range>) -> Result<Load, ModelError> {
    let middle = range.and_then(|range| Some(Point::new(range.cloud.representative()?.draw, range.seed)));
    middle.map_or_else(|| Ok(sheet.load.clone()), |point| sheet.at(&point))
}

/// So many of these, evenly spread.
fn spread<'a>(outcomes: &[&'a Outcome], count: usize) -> Vec<&'a Outcome> {
    let count = outcomes.len().min(count);
    (0..count).filter_map(|i| outcomes.get((2 * i + 1) * outcomes.len() / (2 * count)).copied()).collect()
}

/// Samples that changes of a load are tried on.
const FEW: usize = 60;
/// Of these so many may go wrong.
const MAY_FAIL: usize = 2;
