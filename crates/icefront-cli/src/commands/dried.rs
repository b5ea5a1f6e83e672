//! Arguments that the commands on a dried load share.

use std::path::PathBuf;

use clap::Args;
use icefront_core::ranges::Draws;

use crate::commands::draws::DrawArguments;
use crate::disk::Disk;
use icefront_kitchen::failure::Failure;
use icefront_kitchen::sheet::{self, Sheet, Text};
use icefront_kitchen::weather::clock::{Date, read_date};

/// A load and how often it is drawn.
#[derive(Debug, Args)]
pub struct DriedLoad {
    /// Load sheet; without it the invented demonstration load is taken.
    #[arg(value_name = "LOAD.toml")]
    load: Option<PathBuf>,
    #[command(flatten)]
    draws: DrawArguments,
}

impl DriedLoad {
    /// The name of the load and its sheet, checked.
    pub fn read(&self) -> Result<(String, Sheet), Failure> {
        read(&Text::read_or_demonstration(self.load.as_deref(), &Disk)?)
    }

    /// The requested draws.
    pub fn draws(&self) -> Draws {
        self.draws.draws()
    }
}

/// The name of a sheet's text and the sheet, checked.
pub fn read(text: &Text) -> Result<(String, Sheet), Failure> {
    Ok((text.name(), sheet::read(text, &Disk)?))
}

/// A day as the user writes it.
pub fn day(text: &str) -> Result<Date, String> {
    read_date(text).ok_or_else(|| "write the day as 2026-11-25".to_string())
}

/// Today's local date, unless the user gave another.
pub fn today(given: Option<Date>) -> Date {
    given.unwrap_or_else(crate::today::today)
}
