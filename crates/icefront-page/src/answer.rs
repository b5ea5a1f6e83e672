//! The answer to a sheet: what `icefront plan` computes, or while something is dragged a few of the same samples.

use std::num::NonZeroUsize;
use std::time::Duration;

use icefront_core::decide::limits::Limits;
use icefront_core::ranges::{Draws, Outcome, Point, Quantiles, by_index};
use icefront_kitchen::plan::Run;
use icefront_kitchen::{Failure, Sheet, format, json, plan};

use crate::Settings;
use crate::anchor::{Anchor, Moved};

/// Samples of a first answer where others wait for the cores: as many of these as the time allows.
const QUICK_DRAWS: [usize; 3] = [16, 8, 0];
/// Time for such an answer.
const QUICK: Duration = Duration::from_millis(25);
/// From so many waiting on, the fewest samples are taken.
const CROWD: usize = 3;

/// How much is computed.
#[derive(Clone, Copy, Debug)]
pub enum Effort {
    /// All samples.
    Whole,
    /// What fits into a moment, less when others wait.
    Quick {
        /// How many wait.
        waiting: usize,
        /// Time since any fixed moment, to measure one run by.
        clock: fn() -> Duration,
    },
    /// This many samples, where the host measures time itself.
    Few(usize),
}

/// What belongs to an answer beside the sheet.
#[derive(Clone, Copy, Debug)]
pub struct Wanted<'a> {
    /// How much is computed.
    pub effort: Effort,
    /// Samples and seed.
    pub settings: Settings,
    /// The tray whose own range is shown.
    pub tray: Option<usize>,
    /// What the last whole answer left.
    pub anchor: Option<&'a Anchor>,
}

/// A sheet with what was computed of it.
#[derive(Debug)]
pub struct Answer {
    /// The sheet.
    pub sheet: Sheet,
    /// Its run, with the samples around it.
    pub run: Run,
    /// How many samples were computed.
    pub draws: usize,
    /// Whether these are all samples.
    pub whole: bool,
    /// The numbers in sight; `None` where no samples were computed.
    pub shown: Option<Moved>,
    /// What it leaves for what is dragged next.
    pub anchor: Option<Anchor>,
}

/// Computes a sheet.
pub fn answer(sheet: Sheet, wanted: &Wanted<'_>) -> Result<Answer, Failure> {
    let Wanted { effort, settings, tray, anchor } = *wanted;
    // alone on all cores, else on one
    let (few, threads) = match effort {
        Effort::Whole => return sampled(sheet, settings.draws, None, true, wanted),
        Effort::Quick { waiting, .. } => (waiting > CROWD, (waiting > 0).then_some(NonZeroUsize::MIN)),
        Effort::Few(draws) => (draws < Anchor::ANEW, None),
    };
    if let Some(anchor) = anchor
        && let Some(moved) = moved(&sheet, anchor, tray, few, settings, threads)?
    {
        let load = sheet.at(&Point::new(moved.middle.unwrap_or(0), settings.seed))?;
        let result = icefront_core::plan(&load)?;
        let run = Run { load, result, range: None, dishes: sheet.dishes.clone() };
        let draws = anchor.samples(few).len();
        let anchor = Some(anchor.clone());
        return Ok(Answer { sheet, run, draws, whole: false, shown: Some(moved), anchor });
    }
    let count = match effort {
        Effort::Whole => settings.draws,
        Effort::Few(draws) => draws,
        Effort::Quick { waiting, clock } => {
            let began = clock();
            icefront_core::plan(&sheet.load)?;
            quick_draws(clock().saturating_sub(began), waiting)
        }
    };
    sampled(sheet, count.min(settings.draws), threads, false, wanted)
}

/// The samples of an anchor, computed for this sheet.
fn moved(
    sheet: &Sheet,
    anchor: &Anchor,
    tray: Option<usize>,
    few: bool,
    settings: Settings,
    threads: Option<NonZeroUsize>,
) -> Result<Option<Moved>, Failure> {
    let samples = anchor.samples(few);
    let outcomes = by_index(samples.len(), threads, |index| {
        let sample = samples.get(index).copied().unwrap_or(0);
        let load = sheet.at(&Point::new(sample, settings.seed))?;
        let mut outcome = Outcome::of(&load, &icefront_core::plan(&load)?, &[]);
        outcome.draw = sample;
        Ok(outcome)
    });
    // a sample that cannot be computed now: fall back on others
    let outcomes: Result<Vec<Outcome>, _> = outcomes.into_iter().collect();
    Ok(outcomes.ok().and_then(|outcomes| anchor.moved(&outcomes, tray)))
}

fn sampled(
    sheet: Sheet,
    count: usize,
    threads: Option<NonZeroUsize>,
    whole: bool,
    wanted: &Wanted<'_>,
) -> Result<Answer, Failure> {
    let Wanted { settings, tray, .. } = *wanted;
    let run = Run::of(&sheet, &Draws { count, seed: settings.seed, threads })?;
    let tray = tray.filter(|tray| *tray < run.load.trays.len());
    let shown = run.range.as_ref().map(|range| Moved {
        ready_s: range.with_middle(|o| o.food_ready_s),
        kwh: range.with_middle(|o| format::kilowatt_hours(o.energy_j.total())),
        tray_s: tray.map(|tray| range.with_middle(|o| o.trays.get(tray).map_or(f64::INFINITY, |t| t.dry_at_s))),
        middle: None,
    });
    let cloud = run.range.as_ref().filter(|_| whole).map(|range| &range.cloud);
    let anchor = cloud.zip(shown).and_then(|(cloud, shown)| Anchor::of(cloud, shown));
    Ok(Answer { sheet, run, draws: count, whole, shown, anchor })
}

impl Answer {
    /// When the food is ready, s: with no samples the run itself.
    pub fn ready_s(&self) -> Quantiles {
        let result = &self.run.result;
        let finished = result.trays.iter().all(|tray| tray.dry_at_s.is_some());
        let run_s = if finished { result.food_ready_s() } else { f64::INFINITY };
        self.shown.map_or(Quantiles { low: run_s, typical: run_s, high: run_s }, |shown| shown.ready_s)
    }

    /// How near the machine is to its limits, which takes more runs; `None` without a machine.
    pub fn near(&self) -> Option<Limits> {
        self.run.limits(&self.sheet).ok().flatten()
    }

    /// The same as `icefront plan --json`.
    pub fn json(&self) -> Result<String, serde_json::Error> {
        json::text(&plan::answer(&self.run, self.near().as_ref()))
    }
}

/// Samples that fit into the time when one run takes this long and others wait.
fn quick_draws(one_run: Duration, waiting: usize) -> usize {
    let time = QUICK / (1 + waiting as u32);
    let fits = |draws: &usize| one_run * (*draws as u32 + 1) <= time;
    QUICK_DRAWS.into_iter().find(fits).unwrap_or(0)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn fewer_draws_where_time_is_short_or_others_wait() {
        let ms = Duration::from_millis;
        for (one_run, waiting, expected) in
            [(ms(1), 0, 16), (ms(2), 0, 8), (ms(1), 1, 8), (ms(2), 3, 0), (ms(900), 0, 0)]
        {
            assert_eq!(quick_draws(one_run, waiting), expected, "{one_run:?}, {waiting} waiting");
        }
    }
}
