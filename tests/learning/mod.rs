//! An invented kitchen whose truth is known, tools that read it with their errors, and a tally of what was found.

use std::collections::BTreeSet;

use icefront_core::ModelError;
use icefront_core::learning::{Errors, Quantity, Reading};
use icefront_core::load::Load;
use icefront_core::machine::Dryer;
use icefront_core::ranges::{ModelSpread, Point, Quantiles, Spread};
use icefront_core::shape::Shape;
use statrs::distribution::{ContinuousCDF, Normal};

use crate::common;

/// Unknowns of a batch alone: the depth of each tray by eye, give or take 1 mm.
pub const DEPTHS_M: [f64; 2] = [0.012, 0.010];
/// Their number.
pub const OWN: usize = DEPTHS_M.len();

/// Two trays in a small cabinet, loaded frozen: quick to run.
pub struct Kitchen {
    base: Load,
    /// What the model does not know.
    pub model: ModelSpread,
}

impl Kitchen {
    pub fn new() -> Self {
        let mut base = common::two_drawn_layers();
        if let Dryer::Cabinet(cabinet) = &mut base.dryer {
            cabinet.contact.uneven_frac = 0.3;
        }
        let model = ModelSpread::of(&base, &BTreeSet::new());
        Self { base, model }
    }

    pub fn unknowns(&self) -> usize {
        OWN + self.model.len()
    }

    /// The load of a point: first the depths, then the model's unknowns.
    pub fn load(&self, point: &Point) -> Result<Load, ModelError> {
        let mut load = self.base.clone();
        for (i, (tray, typical)) in load.trays.iter_mut().zip(DEPTHS_M).enumerate() {
            let depth_m = Spread::GiveOrTake { typical, by: 0.001 }.quantile(point.unit(i));
            tray.shape = Shape::Layer { depth_m };
        }
        self.model.apply(&mut load, point, OWN);
        Ok(load)
    }

    pub fn typical(&self) -> icefront_core::result::BatchResult {
        icefront_core::plan(&self.load(&Point::given([])).unwrap()).unwrap()
    }
}

/// Standard normal number `k` of a case.
pub fn normal(case: usize, k: usize) -> f64 {
    Normal::standard().inverse_cdf(Point::new(case, 0xe550).unit(k))
}

/// Readings as the tools would show them: each with an error of its own and one common to its tool.
pub fn read(errors: &Errors, readings: &[Reading], shown: &[f64], case: usize, first: usize) -> Vec<Reading> {
    let one = |(k, (reading, shown)): (usize, (&Reading, &f64))| {
        let tool = errors.of(reading.quantity);
        let same = readings.iter().position(|r| r.quantity == reading.quantity).unwrap_or(k);
        let own = tool.own * normal(case, first + k);
        let common = tool.common.hypot(tool.common_share * shown) * normal(case, first + 100 + same);
        let value = shown + own + common;
        let event = matches!(reading.quantity, Quantity::PumpStarted | Quantity::Finished);
        Reading { value, time_s: if event { value } else { reading.time_s }, ..*reading }
    };
    readings.iter().zip(shown).enumerate().map(one).collect()
}

/// How often the truth was in the range, and how wide it was over the range before.
#[derive(Clone, Copy, Default)]
pub struct Tally {
    cases: usize,
    held: f64,
    width: f64,
    endless: usize,
}

impl Tally {
    /// Adds a case; `held`: 1 or 0, or the chance of the truth to be held where that is known.
    pub fn add(&mut self, before: Quantiles, after: Quantiles, held: f64) {
        self.cases += 1;
        self.held += held;
        let width = after.width() / before.width();
        if width.is_finite() { self.width += width } else { self.endless += 1 }
    }

    /// Both together.
    #[must_use]
    pub fn and(self, other: &Self) -> Self {
        Self {
            cases: self.cases + other.cases,
            held: self.held + other.held,
            width: self.width + other.width,
            endless: self.endless + other.endless,
        }
    }

    /// Share of cases held.
    pub fn held(&self) -> f64 {
        self.held / self.cases as f64
    }

    /// Mean width, without the cases in which more than one believable run in ten never ends.
    pub fn width(&self) -> f64 {
        self.width / (self.cases - self.endless) as f64
    }

    /// Cells of a table: held and width.
    pub fn cells(&self) -> String {
        let endless = if self.endless > 0 { format!(" ({} cases without end)", self.endless) } else { String::new() };
        format!("{:.1} % | {:.0} %{endless}", 100.0 * self.held(), 100.0 * self.width())
    }
}
