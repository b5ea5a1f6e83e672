//! Arguments that all commands on a dried load share.

use std::num::NonZeroUsize;
use std::path::PathBuf;

use clap::Args;
use icefront_core::ranges::Draws;

use crate::failure::Failure;
use crate::sheet::{self, Sheet};
use crate::weather::clock::Date;

/// A load and how often it is drawn.
#[derive(Debug, Args)]
pub struct DriedLoad {
    /// Load sheet; without it the invented demonstration load is taken.
    #[arg(value_name = "LOAD.toml")]
    load: Option<PathBuf>,
    /// How many draws make the ranges; 0 takes the typical numbers alone.
    #[arg(long, value_name = "N", default_value_t = 128, value_parser = clap::value_parser!(u32).range(0..=1_000_000))]
    draws: u32,
    /// Seed of the draws; the same seed gives the same answer.
    #[arg(long, value_name = "N", default_value_t = 1)]
    seed: u32,
    /// Threads for the draws; the answer does not depend on it. Default: one per core.
    #[arg(long, value_name = "N")]
    threads: Option<NonZeroUsize>,
}

impl DriedLoad {
    /// The name of the load and its sheet, checked.
    pub fn read(&self) -> Result<(String, Sheet), Failure> {
        read(&match &self.load {
            Some(path) => sheet::Text::read(path)?,
            None => sheet::demonstration(),
        })
    }

    /// The draws asked for.
    pub fn draws(&self) -> Draws {
        Draws { count: self.draws as usize, seed: self.seed, threads: self.threads }
    }
}

/// The name of a sheet's text and the sheet, checked.
pub fn read(text: &sheet::Text) -> Result<(String, Sheet), Failure> {
    Ok((text.path.display().to_string(), sheet::read(text)?))
}

/// A day as the user writes it.
pub fn day(text: &str) -> Result<Date, String> {
    Date::read(text).ok_or_else(|| "write the day as 2026-11-25".to_string())
}

/// Today by the computer's clock, in universal time, unless the user said otherwise.
pub fn today(told: Option<Date>) -> Date {
    let since = std::time::SystemTime::now().duration_since(std::time::UNIX_EPOCH);
    told.unwrap_or_else(|| Date::of(since.map_or(0.0, |s| s.as_secs_f64())))
}
