//! A file as text, then as a table: missing file, folder, wrong encoding, empty, not TOML.

use std::path::{Path, PathBuf};

use toml::Spanned;
use toml::de::DeTable;

use crate::failure::Failure;
use crate::problem::{BadFile, Problem, Problems};
use crate::quantity::KeyPath;
use crate::sheet::change::{self, Change};
use crate::sheet::entries::Entries;
use crate::sheet::schema::Table;
use crate::sheet::section::{Notes, Section};
use crate::sheet::{bounds, printable};
use crate::shown::shown;
use crate::storage::{self, Storage};

/// A file that was read and found right.
#[derive(Clone, Debug)]
pub struct Checked<T> {
    /// What was made of it, uncertain quantities at their typical values.
    pub made: T,
    /// Its entries, of which a draw makes the same with other values.
    pub entries: Entries,
    /// Its uncertain quantities, in the order of their numbers in a drawn point.
    pub given: Vec<KeyPath>,
}

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
        Self::decode(path, bytes, "it is empty; its columns are listed in docs/learning.md")
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

    /// Reads all entries of the file, some of them replaced, and makes something of them.
    ///
    /// # Errors
    /// All problems of the file, those that `make` notes included.
    pub fn check<T>(
        &self,
        schema: &'static Table,
        changes: &[Change],
        make: impl FnOnce(&Section<'_>) -> Option<T>,
    ) -> Result<Checked<T>, BadFile> {
        let mut problems = Problems::default();
        let (mut table, syntax) = parse(&self.text);
        change::apply(table.get_mut(), changes);
        for error in &syntax {
            let title = format!("this is not TOML: {}", error.message());
            problems.add(Problem::new(error.span().unwrap_or(0..0), title, "here", None));
        }
        if syntax.is_empty() {
            bounds::check(table.get_ref(), &mut problems);
        }
        let within_bounds = problems.is_empty();
        printable::check(table.get_ref(), &mut problems);
        let entries = if within_bounds { Entries::of_file(table.get_ref(), schema, &mut problems) } else { None };
        let notes = Notes::new(problems, None);
        let made = entries.as_ref().and_then(|entries| make(&Section::new(entries, &notes)));
        let (problems, given) = notes.finish();
        match (made, entries) {
            (Some(made), Some(entries)) if problems.is_empty() => Ok(Checked { made, entries, given }),
            _ => Err(BadFile { path: self.path.clone(), text: self.text.clone(), problems }),
        }
    }
}

/// A text as TOML, with all errors; of a long text only the first, since one that is no TOML may have an error at every byte.
fn parse(text: &str) -> (Spanned<DeTable<'_>>, Vec<toml::de::Error>) {
    if text.len() <= bounds::ALL_ERRORS {
        return DeTable::parse_recoverable(text);
    }
    match DeTable::parse(text) {
        Ok(table) => (table, Vec::new()),
        Err(first) => (Spanned::new(0..0, DeTable::new()), vec![first]),
    }
}
