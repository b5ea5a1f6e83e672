//! A file as text, then as a table: missing file, folder, wrong encoding, empty, not TOML.

use std::path::{Path, PathBuf};

use toml::Spanned;
use toml::de::DeTable;

use crate::failure::Failure;
use crate::problem::{BadFile, Notes, Problem};
use crate::sheet::change::{self, Change};
use crate::sheet::rough::{Pick, Rough};
use crate::sheet::schema::Table;
use crate::sheet::section::Section;
use crate::sheet::{bounds, printable};
use crate::shown::shown;
use crate::storage::{self, Storage};

/// How a file is read.
#[derive(Clone, Debug)]
pub struct Reading<'a> {
    /// How rough quantities are picked.
    pub pick: Pick,
    /// Places of rough quantities that come first in the numbering.
    pub numbering: &'a [String],
    /// Values put in place of the file's own.
    pub changes: &'a [Change],
}

impl Reading<'_> {
    /// The file as it stands, rough quantities at the middle of their distributions.
    pub const TYPICAL: Self = Self { pick: Pick::Typical, numbering: &[], changes: &[] };
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

    /// Reads the table with `check`, in a certain way; gives the places of rough quantities too. All problems noted on
    /// the way are the error.
    pub fn check<T>(
        &self,
        reading: &Reading<'_>,
        check: impl FnOnce(Root<'_>) -> Option<T>,
    ) -> Result<(T, Vec<String>), BadFile> {
        let notes = Notes::new(Rough::new(reading.pick.clone(), reading.numbering));
        let (mut table, syntax) = parse(&self.text);
        change::apply(table.get_mut(), reading.changes);
        for error in &syntax {
            let span = error.span().unwrap_or(0..0);
            notes.add(Problem { span, title: syntax_title(error.message()), label: "here".into(), help: None });
        }
        if syntax.is_empty() && matches!(reading.pick, Pick::Typical) {
            // once, not in every draw
            bounds::check(table.get_ref(), &notes);
        }
        let within_bounds = notes.is_empty();
        if matches!(reading.pick, Pick::Typical) {
            printable::check(table.get_ref(), &notes);
        }
        let checked = if within_bounds { check(Root { table: table.get_ref(), notes: &notes }) } else { None };
        match (checked, notes.finish()) {
            (Some(checked), (problems, rough)) if problems.is_empty() => Ok((checked, rough)),
            (_, (problems, _)) => Err(BadFile { path: self.path.clone(), text: self.text.clone(), problems }),
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

fn syntax_title(message: &str) -> String {
    format!("this is not TOML: {message}")
}

/// The whole of a file.
#[derive(Clone, Copy, Debug)]
pub struct Root<'a> {
    table: &'a DeTable<'a>,
    notes: &'a Notes,
}

impl<'a> Root<'a> {
    /// Its top table, once its version is found to be 1.
    pub fn open(self, schema: &'static Table) -> Option<Section<'a>> {
        Section::top(self.table, schema, self.notes)
    }
}
