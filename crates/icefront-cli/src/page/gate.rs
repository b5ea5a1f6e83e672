//! How much is computed at once: one computation per core, a short queue, and fewer draws where others wait.

use std::sync::Arc;
use std::sync::atomic::{AtomicUsize, Ordering};
use std::thread;

use icefront_core::stop::{self, Stop};
use tokio::sync::{OwnedSemaphorePermit, Semaphore};

/// Most requests that wait for a core; those beyond are turned away at once.
const MOST_WAITING: usize = 64;

/// The gate all computations pass.
#[derive(Debug)]
pub struct Gate {
    cores: Arc<Semaphore>,
    /// Whole answers take all cores for a while: one at a time.
    whole: Arc<Semaphore>,
    waiting: AtomicUsize,
}

/// Leave to compute, given back when dropped: by the thread that computes, once it has ended.
#[derive(Debug)]
pub struct Leave {
    _core: OwnedSemaphorePermit,
    whole: Option<OwnedSemaphorePermit>,
    waiting: usize,
}

impl Leave {
    /// How many still wait.
    pub fn waiting(&self) -> usize {
        self.waiting
    }

    /// Whether this is the one whole answer that may be computed now.
    pub fn is_whole(&self) -> bool {
        self.whole.is_some()
    }
}

/// Why there is no answer.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum NoAnswer {
    /// Too many wait already.
    Busy,
    /// The computation broke off.
    BrokeOff,
}

impl Gate {
    /// Open, for as many computations as there are cores.
    pub fn new() -> Self {
        Self {
            cores: Arc::new(Semaphore::new(cores())),
            whole: Arc::new(Semaphore::new(1)),
            waiting: AtomicUsize::new(0),
        }
    }

    /// Waits for a core. With `whole`, leave for a whole answer is given where no other is being computed.
    async fn enter(&self, whole: bool) -> Result<Leave, NoAnswer> {
        let place = Place::take(&self.waiting)?;
        let core = Arc::clone(&self.cores).acquire_owned().await.map_err(|_| NoAnswer::Busy)?;
        drop(place);
        let whole = whole.then(|| Arc::clone(&self.whole).try_acquire_owned().ok()).flatten();
        let waiting = self.waiting.load(Ordering::Relaxed);
        Ok(Leave { _core: core, whole, waiting })
    }

    /// Waits for a core, then does something on a thread of its own that computes or touches the disk. Where the request
    /// is abandoned, no further run is begun; the core is free again when the thread has ended, not before.
    pub async fn aside<T: Send + 'static>(
        &self,
        whole: bool,
        work: impl FnOnce(&Leave) -> T + Send + 'static,
    ) -> Result<T, NoAnswer> {
        let leave = self.enter(whole).await?;
        let wanted = Wanted::default();
        let abandoned = wanted.0.clone();
        let thread = tokio::task::spawn_blocking(move || {
            let done = stop::until(&abandoned, || work(&leave));
            drop(leave);
            done
        });
        let done = thread.await.map_err(|_| NoAnswer::BrokeOff);
        drop(wanted);
        done
    }
}

/// Number of computations that run at once.
pub fn cores() -> usize {
    thread::available_parallelism().map_or(1, usize::from)
}

/// A place in the queue, given up when the request is gone.
struct Place<'a>(&'a AtomicUsize);

impl<'a> Place<'a> {
    fn take(waiting: &'a AtomicUsize) -> Result<Self, NoAnswer> {
        let place = Self(waiting);
        if waiting.fetch_add(1, Ordering::Relaxed) >= MOST_WAITING { Err(NoAnswer::Busy) } else { Ok(place) }
    }
}

impl Drop for Place<'_> {
    fn drop(&mut self) {
        self.0.fetch_sub(1, Ordering::Relaxed);
    }
}

/// Held by a request: dropped with it, it stops what is computed for it.
#[derive(Debug, Default)]
struct Wanted(Stop);

impl Drop for Wanted {
    fn drop(&mut self) {
        self.0.ask();
    }
}

#[cfg(test)]
mod tests {
    use std::sync::mpsc;

    use icefront_core::ModelError;
    use icefront_core::ranges::by_index;

    use super::*;

    #[test]
    fn a_long_queue_is_turned_away_and_places_come_back() {
        let waiting = AtomicUsize::new(0);
        let places: Vec<_> =
            (0..MOST_WAITING).map(|_| Place::take(&waiting).unwrap_or_else(|_| panic!("full"))).collect();
        assert!(Place::take(&waiting).is_err());
        drop(places);
        assert_eq!(waiting.load(Ordering::Relaxed), 0);
    }

    /// Runs of a computation that would be far too many.
    const RUNS: usize = 1_000_000;

    #[test]
    fn abandoned_requests_stop_computing_and_then_make_room() {
        let runtime = tokio::runtime::Builder::new_multi_thread().worker_threads(2).build().unwrap();
        runtime.block_on(async {
            let gate = Arc::new(Gate::new());
            let (begins, begun) = mpsc::channel();
            let (ends, ended) = mpsc::channel();
            let requests: Vec<_> = (0..cores() + 4)
                .map(|_| {
                    let (gate, begins, ends) = (Arc::clone(&gate), begins.clone(), ends.clone());
                    tokio::spawn(async move {
                        let work = move |_: &Leave| {
                            let (goes_on, may_go_on) = mpsc::channel::<()>();
                            begins.send(goes_on).unwrap();
                            // the first run takes until the test lets it end
                            let held = std::sync::Mutex::new(may_go_on);
                            let runs = by_index(RUNS, std::num::NonZeroUsize::new(1), |_| {
                                let _over = held.lock().unwrap().recv();
                                Ok(())
                            });
                            let stopped = runs.iter().filter(|run| **run == Err(ModelError::Stopped)).count();
                            ends.send(RUNS - stopped).unwrap();
                        };
                        gate.aside(true, work).await
                    })
                })
                .collect();
            // as many as there are cores compute, each in its first run; the others wait
            let running: Vec<_> = (0..cores()).map(|_| begun.recv().unwrap()).collect();
            assert_eq!(gate.cores.available_permits(), 0);
            for request in &requests {
                request.abort();
            }
            for request in requests {
                assert!(request.await.unwrap_err().is_cancelled());
            }
            assert_eq!(gate.cores.available_permits(), 0, "threads that still compute keep their cores");
            assert_eq!(gate.whole.available_permits(), 0, "and the place of a whole answer");
            drop(running);
            let runs: Vec<usize> = (0..cores()).map(|_| ended.recv().unwrap()).collect();
            assert!(runs.iter().all(|runs| *runs <= 1), "no further run was begun: {runs:?}");
            drop((begins, ends));
            assert!(begun.recv().is_err(), "those that waited were never begun");
            let next = gate.aside(true, Leave::is_whole).await;
            assert!(next.is_ok(), "the page answers");
            assert_eq!(gate.waiting.load(Ordering::Relaxed), 0);
        });
    }
}
