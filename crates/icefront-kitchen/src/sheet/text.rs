//! A file as text: wrong encoding, empty.

use std::path::{Path, PathBuf};

use crate::Failure;
use crate::shown::shown;
use crate::storage::{self, Storage};

/// A text with the name it goes by in messages.
#[derive(Clone, Debug, PartialEq)]
pub struct Text {
    /// File as the user named it.
    pub path: PathBuf,
    /// All of it.
    pub text: String,
}

impl Text {
    /// Its name as it is shown.
    pub fn name(&self) -> String {
        shown(&self.path.display().to_string()).into_owned()
    }

    /// Reads a sheet or a dryer file; `-` is standard input.
    pub fn read(path: &Path, files: &dyn Storage) -> Result<Self, Failure> {
        Self::of_sheet(path, files.read(path, storage::LARGEST_SHEET)?)
    }

    /// The bytes of a sheet or a dryer file as text.
    pub fn of_sheet(path: &Path, bytes: Vec<u8>) -> Result<Self, Failure> {
        Self::decode(path, bytes, "it is empty; `icefront new` writes a sheet to start from")
    }

    /// Reads a table of readings or of batches; `-` is standard input.
    pub fn read_table(path: &Path, files: &dyn Storage) -> Result<Self, Failure> {
        Self::of_table(path, files.read(path, storage::LARGEST_TABLE)?)
    }

    /// The bytes of a table of readings or of batches as text.
    pub fn of_table(path: &Path, bytes: Vec<u8>) -> Result<Self, Failure> {
        Self::decode(path, bytes, "it is empty; its columns are listed in docs/guide/during.md and learning.md")
    }

    fn decode(path: &Path, bytes: Vec<u8>, empty: &str) -> Result<Self, Failure> {
        let path = if storage::is_standard_input(path) { Path::new("standard input") } else { path };
        let unreadable = |reason: String| Failure::Unreadable { path: path.to_path_buf(), reason };
        let text = String::from_utf8(bytes).map_err(|e| {
            let good = e.utf8_error().valid_up_to();
            let line = 1 + e.as_bytes()[..good].iter().filter(|b| **b == b'\n').count();
            unreadable(format!("line {line} is not UTF-8 text; save the file as plain text in UTF-8"))
        })?;
        if text.trim().is_empty() {
            return Err(unreadable(empty.into()));
        }
        Ok(Self { path: path.to_path_buf(), text: text.trim_start_matches('\u{feff}').to_string() })
    }

    /// Reads a file, or takes the invented load where none is named.
    pub fn read_or_demonstration(path: Option<&Path>, files: &dyn Storage) -> Result<Self, Failure> {
        path.map_or_else(|| Ok(crate::sheet::demonstration()), |path| Self::read(path, files))
    }
}
