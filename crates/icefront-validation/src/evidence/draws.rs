//! Draws of what a publication leaves out, from the same low-discrepancy points as every other range.

use std::cell::Cell;
use std::collections::BTreeSet;

use icefront_core::load::Load;
use icefront_core::ranges::{ModelSpread, Point, Spread};

/// Draws per run.
pub const DRAWS: usize = 256;
/// Any seed would do; this one is fixed.
const SEED: u32 = 1;
/// Dimensions below this belong to the food's own unknowns.
const RUN_FIRST: usize = 16;

/// The numbers of one draw, in the order of the calls.
pub struct Pick {
    point: Option<Point>,
    next: Cell<usize>,
}

/// All draws, the same for every run.
pub fn picks() -> impl Iterator<Item = Pick> {
    (0..DRAWS).map(|index| Pick { point: Some(Point::new(index, SEED)), next: Cell::new(RUN_FIRST) })
}

impl Pick {
    /// The median of every unknown.
    pub fn typical() -> Self {
        Self { point: None, next: Cell::new(RUN_FIRST) }
    }

    fn unit(&self) -> f64 {
        let unknown = self.next.replace(self.next.get() + 1);
        self.point.as_ref().map_or(0.5, |point| point.unit(unknown))
    }

    /// Evenly between two numbers.
    pub fn even(&self, low: f64, high: f64) -> f64 {
        Spread::Between { low, high }.quantile(self.unit())
    }

    /// From the 10 % and 90 % points and the median.
    pub fn factor(&self, low: f64, typical: f64, high: f64) -> f64 {
        Spread::Factor { low, typical, high }.quantile(self.unit())
    }

    /// One of several things, each equally likely.
    pub fn one_of<'t, T>(&self, things: &'t [T]) -> Option<&'t T> {
        let at = (self.unit() * things.len() as f64) as usize;
        things.get(at.min(things.len().saturating_sub(1)))
    }

    /// Draws what the model does not know about the food of a load.
    pub fn food(&self, load: &mut Load) {
        if let Some(point) = &self.point {
            ModelSpread::of(load, &BTreeSet::new()).apply(load, point, 0);
        }
    }
}
