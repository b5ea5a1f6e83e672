//! The file of a pantry: read whole, changed under a lock, replaced whole.
//!
//! Writers wait for each other at a lock file beside the pantry; the system lets go of the lock when its holder dies, so a
//! killed program leaves neither a lock nor half a line. Readers need no lock: they see the file before or after a change.

use std::fs::{File, OpenOptions, TryLockError};
use std::path::{Path, PathBuf};
use std::thread::sleep;
use std::time::{Duration, Instant};

use crate::failure::Failure;
use crate::pantry::entry::{Entry, Line};
use crate::pantry::layout::Layout;
use crate::pantry::lots::{Lot, lots};
use crate::pantry::table::{self, Table};
use crate::problem::{BadFile, Problems};
use crate::{input, output};

/// How long a writer waits for another.
const PATIENCE: Duration = Duration::from_secs(20);
const LOOK_AGAIN: Duration = Duration::from_millis(20);
const BYTE_ORDER_MARK: &str = "\u{feff}";

/// A pantry by its path.
#[derive(Clone, Debug)]
pub struct PantryFile {
    path: PathBuf,
}

/// Its text and what it tells.
struct Content {
    text: String,
    table: Table,
    lots: Vec<Lot>,
}

impl PantryFile {
    /// The pantry at this path, which need not be there yet.
    pub fn new(path: &Path) -> Self {
        Self { path: path.to_path_buf() }
    }

    /// What is in it, by what to eat first.
    pub fn lots(&self) -> Result<Vec<Lot>, Failure> {
        if !self.path.exists() {
            let reason = "no such file; `icefront store put` begins one".into();
            return Err(Failure::Unreadable { path: self.path.clone(), reason });
        }
        Ok(self.read()?.lots)
    }

    /// Adds the entries that `decide` gives for what is in it; their numbers.
    ///
    /// # Errors
    /// What `decide` says, a file that is wrong, or one that cannot be written; nothing is changed then.
    pub fn add(&self, decide: impl FnOnce(&[Lot]) -> Result<Vec<Entry>, Failure>) -> Result<Vec<u32>, Failure> {
        let unwritable = |e: &std::io::Error| Failure::unwritable(&self.path, e);
        // the lock is beside the pantry itself, whatever link leads there
        let target = output::followed(&self.path).map_err(|e| unwritable(&e))?;
        let folder = match target.parent() {
            Some(folder) if !folder.as_os_str().is_empty() => folder.to_path_buf(),
            _ => PathBuf::from("."),
        };
        let lock = self.lock(&folder, &target)?;
        let before = if target.exists() { Some(self.read()?) } else { None };
        let entries = decide(before.as_ref().map_or(&[], |content| &content.lots))?;
        let lines = before.as_ref().map_or(&[][..], |content| &content.table.lines);
        let layout = before.as_ref().map_or_else(Layout::default, |content| content.table.layout.clone());
        let mut text = before.as_ref().map_or_else(|| layout.header(), |content| content.text.clone());
        if !text.ends_with('\n') {
            text.push_str(if layout.crlf { "\r\n" } else { "\n" });
        }
        let next = lines.iter().map(|line: &Line| line.number).max().unwrap_or(0) + 1;
        let numbers: Vec<u32> = (next..).take(entries.len()).collect();
        for (number, entry) in numbers.iter().zip(&entries) {
            text.push_str(&layout.entry(*number, entry));
        }
        output::replace(&self.path, text.as_bytes())?;
        drop(lock);
        Ok(numbers)
    }

    /// Waits until no other writer is at it.
    fn lock(&self, folder: &Path, target: &Path) -> Result<File, Failure> {
        let name = target.file_name().map_or_else(String::new, |n| n.to_string_lossy().into_owned());
        let path = folder.join(format!(".{name}.lock"));
        let open = OpenOptions::new().create(true).truncate(false).write(true).open(&path);
        let file = open.map_err(|e| Failure::unwritable(&path, &e))?;
        let started = Instant::now();
        loop {
            match file.try_lock() {
                Ok(()) => return Ok(file),
                Err(TryLockError::WouldBlock) if started.elapsed() < PATIENCE => sleep(LOOK_AGAIN),
                Err(TryLockError::WouldBlock) => {
                    let reason = "another program has been changing it for 20 s; try again".into();
                    return Err(Failure::Unwritable { path: self.path.clone(), reason });
                }
                Err(TryLockError::Error(e)) => return Err(Failure::unwritable(&path, &e)),
            }
        }
    }

    fn read(&self) -> Result<Content, Failure> {
        let unreadable = |reason: String| Failure::Unreadable { path: self.path.clone(), reason };
        let bytes = input::read(&self.path, input::LARGEST_TABLE)?;
        let text = String::from_utf8(bytes).map_err(|e| {
            let good = e.as_bytes().iter().take(e.utf8_error().valid_up_to());
            let (line, column) =
                good.fold((1, 1), |(line, column), b| if *b == b'\n' { (line + 1, 1) } else { (line, column + 1) });
            unreadable(format!("line {line}, byte {column} is not UTF-8 text; save it as CSV in UTF-8"))
        })?;
        if text.contains('\0') {
            return Err(unreadable("it is not plain text; save it as CSV in UTF-8".into()));
        }
        let body = text.strip_prefix(BYTE_ORDER_MARK).unwrap_or(&text);
        let bad = |problems: Problems| {
            Failure::BadFiles(vec![BadFile { path: self.path.clone(), text: body.to_string(), problems }])
        };
        if body.trim().is_empty() {
            return Err(unreadable("it is empty; take it away, and `icefront store put` begins a new one".into()));
        }
        let table = table::read(body).map_err(bad)?;
        let lots = lots(&table.lines).map_err(bad)?;
        Ok(Content { text, table, lots })
    }
}
