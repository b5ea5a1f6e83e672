//! Work on all cores.

use std::sync::atomic::{AtomicUsize, Ordering};

/// Does `work` on all items; results in the order of the items, whatever the number of threads.
pub fn in_parallel<T: Sync, R: Send>(items: &[T], work: impl Fn(&T) -> R + Sync) -> Vec<R> {
    let next = AtomicUsize::new(0);
    let share = || {
        let taken = std::iter::from_fn(|| Some(next.fetch_add(1, Ordering::Relaxed)).filter(|at| *at < items.len()));
        taken.map(|at| (at, work(&items[at]))).collect::<Vec<_>>()
    };
    let threads = std::thread::available_parallelism().map_or(1, std::num::NonZero::get);
    let mut all = std::thread::scope(|scope| {
        let others: Vec<_> = (1..threads).map(|_| scope.spawn(share)).collect();
        let mut all = share();
        for other in others {
            match other.join() {
                Ok(done) => all.extend(done),
                Err(panicked) => std::panic::resume_unwind(panicked),
            }
        }
        all
    });
    all.sort_by_key(|(at, _)| *at);
    all.into_iter().map(|(_, result)| result).collect()
}
