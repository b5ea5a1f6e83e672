//! A better arrangement of a load, and what it is worth against the sheet's own.

use icefront_core::decide::best::{Arranged, Goal, improve};
use icefront_core::decide::compare::{Difference, Pairing, Quantity, Variant, difference, draw, typical};
use icefront_core::error::ModelError;
use icefront_core::load::Load;
use icefront_core::ranges::Draws;

use crate::sheet::Sheet;
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
const MOST_TRIES: usize = 6;

/// Finds a better arrangement and draws both.
///
/// # Errors
/// [`ModelError`] as the model gives it.
pub fn find(sheet: &Sheet, aim: Aim, draws: Draws) -> Result<Answer, ModelError> {
    let load = &sheet.load;
    let pairing = Pairing { draws, independent: false };
    let as_told = Arranged::as_told(load);
    let mut limit_s = None;
    let goal = match aim {
        Aim::Hours => Goal::Hours,
        Aim::CostPerKg => Goal::CostPerKg,
        Aim::ReadyBy { start, by } => {
            // nine times in ten is later than typical numbers say
            let drawn = drawn(sheet, &as_told, &as_told, &pairing)?.0.quantiles(Quantity::ReadyS);
            let margin = drawn.high / ready_s(load)?;
            let least_s = margin * ready_s(&as_told.clone().filled(LEAST_LOAD).of(load))?;
            let days = (0..=MOST_DAYS).map(|day| start.until(by) + day as f64 * DAY_S);
            let wanted_s = days.into_iter().find(|wanted| *wanted >= least_s).unwrap_or(f64::INFINITY);
            limit_s = Some(wanted_s);
            Goal::ReadyWithin(wanted_s / margin)
        }
    };
    let mut arranged = improve(load, goal)?;
    for _ in 0..MOST_TRIES {
        let (told, found) = drawn(sheet, &as_told, &arranged, &pairing)?;
        let late = limit_s.is_some_and(|limit_s| found.quantiles(Quantity::ReadyS).high > limit_s);
        let unsafe_now = !found.is_safe() && found.grave_chance() > told.grave_chance();
        if !late && !unsafe_now {
            return Ok(answer(arranged, told, found, limit_s));
        }
        if aim == Aim::Hours {
            break;
        }
        arranged = arranged.filled(BACK_OFF);
    }
    // nothing better that is safe: the sheet's own
    let (told, found) = drawn(sheet, &as_told, &as_told, &pairing)?;
    Ok(answer(as_told, told, found, limit_s))
}

fn answer(arranged: Arranged, told: Variant, found: Variant, limit_s: Option<f64>) -> Answer {
    let difference = HELD.map(|quantity| difference(&found, &told, quantity));
    Answer { arranged, told, found, difference, limit_s }
}

fn drawn(sheet: &Sheet, one: &Arranged, other: &Arranged, pairing: &Pairing) -> Result<(Variant, Variant), ModelError> {
    let both = [one, other];
    let loads = both.map(|arranged| arranged.of(&sheet.load));
    let mut variants = draw(pairing, &loads, |which, point| Ok(both[which].of(&sheet.at(point)?)))?.into_iter();
    variants.next().zip(variants.next()).ok_or(ModelError::Empty { what: "the list of loads" })
}

fn ready_s(load: &Load) -> Result<f64, ModelError> {
    let variants = typical(std::slice::from_ref(load), None)?;
    Ok(variants.first().map_or(f64::INFINITY, |v| v.quantiles(Quantity::ReadyS).typical))
}
