//! Many loads at once, each on a thread of its own.

use std::num::NonZeroUsize;
use std::sync::atomic::{AtomicUsize, Ordering};
use std::sync::{Mutex, PoisonError};
use std::thread;

use icefront_core::ranges::Draws;
use icefront_kitchen::{Failure, json, plan};
use pyo3::prelude::*;
use pyo3::types::PyList;

use crate::failure::exception;
use crate::source::Source;

/// The answers to some loads in their order, each as JSON text or as an exception. An answer depends on its load, `samples`
/// and `seed` alone.
#[pyfunction]
pub fn sweep<'py>(
    py: Python<'py>,
    sources: Vec<Py<Source>>,
    samples: usize,
    seed: u32,
    threads: Option<NonZeroUsize>,
) -> PyResult<Bound<'py, PyList>> {
    let sources: Vec<Source> = sources.iter().map(|source| source.get().clone()).collect();
    let threads = threads.or_else(|| thread::available_parallelism().ok()).map_or(1, NonZeroUsize::get);
    let answers =
        py.detach(|| answers(&sources, threads, Draws { count: samples, seed, threads: NonZeroUsize::new(1) }));
    let list = PyList::empty(py);
    for answer in answers {
        match answer {
            Ok(json) => list.append(json)?,
            Err(failure) => list.append(exception(py, &failure)?.into_value(py))?,
        }
    }
    Ok(list)
}

type Answered = Result<String, Failure>;

fn answers(sources: &[Source], threads: usize, draws: Draws) -> Vec<Answered> {
    let next = AtomicUsize::new(0);
    let done: Mutex<Vec<(usize, Answered)>> = Mutex::new(Vec::with_capacity(sources.len()));
    thread::scope(|scope| {
        for _ in 0..threads.min(sources.len()) {
            scope.spawn(|| {
                while let (at, Some(source)) = {
                    let at = next.fetch_add(1, Ordering::Relaxed);
                    (at, sources.get(at))
                } {
                    let answered = answer(source, &draws);
                    done.lock().unwrap_or_else(PoisonError::into_inner).push((at, answered));
                }
            });
        }
    });
    let mut done = done.into_inner().unwrap_or_else(PoisonError::into_inner);
    done.sort_by_key(|(at, _)| *at);
    done.into_iter().map(|(_, answered)| answered).collect()
}

fn answer(source: &Source, draws: &Draws) -> Answered {
    let (_, sheet, _) = source.read()?;
    let run = plan::Run::of(&sheet, draws)?;
    Ok(json::text(&plan::answer(&run, None))?)
}
