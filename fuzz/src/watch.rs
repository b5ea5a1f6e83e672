//! One piece of work under watch: what it panicked with, how much processor time and memory it took; and a watchdog for
//! work that does not end.

use std::cell::Cell;
use std::collections::HashMap;
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::path::PathBuf;
use std::sync::{Mutex, Once, PoisonError};
use std::thread::{self, ThreadId};
use std::time::{Duration, Instant};

use crate::case::Case;

/// What a piece of work took.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Spent {
    /// Processor time of this thread. Threads that the work started itself are not counted.
    pub cpu: Duration,
    /// Most memory that this thread held at once beyond what it held before, bytes.
    pub peak_bytes: u64,
}

thread_local! {
    static WATCHED: Cell<bool> = const { Cell::new(false) };
}

static LAST_PANIC: Mutex<String> = Mutex::new(String::new());
static HOOK: Once = Once::new();

/// Does the work; the error says how it panicked, and where.
///
/// # Errors
/// If it panicked.
pub fn watched<T>(work: impl FnOnce() -> T) -> Result<(T, Spent), String> {
    HOOK.call_once(note_panics);
    let mut done = None;
    let before = cpu_time();
    let memory = allocation_counter::measure(|| {
        let outer = WATCHED.replace(true);
        done = Some(catch_unwind(AssertUnwindSafe(work)));
        WATCHED.set(outer);
    });
    let cpu = cpu_time().saturating_sub(before);
    match done {
        Some(Ok(value)) => Ok((value, Spent { cpu, peak_bytes: memory.bytes_max })),
        _ => Err(format!("it panicked: {}", last_panic())),
    }
}

/// The last panic of any thread: its words and place.
pub fn last_panic() -> String {
    LAST_PANIC.lock().unwrap_or_else(PoisonError::into_inner).clone()
}

/// Panics of watched work are kept, not printed; all others are printed as ever.
fn note_panics() {
    let printed = std::panic::take_hook();
    std::panic::set_hook(Box::new(move |panic| {
        let words = words(panic.payload());
        let place = panic.location().map_or_else(String::new, |place| format!(" at {}:{}", place.file(), place.line()));
        *LAST_PANIC.lock().unwrap_or_else(PoisonError::into_inner) = format!("{words}{place}");
        if !WATCHED.get() {
            printed(panic);
        }
    }));
}

/// Processor time of this thread so far.
#[cfg(unix)]
fn cpu_time() -> Duration {
    let time = rustix::time::clock_gettime(rustix::time::ClockId::ThreadCPUTime);
    Duration::new(time.tv_sec.unsigned_abs(), u32::try_from(time.tv_nsec).unwrap_or(0))
}

/// Time, where the processor time of a thread cannot be told.
#[cfg(not(unix))]
fn cpu_time() -> Duration {
    static START: std::sync::OnceLock<Instant> = std::sync::OnceLock::new();
    START.get_or_init(Instant::now).elapsed()
}

/// Ends the process when one case never ends or memory grows without limit, and keeps the cases at work then.
#[derive(Debug)]
pub struct Watchdog {
    at_work: Mutex<HashMap<ThreadId, (Instant, Duration, Case)>>,
    found: PathBuf,
}

/// Memory of the whole process beyond which it is ended, bytes.
const MOST_MEMORY_BYTES: u64 = 2 << 30;
/// How often it looks.
const LOOK: Duration = Duration::from_millis(100);
/// A case may wait this many times as long as it may compute: other programs want the processor too.
const PATIENCE: u32 = 60;
/// Exit code of a process that was ended this way.
const ENDED: i32 = 3;

impl Watchdog {
    /// One that writes what it finds into a folder.
    pub fn new(found: PathBuf) -> Self {
        Self { at_work: Mutex::default(), found }
    }

    /// Watches until the process ends.
    pub fn watch(self: std::sync::Arc<Self>) {
        thread::spawn(move || {
            loop {
                thread::sleep(LOOK);
                self.look();
            }
        });
    }

    /// This thread begins a case that may compute for so long.
    pub fn begin(&self, case: &Case, limit: Duration) {
        let mut at_work = self.at_work.lock().unwrap_or_else(PoisonError::into_inner);
        at_work.insert(thread::current().id(), (Instant::now(), limit, case.clone()));
    }

    /// This thread is done with it.
    pub fn end(&self) {
        self.at_work.lock().unwrap_or_else(PoisonError::into_inner).remove(&thread::current().id());
    }

    fn look(&self) {
        let at_work = self.at_work.lock().unwrap_or_else(PoisonError::into_inner);
        let memory = memory_bytes();
        let endless = at_work.values().any(|(began, limit, _)| began.elapsed() > *limit * PATIENCE);
        if !endless && memory <= MOST_MEMORY_BYTES {
            return;
        }
        eprintln!("a case does not end, or memory grows without limit ({} MiB); the cases at work:", memory >> 20);
        for (k, (began, _, case)) in at_work.values().enumerate() {
            let folder = self.found.join(format!("endless-{}-{k}", std::process::id()));
            let kept = case.write(&folder);
            eprintln!("  {} after {:.1} s: {kept:?}", folder.display(), began.elapsed().as_secs_f64());
        }
        std::process::exit(ENDED);
    }
}

/// Memory that the process has in use; 0 where it cannot be told.
fn memory_bytes() -> u64 {
    const KIB: u64 = 1024;
    let status = std::fs::read_to_string("/proc/self/status").unwrap_or_default();
    let line = status.lines().find_map(|line| line.strip_prefix("VmRSS:"));
    line.and_then(|line| line.trim().strip_suffix("kB")?.trim().parse::<u64>().ok()).map_or(0, |kib| kib * KIB)
}

/// The words of a panic, where it has any.
fn words(payload: &(dyn std::any::Any + Send)) -> &str {
    let text = payload.downcast_ref::<String>().map(String::as_str);
    text.or_else(|| payload.downcast_ref::<&str>().copied()).unwrap_or("without words")
}
