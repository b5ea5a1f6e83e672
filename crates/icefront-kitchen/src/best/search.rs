//! A better arrangement of a load, and what it is worth against the sheet's own.

use icefront_core::decide::best::{Arranged, Goal, improve};
use icefront_core::decide::compare::{Difference, Pairing, Quantity, Variant, difference, draw, typical};
use icefront_core::error::ModelError;
use icefront_core::load::Load;
use icefront_core::machine::Dryer;
use icefront_core::ranges::{Draws, Point};

use crate::failure::Failure;
use crate::sheet::{Sheet, Text};
use crate::weather::clock::{Clock, DAY_S};

/// What to aim at.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Aim {
    /// The same food ready soonest.
    Hours,
    /// Least cost per kg of dried food.
    CostPerKg,
    /// The most food that is ready by a time of day, nine times in ten.
    ReadyBy {
        /// When the machine starts.
        start: Clock,
        /// When the food must be ready.
        by: Clock,
    },
}

/// The answer.
#[derive(Clone, Debug)]
pub struct Answer {
    /// How the load is to be arranged.
    pub arranged: Arranged,
    /// The sheet's own load, drawn.
    pub told: Variant,
    /// The arranged one, drawn.
    pub found: Variant,
    /// The arranged one against the sheet's: time until ready, electricity, dried food, dried food per electricity.
    pub difference: [Difference; 4],
    /// Time until the food must be ready, s, where one was asked for.
    pub limit_s: Option<f64>,
}

/// What is held against the sheet's own plan.
pub const HELD: [Quantity; 4] = [Quantity::ReadyS, Quantity::EnergyJ, Quantity::DriedKg, Quantity::DriedKgPerJ];

/// Days ahead that a time of day is looked for.
const MOST_DAYS: usize = 4;
/// A load this small, over the sheet's, is the least that is worth a run.
const LEAST_LOAD: f64 = 0.3;
/// How much less is tried where a load turns out to be late or unsafe in the draws.
const BACK_OFF: f64 = 0.92;
const MOST_TRIES: usize = 3;

/// Whether there is something to choose in this load.
///
/// # Errors
/// [`Failure::Unfit`] for a rig.
pub fn suits(text: &Text, sheet: &Sheet) -> Result<(), Failure> {
    if matches!(sheet.load.dryer, Dryer::Prescribed(_)) {
        let reason = "a `[rig]` has no places to choose from and uses no electricity; give a `dryer`".to_string();
        return Err(Failure::Unfit { path: text.path.clone(), reason });
    }
    Ok(())
}

/// Finds a better arrangement and draws both.
///
/// # Errors
/// [`ModelError`] as the model gives it.
pub fn find(sheet: &Sheet, aim: Aim, draws: Draws) -> Result<Answer, ModelError> {
    let load = &sheet.load;
    let as_told = Arranged::as_told(load);
    let told = drawn(sheet, &as_told, draws)?;
    let mut limit_s = None;
    let goal = match aim {
        Aim::Hours => Goal::Hours,
        Aim::CostPerKg => Goal::CostPerKg,
        Aim::ReadyBy { start, by } => {
            // nine times in ten is later than typical numbers say
            let margin = told.quantiles(Quantity::ReadyS).high / ready_s(load)?;
            let least_s = margin * ready_s(&as_told.clone().filled(LEAST_LOAD).of(load))?;
            let mut days = (0..=MOST_DAYS).map(|day| start.until(by) + day as f64 * DAY_S);
            let wanted_s = days.find(|wanted| *wanted >= least_s).unwrap_or(f64::INFINITY);
            limit_s = Some(wanted_s);
            Goal::ReadyWithin(wanted_s / margin)
        }
    };
    let mut arranged = improve(load, goal)?;
    for _ in 0..MOST_TRIES {
        let found = drawn(sheet, &arranged, draws)?;
        let is_late = limit_s.is_some_and(|limit_s| found.quantiles(Quantity::ReadyS).high > limit_s);
        if !is_late && is_as_safe(&found, &told) {
            return Ok(answer(arranged, told, found, limit_s));
        }
        arranged = if is_late { arranged.filled(BACK_OFF) } else { arranged.nearer_to_told() };
    }
    // nothing better that is as safe: the sheet's own
    Ok(answer(as_told, told.clone(), told, limit_s))
}

/// A few draws more or less are chance.
const MORE_GRAVE: f64 = 0.03;

fn is_as_safe(found: &Variant, told: &Variant) -> bool {
    found.is_safe() || found.grave_chance() <= told.grave_chance() + MORE_GRAVE
}

fn answer(arranged: Arranged, told: Variant, found: Variant, limit_s: Option<f64>) -> Answer {
    let difference = HELD.map(|quantity| difference(&found, &told, quantity));
    Answer { arranged, told, found, difference, limit_s }
}

fn drawn(sheet: &Sheet, arranged: &Arranged, draws: Draws) -> Result<Variant, ModelError> {
    let loads = [arranged.of(&sheet.load)];
    let build = |_, point: &Point| Ok(arranged.of(&sheet.at(point)?));
    let variants = draw(&Pairing { draws, independent: false }, &loads, build)?;
    variants.into_iter().next().ok_or(ModelError::Empty { what: "the list of loads" })
}

fn ready_s(load: &Load) -> Result<f64, ModelError> {
    let variants = typical(std::slice::from_ref(load), None)?;
    Ok(variants.first().map_or(f64::INFINITY, |v| v.quantiles(Quantity::ReadyS).typical))
}
