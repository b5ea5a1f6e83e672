//! Readings of a run from a CSV file: text -> rows with their lines -> readings in SI, checked against the load. What
//! cannot be read, stands out of order or stands twice is refused; what cannot be true is set aside with its line.

pub mod column;
mod header;
pub mod help;
pub mod interruption;
pub mod possible;
pub mod row;
mod slip;
pub mod when;

pub use interruption::{Interruption, Stop};
pub use row::read as read_rows;

use std::path::{Path, PathBuf};

use icefront_core::learning::{Errors, Reading};
use icefront_core::load::Load;
use icefront_core::result::{BatchResult, Stage};
use icefront_core::units::UnitSystem;
use serde::Serialize;

use crate::problem::BadFile;
use crate::table::Findings;
use crate::weather::clock::Clock;
use crate::{Failure, Storage, Text};
use row::Row;

/// A reading that cannot be true and is not used.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct SetAside {
    /// Its line in the file.
    pub line: usize,
    /// Why.
    pub reason: String,
}

/// The readings of a run.
#[derive(Clone, Debug)]
pub struct Readings {
    /// The file.
    pub path: PathBuf,
    /// Those that can be true, in their order.
    pub used: Vec<Reading>,
    /// What each would be if two digits next to each other had been swapped, SI.
    pub slips: Vec<Vec<f64>>,
    /// The line of each of them.
    pub lines: Vec<usize>,
    /// The others.
    pub set_aside: Vec<SetAside>,
    /// Time of the last line, s from the start of the run, without the interruptions.
    pub until_s: f64,
    /// Times at which the run stood still.
    pub interruptions: Vec<Interruption>,
    /// Clock of the start, s after midnight or after 1970-01-01 00:00, where it is known.
    pub started_s: Option<f64>,
    /// Units to answer in: those of the load, or where it leaves them open those in which the cook measured.
    pub units: UnitSystem,
}

/// What is known of a run beside its readings.
#[derive(Clone, Copy, Debug, Default)]
pub struct Beside {
    /// Time of day at which it was started.
    pub start: Option<Clock>,
    /// Whether the sheet leaves open in which units to answer.
    pub units_are_open: bool,
}

impl Readings {
    /// How long the run stood still up to the last line, s.
    pub fn stood_s(&self) -> f64 {
        self.interruptions.iter().map(|i| i.for_s).sum()
    }

    /// Reads a file and checks it against a load and its typical run.
    pub fn read(
        path: &Path,
        files: &dyn Storage,
        load: &Load,
        typical: &BatchResult,
        errors: &Errors,
    ) -> Result<Self, Failure> {
        Self::of(Text::read_table(path, files)?, load, typical, errors)
    }

    /// The same with what is known beside the file.
    ///
    /// # Errors
    /// All that is wrong with the file.
    pub fn read_from(
        path: &Path,
        files: &dyn Storage,
        load: &Load,
        typical: &BatchResult,
        errors: &Errors,
        beside: Beside,
    ) -> Result<Self, Failure> {
        Self::of_text(Text::read_table(path, files)?, load, typical, errors, beside)
    }

    /// Checks the text of a file against a load and its typical run.
    pub fn of(text: Text, load: &Load, typical: &BatchResult, errors: &Errors) -> Result<Self, Failure> {
        Self::of_text(text, load, typical, errors, Beside::default())
    }

    fn of_text(
        text: Text,
        load: &Load,
        typical: &BatchResult,
        errors: &Errors,
        beside: Beside,
    ) -> Result<Self, Failure> {
        let mut findings = Findings::default();
        let lines = row::read_from(&text.text, load, typical.stage_s[Stage::Freezing], beside.start, &mut findings);
        let rows = lines.rows;
        if rows.is_empty() && lines.interruptions.is_empty() && findings.is_empty() {
            let label = "nothing, or only the start, follows the header";
            findings.note("readings", &(0..0), "there is no reading", label, "");
        }
        if !findings.is_empty() {
            let problems = findings.into_problems();
            return Err(Failure::BadFiles(vec![BadFile { path: text.path, text: text.text, problems }]));
        }
        let stood_s: f64 = lines.interruptions.iter().map(|i| (lines.until_s - i.from_s).clamp(0.0, i.for_s)).sum();
        let until_s = (lines.until_s - stood_s).max(0.0);
        let (interruptions, started_s) = (lines.interruptions, lines.started_s);
        let units = lines.units.filter(|_| beside.units_are_open).unwrap_or(load.units);
        let (used, set_aside) = possible::sort(rows, load, typical, errors, units);
        let lines = used.iter().map(|row| row.line).collect();
        let (used, slips) = used.into_iter().map(|row| (row.reading, row.slips)).unzip();
        Ok(Self { path: text.path, used, slips, lines, set_aside, until_s, interruptions, started_s, units })
    }
}
