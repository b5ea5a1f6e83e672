//! How much is computed at once: one computation per core, a short queue, and fewer draws where others wait.

use std::sync::Arc;
use std::sync::atomic::{AtomicBool, AtomicUsize, Ordering};
use std::thread;

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

/// Leave to compute, given back when dropped.
#[derive(Debug)]
pub struct Leave {
    _core: OwnedSemaphorePermit,
    _whole: Option<OwnedSemaphorePermit>,
    /// How many still wait.
    pub waiting: usize,
    /// Whether this is the one whole answer that may be computed now.
    pub whole: bool,
}

/// Too many wait already.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Busy;

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
    pub async fn enter(&self, whole: bool) -> Result<Leave, Busy> {
        let place = Place::take(&self.waiting)?;
        let core = Arc::clone(&self.cores).acquire_owned().await.map_err(|_| Busy)?;
        drop(place);
        let whole = whole.then(|| Arc::clone(&self.whole).try_acquire_owned().ok()).flatten();
        let waiting = self.waiting.load(Ordering::Relaxed);
        Ok(Leave { _core: core, whole: whole.is_some(), _whole: whole, waiting })
    }
}

/// Number of computations that run at once.
pub fn cores() -> usize {
    thread::available_parallelism().map_or(1, usize::from)
}

/// A place in the queue, given up when the request is gone.
struct Place<'a>(&'a AtomicUsize);

impl<'a> Place<'a> {
    fn take(waiting: &'a AtomicUsize) -> Result<Self, Busy> {
        let place = Self(waiting);
        if waiting.fetch_add(1, Ordering::Relaxed) >= MOST_WAITING { Err(Busy) } else { Ok(place) }
    }
}

impl Drop for Place<'_> {
    fn drop(&mut self) {
        self.0.fetch_sub(1, Ordering::Relaxed);
    }
}

/// Tells a computation that nobody waits for it any more: held by the request, dropped with it.
#[derive(Debug)]
pub struct Wanted(Arc<AtomicBool>);

impl Wanted {
    /// Wanted, and the flag to look at.
    pub fn new() -> (Self, Arc<AtomicBool>) {
        let flag = Arc::new(AtomicBool::new(true));
        (Self(Arc::clone(&flag)), flag)
    }
}

impl Drop for Wanted {
    fn drop(&mut self) {
        self.0.store(false, Ordering::Relaxed);
    }
}

#[cfg(test)]
mod tests {
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

    #[test]
    fn who_is_gone_is_no_longer_wanted() {
        let (wanted, flag) = Wanted::new();
        assert!(flag.load(Ordering::Relaxed));
        drop(wanted);
        assert!(!flag.load(Ordering::Relaxed));
    }
}
