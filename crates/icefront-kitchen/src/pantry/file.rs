//! The file of a pantry: read whole, and replaced whole with lines added.

use std::path::{Path, PathBuf};

use crate::Failure;
use crate::pantry::entry::{COLUMNS, Entry, Line};
use crate::pantry::lots::{Lot, lots};
use crate::pantry::table::{self, Table};
use crate::problem::{BadFile, Problems};
use crate::storage::{self, LARGEST_TABLE, Storage};

const BYTE_ORDER_MARK: &str = "\u{feff}";

/// A pantry by its path.
#[derive(Clone, Copy, Debug)]
pub struct PantryFile<'a> {
    path: &'a Path,
    files: &'a dyn Storage,
}

/// Its text and what it says.
#[derive(Default)]
struct Content {
    text: String,
    table: Table,
    lots: Vec<Lot>,
}

impl<'a> PantryFile<'a> {
    /// The pantry at this path, which need not exist yet.
    pub fn new(path: &'a Path, files: &'a dyn Storage) -> Self {
        Self { path, files }
    }

    /// What is in it, by what to eat first; nothing where it does not exist yet.
    pub fn lots(&self) -> Result<Vec<Lot>, Failure> {
        if self.files.entry(self.path) == storage::Entry::Missing {
            return Ok(Vec::new());
        }
        Ok(self.content(self.files.read(self.path, LARGEST_TABLE)?)?.lots)
    }

    /// Adds the entries that `decide` gives for what is in it; their numbers.
    ///
    /// # Errors
    /// What `decide` says, a file that is wrong, or one that cannot be written; nothing is changed then.
    pub fn add(&self, mut decide: impl FnMut(&[Lot]) -> Result<Vec<Entry>, Failure>) -> Result<Vec<u32>, Failure> {
        let mut numbers = Vec::new();
        self.files.update(self.path, &mut |old| {
            let Content { mut text, table: Table { lines, layout, .. }, lots } = match old {
                Some(bytes) => self.content(bytes)?,
                None => Content { text: format!("{COLUMNS}\n"), ..Content::default() },
            };
            let entries = decide(&lots)?;
            if !text.ends_with('\n') {
                text.push_str(if layout.crlf { "\r\n" } else { "\n" });
            }
            let next = lines.iter().map(|line: &Line| line.number).max().unwrap_or(0) + 1;
            numbers = (next..).take(entries.len()).collect();
            for (number, entry) in numbers.iter().zip(&entries) {
                text.push_str(&layout.entry(*number, entry));
            }
            Ok(text.into_bytes())
        })?;
        Ok(numbers)
    }

    fn unreadable(&self, reason: impl Into<String>) -> Failure {
        Failure::unreadable(self.path, reason)
    }

    fn content(&self, bytes: Vec<u8>) -> Result<Content, Failure> {
        let text = String::from_utf8(bytes).map_err(|e| {
            let good = e.as_bytes().iter().take(e.utf8_error().valid_up_to());
            let (line, column) =
                good.fold((1, 1), |(line, column), b| if *b == b'\n' { (line + 1, 1) } else { (line, column + 1) });
            self.unreadable(format!("line {line}, byte {column} is not UTF-8 text; save it as CSV in UTF-8"))
        })?;
        if text.contains('\0') {
            return Err(self.unreadable("it is not plain text; save it as CSV in UTF-8"));
        }
        let body = text.strip_prefix(BYTE_ORDER_MARK).unwrap_or(&text);
        let bad = |problems: Problems| {
            Failure::BadFiles(vec![BadFile { path: PathBuf::from(self.path), text: body.to_string(), problems }])
        };
        if body.trim().is_empty() {
            return Err(self.unreadable("it is empty; delete it, and `icefront store put` makes a new one"));
        }
        let table = table::read(body).map_err(bad)?;
        let lots = lots(&table.lines).map_err(bad)?;
        Ok(Content { text, table, lots })
    }
}
