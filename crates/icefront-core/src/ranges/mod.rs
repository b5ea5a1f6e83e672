//! Uncertainty: the same run many times with drawn inputs, and the quantiles of the answers.
//!
//! The physics takes plain numbers and knows nothing of this module. A point of a low-discrepancy sequence gives one
//! number in 0..1 per unknown; [`Spread`] turns it into a value, [`ModelSpread`] puts the model's own unknowns into a
//! load, and [`draw`] runs the loads on all cores. The same seed gives the same bytes on any number of threads.
//!
//! # References
//! Owen-scrambled Sobol points: Burley 2020, JCGT 9(4); quantile estimator: Harrell and Davis 1982.

mod measure;
mod model_spread;
mod never;
mod outcome;
mod spread;
mod uncertain;
mod value;

pub use measure::{Measurement, Tool, measurements};
pub use model_spread::{FoodParameter, MachineParameter, ModelSpread, Parameter};
pub use outcome::{Cloud, Outcome, Quantiles, TrayOutcome};
pub use spread::Spread;
pub use uncertain::Uncertain;
pub use value::{Narrowing, expected_narrowing, narrowing_of};

use std::collections::BTreeSet;
use std::num::NonZeroUsize;
use std::panic::resume_unwind;
use std::sync::Arc;
use std::thread;

use serde::{Deserialize, Serialize};

use crate::error::ModelError;
use crate::load::Load;
use crate::stop;

/// How many draws, from which seed, on how many threads.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Draws {
    /// Number of draws.
    pub count: usize,
    /// Seed; another seed gives another, equally good cloud.
    pub seed: u32,
    /// Threads; `None`: one per core.
    pub threads: Option<NonZeroUsize>,
}

impl Default for Draws {
    /// 256 draws of seed 1, on all cores.
    fn default() -> Self {
        Self { count: 256, seed: 1, threads: None }
    }
}

/// One point: a number in 0..1 for each unknown.
#[derive(Clone, Debug)]
pub struct Point(Numbers);

#[derive(Clone, Debug)]
enum Numbers {
    /// Of the sequence.
    Sequence { index: u32, seed: u32 },
    /// Given one by one: those of all trays, and from [`OWN_FIRST`] on those of single trays.
    Given { shared: Arc<[f64]>, own: Arc<[f64]> },
    /// Those of all trays given, those of single trays of another point.
    Replaced { shared: Arc<[f64]>, rest: Arc<Point> },
}

/// First number of a point that belongs to a single tray: beyond all unknowns that are shared.
pub(crate) const OWN_FIRST: usize = 4096;

/// Dimensions that one set of the sequence holds; further unknowns take a set with another seed.
const DIMENSIONS: u32 = sobol_burley::NUM_DIMENSIONS;

impl Point {
    /// Point `index` of the cloud of `seed`.
    pub fn new(index: usize, seed: u32) -> Self {
        Self(Numbers::Sequence { index: index as u32, seed })
    }

    /// A point given by its numbers; unknowns beyond them are in their middle.
    pub fn given(numbers: impl Into<Arc<[f64]>>) -> Self {
        Self::of_trays(numbers, [])
    }

    /// A point given by its numbers, with one for each tray.
    pub fn of_trays(shared: impl Into<Arc<[f64]>>, own: impl Into<Arc<[f64]>>) -> Self {
        Self(Numbers::Given { shared: shared.into(), own: own.into() })
    }

    /// This point with the numbers of all trays replaced; those of single trays stay.
    #[must_use]
    pub fn replaced(&self, shared: impl Into<Arc<[f64]>>) -> Self {
        Self(Numbers::Replaced { shared: shared.into(), rest: Arc::new(self.clone()) })
    }

    /// The number for an unknown, strictly between 0 and 1.
    pub fn unit(&self, unknown: usize) -> f64 {
        let u = match &self.0 {
            Numbers::Sequence { index, seed } => {
                let unknown = unknown as u32;
                let set = seed.wrapping_add((unknown / DIMENSIONS).wrapping_mul(0x9e37_79b9));
                f64::from(sobol_burley::sample(*index, unknown % DIMENSIONS, set))
            }
            Numbers::Given { own, .. } if unknown >= OWN_FIRST => own.get(unknown - OWN_FIRST).copied().unwrap_or(0.5),
            Numbers::Replaced { rest, .. } if unknown >= OWN_FIRST => rest.unit(unknown),
            Numbers::Given { shared, .. } | Numbers::Replaced { shared, .. } => {
                shared.get(unknown).copied().unwrap_or(0.5)
            }
        };
        // f32 steps of 2^-24: keep away from the ends
        u.clamp(1e-7, 1.0 - 1e-7)
    }
}

