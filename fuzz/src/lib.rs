//! Every reader of icefront against files that nobody would write: no panic, no answer later than a second, no number
//! in an answer that is none.
//!
//! On a stable toolchain and from a seed: the same seed makes the same files. `fuzz/corpus/<reader>/` holds good files to
//! break and nasty ones that were found or thought of; a test runs them all and a short round of broken ones.

mod mutate;

use std::panic::{AssertUnwindSafe, catch_unwind};
use std::path::Path;
use std::time::{Duration, Instant};

use fastrand::Rng;
use icefront_cli::readers::{Reader, plan};
use icefront_core::result::BatchResult;

/// Longest that one file may take.
const LONGEST: Duration = Duration::from_secs(1);

/// What is done with a file.
#[derive(Clone, Copy, Debug)]
pub enum Target {
    /// It is read by one reader.
    Read(&'static Reader),
    /// It is read as a load sheet and planned.
    Plan,
}

impl Target {
    /// All targets.
    pub fn all() -> Vec<Self> {
        Reader::ALL.iter().map(Self::Read).chain([Self::Plan]).collect()
    }

    /// Its name, also that of its corpus.
    pub fn name(self) -> &'static str {
        match self {
            Self::Read(reader) => reader.name,
            Self::Plan => "plan",
        }
    }

    /// Good and nasty files to begin with.
    ///
    /// # Errors
    /// If they cannot be read.
    pub fn corpus(self) -> std::io::Result<Vec<Vec<u8>>> {
        let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("corpus").join(self.name());
        let mut paths: Vec<_> = std::fs::read_dir(folder)?.map(|f| f.map(|f| f.path())).collect::<Result<_, _>>()?;
        paths.sort();
        paths.iter().map(std::fs::read).collect()
    }

    /// Does it with one file; `Ok(true)` where the file was taken, `Ok(false)` where it was refused in words.
    ///
    /// # Errors
    /// What is wrong with the program: a panic, a long wait, a number that is none.
    pub fn hold(self, bytes: &[u8]) -> Result<bool, String> {
        // on a busy machine anything may take long once
        let mut found = self.hold_once(bytes);
        for _ in 0..2 {
            if matches!(found, Ok((_, took)) if took > LONGEST) {
                found = self.hold_once(bytes);
            }
        }
        match found? {
            (_, took) if took > LONGEST => Err(format!("it took {:.1} s", took.as_secs_f64())),
            (taken, _) => Ok(taken),
        }
    }

    fn hold_once(self, bytes: &[u8]) -> Result<(bool, Duration), String> {
        // files that are not UTF-8 are refused before any reader sees them
        let text = String::from_utf8_lossy(bytes);
        let start = Instant::now();
        let done = catch_unwind(AssertUnwindSafe(|| match self {
            Self::Read(reader) => Ok((reader.read)(&text).is_ok()),
            Self::Plan => plan(&text).map_or(Ok(false), |result| sound(&result).map(|()| true)),
        }));
        let took = start.elapsed();
        done.map_err(|_| "it panicked".to_owned())?.map(|taken| (taken, took))
    }

    /// One more file for it.
    pub fn file(self, corpus: &[Vec<u8>], rng: &mut Rng) -> Vec<u8> {
        match self {
            Self::Read(_) => mutate::broken(corpus, rng),
            // good sheets for the most part: broken ones never come to the plan
            Self::Plan => mutate::nudged(&corpus[rng.usize(..corpus.len())], rng),
        }
    }
}

/// Holds `count` files from `seed` against a target; how many of them were taken.
///
/// # Errors
/// The first file that the program could not bear, and what happened.
pub fn round(target: Target, corpus: &[Vec<u8>], count: u64, seed: u64) -> Result<u64, (Vec<u8>, String)> {
    let mut rng = Rng::with_seed(seed);
    let mut taken = 0;
    for _ in 0..count {
        let bytes = target.file(corpus, &mut rng);
        match target.hold(&bytes) {
            Ok(good) => taken += u64::from(good),
            Err(what) => return Err((bytes, what)),
        }
    }
    Ok(taken)
}

/// Whether every number of an answer is one, and none is impossible.
fn sound(result: &BatchResult) -> Result<(), String> {
    let energy = result.energy_j();
    let mut numbers: Vec<(&str, f64, f64)> = vec![
        ("total time", result.total_s(), f64::MAX),
        ("compressor", energy.compressor, f64::MAX),
        ("vacuum pump", energy.vacuum_pump, f64::MAX),
        ("heaters", energy.heaters, f64::MAX),
        ("water left", result.water.left_kg, result.water.loaded_kg * (1.0 + 1e-9)),
        ("pressure", result.machine.max_pressure_pa, 2e5),
        ("error of mass", result.balance.mass_rel.abs(), 1e-6),
    ];
    for tray in &result.trays {
        numbers.push(("moisture", tray.wettest_wet_frac, 1.0));
        numbers.push(("front", tray.front_max_k, 500.0));
        numbers.push(("dried food", tray.dried_max_k, 600.0));
    }
    match numbers.iter().find(|(_, value, most)| !(*value >= -1e-9 && value <= most)) {
        Some((what, value, most)) => Err(format!("{what} is {value}, not between 0 and {most}")),
        None => Ok(()),
    }
}
