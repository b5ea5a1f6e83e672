//! Giving up: long computations are many runs, and none begins once nobody waits for the answer any more.
//!
//! [`until`] puts a [`Stop`] in force for the work of a thread; [`crate::ranges::by_index`] hands it on to its own threads.
//! A run that has begun is finished, so a computation ends within the time of one run on each thread.

use std::cell::RefCell;
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};

use crate::error::ModelError;

thread_local! {
    /// The one in force on this thread.
    static IN_FORCE: RefCell<Option<Stop>> = const { RefCell::new(None) };
}

/// Asks computations to stop; all clones are the same request.
#[derive(Clone, Debug, Default)]
pub struct Stop(Arc<AtomicBool>);

impl Stop {
    /// No run begins from now on.
    pub fn ask(&self) {
        self.0.store(true, Ordering::Relaxed);
    }

    /// Whether that was requested.
    pub fn is_requested(&self) -> bool {
        self.0.load(Ordering::Relaxed)
    }
}

/// Does `work`; once `stop` is requested, its runs end in [`ModelError::Stopped`].
pub fn until<T>(stop: &Stop, work: impl FnOnce() -> T) -> T {
    within(Some(stop.clone()), work)
}

/// The one in force on this thread, to be handed on to others.
pub(crate) fn in_force() -> Option<Stop> {
    IN_FORCE.with_borrow(Clone::clone)
}

/// Does `work` with this one in force, then puts back what was.
pub(crate) fn within<T>(stop: Option<Stop>, work: impl FnOnce() -> T) -> T {
    /// Puts back, also where `work` panics.
    struct Before(Option<Stop>);
    impl Drop for Before {
        fn drop(&mut self) {
            IN_FORCE.set(self.0.take());
        }
    }
    let _before = Before(IN_FORCE.replace(stop));
    work()
}

/// Refuses to begin a run that nobody waits for.
pub(crate) fn check() -> Result<(), ModelError> {
    let requested = IN_FORCE.with_borrow(|stop| stop.as_ref().is_some_and(Stop::is_requested));
    if requested { Err(ModelError::Stopped) } else { Ok(()) }
}

#[cfg(test)]
mod tests {
    use std::num::NonZeroUsize;
    use std::sync::atomic::AtomicUsize;

    use super::*;
    use crate::ranges::by_index;

    #[test]
    fn no_run_begins_after_it_was_asked_on_any_thread() {
        for threads in [1, 3] {
            let (stop, begun) = (Stop::default(), AtomicUsize::new(0));
            let runs = until(&stop, || {
                by_index(1000, NonZeroUsize::new(threads), |_| {
                    if begun.fetch_add(1, Ordering::Relaxed) == 9 {
                        stop.ask();
                    }
                    Ok(())
                })
            });
            let begun = begun.into_inner();
            assert!(begun <= 10 + 2 * threads, "{begun} runs were begun on {threads} threads");
            assert_eq!(runs.iter().filter(|run| **run == Err(ModelError::Stopped)).count(), 1000 - begun);
            assert_eq!(check(), Ok(()), "it is over with the work");
        }
    }

    #[test]
    fn what_was_in_force_comes_back() {
        let (outer, inner) = (Stop::default(), Stop::default());
        inner.ask();
        until(&outer, || {
            assert_eq!(until(&inner, check), Err(ModelError::Stopped));
            assert_eq!(check(), Ok(()));
            assert!(std::panic::catch_unwind(|| until(&inner, || std::panic::resume_unwind(Box::new(())))).is_err());
            assert_eq!(check(), Ok(()));
        });
    }
}
