//! The answer to a sheet: what `icefront plan` computes, with as many draws as there is time for.

use std::num::NonZeroUsize;
use std::time::Duration;

use icefront_core::decide::limits::Limits;
use icefront_core::ranges::Draws;

use icefront_kitchen::plan::Run;
use icefront_kitchen::{Failure, Sheet, json, plan};

use crate::Settings;

/// Draws while something is dragged: as many of these as the time allows.
const QUICK_DRAWS: [usize; 3] = [16, 8, 0];
/// Time for an answer while something is dragged.
const QUICK: Duration = Duration::from_millis(25);

/// How much is computed.
#[derive(Clone, Copy, Debug)]
pub enum Effort {
    /// All draws.
    Whole,
    /// What fits into a moment, less when others wait.
    Quick {
        /// How many wait.
        waiting: usize,
        /// Time since any fixed moment, to measure one run by.
        clock: fn() -> Duration,
    },
    /// This many draws, where the host measures time itself.
    Few(usize),
}

/// A sheet with what was computed of it.
#[derive(Debug)]
pub struct Answer {
    /// The sheet.
    pub sheet: Sheet,
    /// Its run, with the draws around it.
    pub run: Run,
    /// How near the machine is to its limits; `None` if that was not computed or there is no machine.
    pub near: Option<Limits>,
    /// How many draws were made.
    pub draws: usize,
    /// Whether these are all draws.
    pub whole: bool,
}

/// Computes a sheet.
pub fn answer(sheet: Sheet, effort: Effort, settings: Settings) -> Result<Answer, Failure> {
    let now = || if let Effort::Quick { clock, .. } = effort { clock() } else { Duration::ZERO };
    let began = now();
    let (count, threads) = match effort {
        Effort::Whole => (settings.draws, None),
        Effort::Few(draws) => (draws.min(settings.draws), None),
        // alone on all cores, else on one
        Effort::Quick { waiting, .. } => {
            icefront_core::plan(&sheet.load)?;
            (quick_draws(now().saturating_sub(began), waiting), (waiting > 0).then_some(NonZeroUsize::MIN))
        }
    };
    let run = Run::of(&sheet, &Draws { count, seed: settings.seed, threads })?;
    let whole = matches!(effort, Effort::Whole);
    let near = if whole { run.limits()? } else { None };
    Ok(Answer { sheet, run, near, draws: count, whole })
}

impl Answer {
    fn as_plan(&self) -> plan::Answer {
        plan::answer(&self.run, self.near.as_ref())
    }

    /// The same as `icefront plan --json`.
    pub fn json(&self) -> Result<String, serde_json::Error> {
        json::text(&self.as_plan())
    }

    /// The same as a value.
    pub fn value(&self) -> Result<serde_json::Value, serde_json::Error> {
        json::value(&self.as_plan())
    }
}

/// Draws that fit into the time when one run takes this long and others wait.
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
