//! Readings of a run from a CSV file: text -> rows with their lines -> readings in SI, checked against the load. What
//! cannot be read, stands out of order or stands twice is refused; what cannot be true is set aside with its line.

pub mod column;
pub mod possible;
pub mod row;

pub use row::read as read_rows;

use std::path::{Path, PathBuf};

use icefront_core::learning::{Errors, Reading};
use icefront_core::load::Load;
use icefront_core::result::BatchResult;
use serde::Serialize;

use crate::problem::BadFile;
use crate::table::Findings;
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
    /// The others.
    pub set_aside: Vec<SetAside>,
    /// Time of the last line, s from the start of the run.
    pub until_s: f64,
}

impl Readings {
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

    /// Checks the text of a file against a load and its typical run.
    pub fn of(text: Text, load: &Load, typical: &BatchResult, errors: &Errors) -> Result<Self, Failure> {
        let mut findings = Findings::default();
        let rows = read_rows(&text.text, load, &mut findings);
        if rows.is_empty() && findings.is_empty() {
            let label = "nothing, or only the start, follows the header";
            findings.note("readings", &(0..0), "there is no reading", label, "");
        }
        if !findings.is_empty() {
            let problems = findings.into_problems();
            return Err(Failure::BadFiles(vec![BadFile { path: text.path, text: text.text, problems }]));
        }
        let until_s = rows.iter().map(|r| r.time_s).fold(0.0, f64::max);
        let (used, set_aside) = possible::sort(&rows, typical, errors);
        Ok(Self { path: text.path, used, set_aside, until_s })
    }
}
