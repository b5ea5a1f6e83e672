//! A better load than the one given: the same food placed, cut and filled otherwise, found by running again.
//!
//! # Main equations
//! None: a search. From the load as it is, the one step that helps most is taken, again and again, until none helps
//! noticeably: two trays change places, the pieces of one tray are cut smaller or larger, one tray is filled
//! less or more, or less while another is filled more.
//!
//! # Assumptions and limits
//! Typical numbers; grave trouble is never risked for a gain ([`Trouble::is_grave`]). The answer is a good load, not
//! proven to be the best of all; drawn runs of both then show what it is worth.

use super::compare::Quantity;
use super::trouble::Trouble;
use crate::error::ModelError;
use crate::load::Load;
use crate::machine::Dryer;
use crate::ranges::{Outcome, by_index};
use crate::shape::{PieceForm, Shape};

/// What to aim at.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Goal {
    /// The same food ready soonest.
    Hours,
    /// Least electricity (and so cost) per kg of dried food.
    CostPerKg,
    /// Most dried food that is ready within this time, s.
    ReadyWithin(f64),
}

/// How a load is arranged: which tray of the sheet lies where, how full, how finely cut.
#[derive(Clone, Debug, PartialEq)]
pub struct Arranged {
    /// Tray of the sheet at each position from the bottom.
    pub order: Vec<usize>,
    /// Ratio of the food to that of the sheet, by tray of the sheet.
    pub fill: Vec<f64>,
    /// Ratio of the piece size to that of the sheet, by tray of the sheet.
    pub cut: Vec<f64>,
}

/// Smallest and largest piece a cook cuts, m (`common practice, no source`).
const CUT_M: (f64, f64) = (0.005, 0.030);
/// Least and most food on a tray, as a ratio to the sheet.
const FILL: (f64, f64) = (0.3, 3.0);
/// Steps tried.
const FILL_STEPS: [f64; 2] = [0.8, 1.25];
const CUT_STEPS: [f64; 2] = [0.7, 1.4];
/// A step must help by this share.
const WORTH_A_STEP: f64 = 0.004;
/// Runs that a search may take, give or take one step: large loads take fewer steps.
const RUNS: usize = 480;

impl Arranged {
    /// As the sheet says.
    pub fn as_given(load: &Load) -> Self {
        let count = load.trays.len();
        Self { order: (0..count).collect(), fill: vec![1.0; count], cut: vec![1.0; count] }
    }

    /// The same with the trays of raw food lowest, in their order.
    #[must_use]
    pub fn raw_lowest(mut self, raw: &[bool]) -> Self {
        self.order.sort_by_key(|&tray| !raw.get(tray).copied().unwrap_or(false));
        self
    }

    /// Whether no raw food lies above other food; `raw` by tray of the sheet.
    pub fn keeps_apart(&self, raw: &[bool]) -> bool {
        self.order.is_sorted_by_key(|&tray| !raw.get(tray).copied().unwrap_or(false))
    }

    /// A load of the same sheet, arranged so.
    pub fn of(&self, load: &Load) -> Load {
        let mut out = load.clone();
        out.trays = self
            .order
            .iter()
            .map(|&i| {
                let mut tray = load.trays[i].clone();
                tray.shape = tray.shape.cut(self.cut[i]).filled(self.fill[i]);
                tray
            })
            .collect();
        out
    }

    /// Whether it is as the sheet says.
    pub fn is_as_given(&self) -> bool {
        self.order.iter().enumerate().all(|(place, tray)| place == *tray)
            && self.fill.iter().chain(&self.cut).all(|share| (share - 1.0).abs() < 1e-9)
    }

    /// The same order, filled and cut half way back to what the sheet says.
    #[must_use]
    pub fn nearer_to_given(mut self) -> Self {
        self.fill.iter_mut().chain(&mut self.cut).for_each(|share| *share = share.sqrt());
        self
    }

    /// All trays filled `share` times as much.
    #[must_use]
    pub fn filled(mut self, share: f64) -> Self {
        self.fill.iter_mut().for_each(|fill| *fill *= share);
        self
    }