/// Runs `count` drawn loads and gathers their outcomes in the order of the points.
///
/// `build` makes the load of a point. Draws that fail (the model refuses them, or a step does not settle) are left out
/// and counted in [`Cloud::refused`].
///
/// # Errors
/// The first failure if more than half of the samples fail.
pub fn draw(
    draws: &Draws,
    measurements: &[Measurement],
    build: impl Fn(&Point) -> Result<Load, ModelError> + Sync,
) -> Result<Cloud, ModelError> {
    Cloud::of(by_index(draws.count, draws.threads, |index| {
        let load = build(&Point::new(index, draws.seed))?;
        Ok(Outcome { draw: index, ..Outcome::of(&load, &crate::plan(&load)?, measurements) })
    }))
}

/// Draws what the model does not know of a load, and what `set` draws of it: it puts its own unknowns, whose number is
/// `own`, into the load.
///
/// # Errors
/// As [`draw`].
pub fn draw_load(
    load: &Load,
    draws: &Draws,
    own: usize,
    set: impl Fn(&mut Load, &Point) + Sync,
) -> Result<Cloud, ModelError> {
    let model = ModelSpread::of(load, &BTreeSet::new());
    draw(draws, &[], |point| {
        let mut load = load.clone();
        set(&mut load, point);
        model.apply(&mut load, point, own);
        Ok(load)
    })
}

/// `one` of each number from 0 to `count`, on all cores, in order; the answer does not depend on the threads. With one
/// thread nothing is spawned, so that it works where threads do not exist. A panic in `one` goes on to the caller.
///
/// # Errors
/// In the place of each number what `one` says; [`ModelError::Stopped`] for those that [`stop`] came before.
pub fn by_index<T: Send>(
    count: usize,
    threads: Option<NonZeroUsize>,
    one: impl Fn(usize) -> Result<T, ModelError> + Sync,
) -> Vec<Result<T, ModelError>> {
    let threads = threads.or_else(|| thread::available_parallelism().ok()).map_or(1, NonZeroUsize::get);
    let threads = threads.min(count.max(1));
    let one = &|index| stop::check().and_then(|()| one(index));
    if threads == 1 {
        return (0..count).map(one).collect();
    }
    // thread k takes every threads-th number, so that slow ones spread evenly
    let parts: Vec<Vec<Result<T, ModelError>>> = thread::scope(|scope| {
        let stop = stop::in_force();
        let workers: Vec<_> = (0..threads)
            .map(|k| {
                let stop = stop.clone();
                let part = move || (k..count).step_by(threads).map(one).collect::<Vec<_>>();
                scope.spawn(move || stop::within(stop, part))
            })
            .collect();
        workers.into_iter().map(|w| w.join().unwrap_or_else(|panic| resume_unwind(panic))).collect()
    });
    let mut parts: Vec<_> = parts.into_iter().map(Vec::into_iter).collect();
    (0..count).filter_map(|index| parts[index % threads].next()).collect()
}

/// Of a number of draws, how many may fail (the model refuses them, or a step does not settle) before what is left says
/// nothing of the load.
pub(crate) fn most_failed(count: usize) -> usize {
    count / 2
}

/// Whether so many draws failed that the reader of a range must know: more than one in a hundred.
pub fn failures_matter(failed: usize, count: usize) -> bool {
    failed * 100 > count
}

#[cfg(test)]
mod tests {
    use std::num::NonZeroUsize;
    use std::panic::{AssertUnwindSafe, catch_unwind};
    use std::thread;

    use super::{by_index, failures_matter};

    fn threads(count: usize) -> Option<NonZeroUsize> {
        NonZeroUsize::new(count)
    }

    #[test]
    fn one_thread_is_the_callers_own() {
        let here = thread::current().id();
        let ran_on = by_index(5, threads(1), |_| Ok(thread::current().id()));
        assert!(ran_on.into_iter().all(|id| id == Ok(here)));
        let ran_on = by_index(1, threads(8), |_| Ok(thread::current().id()));
        assert_eq!(ran_on, [Ok(here)]);
    }

    #[test]
    fn the_order_is_that_of_the_numbers_on_any_thread_count() {
        for count in [1, 2, 3, 7] {
            let numbers: Vec<usize> = by_index(10, threads(count), Ok).into_iter().map(Result::unwrap).collect();
            assert_eq!(numbers, (0..10).collect::<Vec<_>>(), "{count} threads");
        }
    }

    #[test]
    fn a_panic_in_a_worker_goes_on_to_the_caller() {
        let run =
            || by_index(4, threads(2), |index| if index == 3 { panic!("a fault of the program") } else { Ok(()) });
        let panic = catch_unwind(AssertUnwindSafe(run)).unwrap_err();
        assert_eq!(panic.downcast_ref::<&str>(), Some(&"a fault of the program"));
    }

    #[test]
    fn one_failure_in_a_hundred_is_not_worth_a_word() {
        assert!(!failures_matter(1, 100) && failures_matter(2, 100) && failures_matter(1, 16));
    }
}
