//! A better arrangement of a load, and what it is worth against the sheet's own.

use icefront_core::decide::best::{Arranged, Goal, improve};
use icefront_core::decide::compare::{Difference, Pairing, Quantity, Variant, difference, draw, typical};
use icefront_core::decide::shelf::{Setting, Settings, heated, settings};
use icefront_core::error::ModelError;
use icefront_core::load::{Load, Tray};
use icefront_core::machine::Dryer;
use icefront_core::ranges::{Draws, Point};
use serde::Serialize;

use crate::weather::clock::{Clock, DAY_S};
use crate::{Failure, Sheet, Text};

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
    pub given: Variant,
    /// The arranged one, drawn.
    pub found: Variant,
    /// The arranged one against the sheet's.
    pub difference: Against,
    /// Time until the food must be ready, s, where there is one.
    pub limit_s: Option<f64>,
    /// What to heat the shelves to, of the arranged load.
    pub shelves: Option<Shelves>,
    /// Whether raw food lay above other food in the sheet and was moved to the bottom.
    pub raw_moved: bool,
}

/// Settings of the shelves, each with its samples.
#[derive(Clone, Debug)]
pub struct Shelves {
    /// As the load has it.
    pub given: Drawn,
    /// The gentlest.
    pub gentlest: Drawn,
    /// The fastest that comes out as well.
    pub fastest: Drawn,
}

/// A setting of the shelves with its samples.
#[derive(Clone, Debug)]
pub struct Drawn {
    /// The setting.
    pub setting: Setting,
    /// Its draws.
    pub variant: Variant,
}

/// The arranged load against the sheet's own: ratios over common draws, and what they say.
#[derive(Clone, Debug, Serialize)]
pub struct Against {
    /// Time until the food is ready.
    pub food_ready: Difference,
    /// Electricity.
    pub energy: Difference,
    /// Dried food.
    pub dried_kg: Difference,
    /// Dried food per electricity.
    pub dried_kg_per_kwh: Difference,
}

impl Answer {
    /// Trays from the bottom: place in the sheet, as given and as arranged.
    pub fn rows(&self) -> impl Iterator<Item = (usize, &Tray, &Tray)> {
        let places = self.arranged.order.iter().zip(&self.found.load.trays);
        places.map(|(&i, tray)| (i, &self.given.load.trays[i], tray))
    }
}

/// Days ahead that a time of day is looked for.
const MOST_DAYS: usize = 4;
/// A load this small, over the sheet's, is the least that is worth a run.
const LEAST_LOAD: f64 = 0.3;
/// How much less is tried where a load turns out to be late or unsafe in the samples.
const BACK_OFF: f64 = 0.92;
const MOST_TRIES: usize = 8;

/// Whether there is something to choose in this load.
///
/// # Errors
/// [`Failure::Unfit`] for a rig.
pub fn suits(text: &Text, sheet: &Sheet) -> Result<(), Failure> {
    if matches!(sheet.load.dryer, Dryer::Prescribed(_)) {
        let reason = "a `[rig]` has no places to choose from and uses no electricity; give a `dryer`";
        return Err(Failure::unfit(&text.path, reason));
    }
    Ok(())
}

