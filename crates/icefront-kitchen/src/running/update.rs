//! What readings so far say of a run: when it is over, what it costs, why that changed, and what to read next.

use icefront_core::learning::{Effort, Errors, Misfit, misfit};
use icefront_core::load::Load;
use icefront_core::machine::Dryer;
use icefront_core::ranges::{Narrowing, Outcome, Point, Quantiles};
use icefront_core::result::BatchResult;
use serde::Serialize;

use crate::running::doubtful::{Doubtful, doubtful};
use crate::running::next;
use crate::running::weigh::weigh;
use crate::unknown::{self, Unknown};
use crate::{Failure, Readings, Sheet, format};

/// Quantiles before and after the readings.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Change {
    /// By the sheet alone.
    pub before: Quantiles,
    /// With the readings.
    pub after: Quantiles,
}

/// One tray.
#[derive(Clone, Debug, Serialize)]
pub struct Tray {
    /// Name, as in the sheet.
    pub tray: String,
    /// Food, as in the sheet.
    pub food: String,
    /// Wettest spot under the target, from the start.
    pub dry_at_s: Change,
}

/// Draws of an update.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Draws {
    /// Samples run.
    pub run: usize,
    /// As many equal samples would say as much.
    pub effective: f64,
    /// The same in the first round.
    pub effective_at_first: f64,
    /// Further rounds, drawn where the readings point.
    pub refreshed: usize,
    /// Samples left out because they could not be computed.
    pub refused: usize,
}

/// What readings say of something that was not known.
#[derive(Clone, Debug, Serialize)]
pub struct Shift {
    /// What, in words.
    pub what: String,
    /// Share of such machines, foods or trays in which it is lower, as now believed.
    pub rank: f64,
}

/// The answer.
#[derive(Clone, Debug)]
pub struct Answer {
    /// Time of the last reading, s from the start.
    pub now_s: f64,
    /// Whether the readings fit the model; `None` without readings.
    pub misfit: Option<Misfit>,
    /// Last ice gone, s from the start.
    pub last_ice_s: Change,
    /// Food ready, s from the start.
    pub ready_s: Change,
    /// Electricity of the whole run, J; `None` in a rig.
    pub energy_j: Option<Change>,
    /// Its cost; `None` without a price.
    pub cost: Option<Change>,
    /// Trays from the bottom.
    pub trays: Vec<Tray>,
    /// What is now believed of the unknowns that moved most, the most first.
    pub why: Vec<Shift>,
    /// The middle of what is now believed of all unknowns.
    pub believed: Point,
    /// Readings to take next, the best first.
    pub next: Vec<Narrowing>,
    /// Readings that do not go with the others and were left out.
    pub doubtful: Vec<Doubtful>,
    /// Whether the answer was widened because too few samples agree with the readings.
    pub uncertain: bool,
    /// How the ranges were drawn.
    pub draws: Draws,
}

/// An unknown must move this far, in standard deviations, to be reported: past three in four such.
const MOVED: f64 = 0.6745;
/// At most so many are reported.
const REPORTED: usize = 4;

/// When the last ice of the load is gone, s.
pub fn last_ice_s(o: &Outcome) -> f64 {
    o.trays.iter().map(|t| t.ice_gone_at_s).fold(0.0, f64::max)
}

/// Answers from a sheet, its typical run and readings.
pub fn update(
    sheet: &Sheet,
    typical: &BatchResult,
    readings: &Readings,
    errors: &Errors,
    effort: &Effort,
) -> Result<Answer, Failure> {
    let load = &sheet.load;
    let measurements = next::readings(load, typical, readings.until_s, errors);
    let updated = weigh(sheet, typical, readings, errors, effort, &measurements, |_| {})?;
    let change = |of: &dyn Fn(&Outcome) -> f64| {
        let before = updated.before(of);
        // without a reading the answer is that of `icefront plan`
        Change { before, after: if updated.used.is_empty() { before } else { updated.after(of) } }
    };
    let kwh = |o: &Outcome| format::kilowatt_hours(o.energy_j.total());
    let is_cabinet = matches!(load.dryer, Dryer::Cabinet(_));
    let price = load.tariff.price_per_kwh.filter(|_| is_cabinet);
    let misfit = if updated.used.is_empty() { None } else { Some(misfit(load, &readings.used, &updated)?) };
    let unknowns = updated.unknowns();
    Ok(Answer {
        now_s: readings.until_s,
        misfit,
        last_ice_s: change(&last_ice_s),
        ready_s: change(&|o| o.food_ready_s),
        energy_j: is_cabinet.then(|| change(&|o| o.energy_j.total())),
        cost: price.map(|price| change(&|o| price * kwh(o))),
        trays: trays(load, &change),
        why: why(sheet, &unknowns),
        believed: believed(sheet, &unknowns),
        next: next::rank(&updated, &measurements, |o| o.food_ready_s),
        doubtful: doubtful(load, readings, &updated),
        uncertain: updated.power < 1.0,
        draws: Draws {
            run: updated.draws.len(),
            effective: updated.effective,
            effective_at_first: updated.effective_at_first,
            refreshed: updated.refreshed,
            refused: updated.refused,
        },
    })
}

/// The middle of each unknown as a point.
fn believed(sheet: &Sheet, unknowns: &[(f64, f64)]) -> Point {
    let units: Vec<f64> = unknowns.iter().map(|(middle, _)| unknown::rank(*middle)).collect();
    let shared = sheet.unknowns().min(units.len());
    Point::of_trays(&units[..shared], &units[shared..])
}

fn trays(load: &Load, change: &impl Fn(&dyn Fn(&Outcome) -> f64) -> Change) -> Vec<Tray> {
    let tray = |(i, tray): (usize, &icefront_core::load::Tray)| Tray {
        tray: tray.name.clone(),
        food: tray.food.clone(),
        dry_at_s: change(&|o: &Outcome| o.trays[i].dry_at_s),
    };
    load.trays.iter().enumerate().map(tray).collect()
}

/// The unknowns that moved furthest from where they were.
fn why(sheet: &Sheet, unknowns: &[(f64, f64)]) -> Vec<Shift> {
    let all = sheet.own_unknowns().into_iter().chain(sheet.shared_unknowns());
    let mut moved: Vec<(f64, Unknown)> = all.zip(unknowns).map(|(unknown, (middle, _))| (*middle, unknown)).collect();
    moved.retain(|(middle, _)| middle.abs() >= MOVED);
    moved.sort_by(|a, b| b.0.abs().total_cmp(&a.0.abs()).then_with(|| a.1.name().cmp(&b.1.name())));
    moved.truncate(REPORTED);
    moved.into_iter().map(|(middle, unknown)| Shift { what: unknown.words(), rank: unknown::rank(middle) }).collect()
}
