//! Weather of a night, from a file of hours: text -> rows, checked -> the night the trays are out.

use crate::weather::{csv, epw};
use std::path::{Path, PathBuf};

use crate::Failure;
use crate::problem::{BadFile, Problems};
use crate::storage::{LARGEST_TABLE, Storage};
use crate::table::Findings;
use crate::weather::row::Row;

/// A file of hours that was read and found right.
#[derive(Clone, Debug)]
pub struct Weather {
    pub(super) path: PathBuf,
    pub(super) text: String,
    pub(super) rows: Vec<Row>,
    /// A typical year, whose years mean nothing.
    pub(super) typical_year: bool,
}

impl Weather {
    /// Reads a file and checks all of it.
    pub fn read(path: &Path, files: &dyn Storage) -> Result<Self, Failure> {
        Self::of(path.to_path_buf(), decode(path, files.read(path, LARGEST_TABLE)?)?)
    }

    /// Checks the text of a file.
    pub fn of(path: PathBuf, text: String) -> Result<Self, Failure> {
        let mut findings = Findings::default();
        let typical_year = epw::is_epw(&text);
        let rows = if typical_year { epw::read(&text, &mut findings) } else { csv::read(&text, &mut findings) };
        let weather = Self { path, text, rows, typical_year };
        if findings.is_empty() { Ok(weather) } else { Err(weather.bad(findings.into_problems())) }
    }

    /// The file with what is wrong with it.
    pub(super) fn bad(&self, problems: Problems) -> Failure {
        Failure::BadFiles(vec![BadFile { path: self.path.clone(), text: self.text.clone(), problems }])
    }
}

/// Whether a text looks like a file of hours, by its first lines.
pub fn is_weather(text: &str) -> bool {
    let text = text.trim_start_matches('\u{feff}');
    epw::is_epw(text) || csv::names_air(text)
}

/// A file as text. Names of places in older files are not UTF-8; all else is plain ASCII.
fn decode(path: &Path, bytes: Vec<u8>) -> Result<String, Failure> {
    let unreadable = |reason: &str| Failure::Unreadable { path: path.to_path_buf(), reason: reason.into() };
    if bytes.contains(&0) {
        return Err(unreadable("it is not plain text; save it as CSV with commas, in UTF-8"));
    }
    let text = String::from_utf8(bytes).unwrap_or_else(|e| e.as_bytes().iter().map(|byte| char::from(*byte)).collect());
    let text = text.trim_start_matches('\u{feff}').to_string();
    if text.trim().is_empty() { Err(unreadable("it is empty")) } else { Ok(text) }
}