/// Finds a better arrangement and draws both.
///
/// # Errors
/// [`ModelError`] as the model gives it.
pub fn find(sheet: &Sheet, aim: Aim, draws: Draws) -> Result<Answer, ModelError> {
    let load = &sheet.load;
    let as_given = Arranged::as_given(load);
    let given = drawn(sheet, &as_given, draws)?;
    let mut limit_s = None;
    let goal = match aim {
        Aim::Hours => Goal::Hours,
        Aim::CostPerKg => Goal::CostPerKg,
        Aim::ReadyBy { start, by } => {
            // nine times in ten is later than typical numbers say
            let margin = given.quantiles(Quantity::ReadyS).high / ready_s(load)?;
            let least_s = margin * ready_s(&as_given.clone().filled(LEAST_LOAD).of(load))?;
            let mut days = (0..=MOST_DAYS).map(|day| start.until(by) + day as f64 * DAY_S);
            let wanted_s = days.find(|wanted| *wanted >= least_s).unwrap_or(f64::INFINITY);
            limit_s = Some(wanted_s);
            Goal::ReadyWithin(wanted_s / margin)
        }
    };
    let raw: Vec<bool> = sheet.dishes.iter().map(|dish| dish.raw).collect();
    let mut arranged = improve(load, goal, &raw)?;
    let mut chosen = None;
    for _ in 0..MOST_TRIES {
        let found = drawn(sheet, &arranged, draws)?;
        let is_late = limit_s.is_some_and(|limit_s| found.quantiles(Quantity::ReadyS).high > limit_s);
        if !is_late && is_as_safe(&found, &given) {
            chosen = Some((arranged, found));
            break;
        }
        arranged = if is_late { arranged.filled(BACK_OFF) } else { arranged.nearer_to_given() };
    }
    // nothing better that is as safe: the sheet's own, raw food lowest
    let (arranged, found) = match chosen {
        Some(chosen) => chosen,
        None => {
            let lowest = as_given.clone().raw_lowest(&raw);
            let found = if lowest == as_given { given.clone() } else { drawn(sheet, &lowest, draws)? };
            (lowest, found)
        }
    };
    let shelves = shelves(sheet, &arranged, draws)?;
    let raw_moved = !as_given.keeps_apart(&raw);
    Ok(Answer { shelves, raw_moved, ..answer(arranged, given, found, limit_s) })
}

/// Settings of the shelves for an arrangement, each drawn.
fn shelves(sheet: &Sheet, arranged: &Arranged, draws: Draws) -> Result<Option<Shelves>, ModelError> {
    let Some(Settings { given, gentlest, fastest }) = settings(&arranged.of(&sheet.load))? else { return Ok(None) };
    let drawn = |setting: Setting| -> Result<Drawn, ModelError> {
        // a thermostat that is off by so much is off by as much at any setting
        let set = |load: &Load| {
            let mut set_point = setting.set_point.clone();
            set_point.scale(warmest_k(load) / warmest_k(&sheet.load));
            heated(&arranged.of(load), set_point)
        };
        let build = |_, point: &Point| Ok(set(&sheet.at(point)?));
        let variants = draw(&Pairing { draws, independent: false }, &[set(&sheet.load)], build)?;
        let variant = variants.into_iter().next().ok_or(ModelError::Empty { what: "the list of loads" })?;
        Ok(Drawn { setting, variant })
    };
    Ok(Some(Shelves { given: drawn(given)?, gentlest: drawn(gentlest)?, fastest: drawn(fastest)? }))
}

/// A few draws more or less are chance.
const MORE_GRAVE: f64 = 0.03;

fn is_as_safe(found: &Variant, given: &Variant) -> bool {
    found.is_safe() || (found.is_frozen() && found.grave_chance() <= given.grave_chance() + MORE_GRAVE)
}

fn answer(arranged: Arranged, given: Variant, found: Variant, limit_s: Option<f64>) -> Answer {
    let against = |quantity| difference(&found, &given, quantity);
    let difference = Against {
        food_ready: against(Quantity::ReadyS),
        energy: against(Quantity::EnergyJ),
        dried_kg: against(Quantity::DriedKg),
        dried_kg_per_kwh: against(Quantity::DriedKgPerJ),
    };
    Answer { arranged, given, found, difference, limit_s, shelves: None, raw_moved: false }
}

fn drawn(sheet: &Sheet, arranged: &Arranged, draws: Draws) -> Result<Variant, ModelError> {
    let loads = [arranged.of(&sheet.load)];
    let build = |_, point: &Point| Ok(arranged.of(&sheet.at(point)?));
    let variants = draw(&Pairing { draws, independent: false }, &loads, build)?;
    variants.into_iter().next().ok_or(ModelError::Empty { what: "the list of loads" })
}

fn warmest_k(load: &Load) -> f64 {
    match &load.dryer {
        Dryer::Cabinet(cabinet) => cabinet.heater.set_point.warmest_k(),
        Dryer::Prescribed(_) => 1.0,
    }
}

fn ready_s(load: &Load) -> Result<f64, ModelError> {
    let variants = typical(std::slice::from_ref(load), None)?;
    Ok(variants.first().map_or(f64::INFINITY, |v| v.quantiles(Quantity::ReadyS).typical))
}