    /// All arrangements one step away.
    fn next(&self, load: &Load, goal: Goal) -> Vec<Self> {
        let count = self.order.len();
        let mut all = Vec::new();
        for one in 0..count {
            for other in one + 1..count {
                let mut swapped = self.clone();
                swapped.order.swap(one, other);
                all.push(swapped);
            }
        }
        for tray in 0..count {
            for step in CUT_STEPS {
                let cut = self.cut[tray] * step;
                if can_cut(&load.trays[tray].shape, cut) {
                    let mut finer = self.clone();
                    finer.cut[tray] = cut;
                    all.push(finer);
                }
            }
            if goal != Goal::Hours {
                all.extend(FILL_STEPS.iter().filter_map(|step| self.refilled(tray, *step)));
                let less = self.refilled(tray, FILL_STEPS[0]);
                let others = (0..count).filter(|other| *other != tray);
                all.extend(others.filter_map(|other| less.as_ref()?.refilled(other, FILL_STEPS[1])));
            }
        }
        all
    }

    /// One tray filled `step` times as much, if that is still a filling.
    fn refilled(&self, tray: usize, step: f64) -> Option<Self> {
        let mut refilled = self.clone();
        refilled.fill[tray] *= step;
        (FILL.0..=FILL.1).contains(&refilled.fill[tray]).then_some(refilled)
    }
}

/// Whole grains and berries are not cut.
fn can_cut(shape: &Shape, factor: f64) -> bool {
    let Shape::Pieces { form, .. } = shape else { return false };
    let edge_m = 2.0 * form.cut(factor).core().radius_m;
    !matches!(form, PieceForm::Sphere { .. }) && (CUT_M.0..=CUT_M.1).contains(&edge_m)
}

/// How good a run is: lower is better, the first number above all.
fn score(load: &Load, goal: Goal) -> Result<(f64, f64), ModelError> {
    let outcome = Outcome::of(load, &crate::plan(load)?, &[]);
    let grave = Trouble::ALL.iter().filter(|t| t.is_grave() && t.is_in(load, &outcome)).count() as f64;
    Ok(match goal {
        Goal::Hours => (grave, outcome.food_ready_s),
        Goal::CostPerKg => (grave, 1.0 / Quantity::DriedKgPerJ.of(load, &outcome)),
        Goal::ReadyWithin(limit_s) if outcome.food_ready_s > limit_s => (grave + 1.0, outcome.food_ready_s),
        Goal::ReadyWithin(_) => (grave, 1.0 / outcome.dried_kg.max(1e-9)),
    })
}

/// Improves a load step by step; trays of raw food (`raw`, by tray of the sheet) stay below the others.
///
/// # Errors
/// [`ModelError`] of the load as given; arrangements that the model refuses are passed over.
pub fn improve(load: &Load, goal: Goal, raw: &[bool]) -> Result<Arranged, ModelError> {
    let mut here = Arranged::as_given(load).raw_lowest(raw);
    if !matches!(load.dryer, Dryer::Cabinet(_)) {
        return Ok(here);
    }
    let mut level = score(&here.of(load), goal)?;
    let mut runs = 0;
    while runs < RUNS {
        let mut next = here.next(load, goal);
        next.retain(|arranged| arranged.keeps_apart(raw));
        runs += next.len().max(1);
        let scores = by_index(next.len(), None, |i| score(&next[i].of(load), goal));
        let tried = next.into_iter().zip(scores).filter_map(|(arranged, score)| Some((arranged, score.ok()?)));
        let Some((arranged, reached)) = tried.min_by(|a, b| a.1.0.total_cmp(&b.1.0).then(a.1.1.total_cmp(&b.1.1)))
        else {
            break;
        };
        let helps = reached.0 < level.0 || (reached.0 == level.0 && reached.1 < level.1 * (1.0 - WORTH_A_STEP));
        if !helps {
            break;
        }
        (here, level) = (arranged, reached);
    }
    Ok(here)
}
