//! Where files are kept: a folder of a disk, or memory for tests and for a page without a server.
//!
//! The kitchen reaches files through this trait alone; the disk stands behind it in `icefront-cli`.

use std::collections::BTreeMap;
use std::fmt::Debug;
use std::path::{Path, PathBuf};
use std::sync::{Mutex, MutexGuard, PoisonError};

use crate::Failure;

/// The path that stands for standard input, where there is one.
pub const STANDARD_INPUT: &str = "-";
/// Largest load sheet or dryer file, in bytes.
pub const LARGEST_SHEET: u64 = 1 << 20;
/// Largest table of readings, of batches, of packs or of weather, in bytes; a year of hours has two million.
pub const LARGEST_TABLE: u64 = 16 << 20;

/// Whether a path stands for standard input.
pub fn is_standard_input(path: &Path) -> bool {
    path.as_os_str() == STANDARD_INPUT
}

/// What stands at a path; links are not followed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Entry {
    /// Nothing.
    Missing,
    /// A plain file.
    File,
    /// A folder, a link or a device.
    Other,
}

/// Makes the new content of a file from the old one; `None` where there is no such file yet.
pub type Change<'a> = &'a mut dyn FnMut(Option<Vec<u8>>) -> Result<Vec<u8>, Failure>;

/// Files by their paths. A file is written whole or not at all.
pub trait Storage: Debug + Send + Sync {
    /// All bytes of a file.
    ///
    /// # Errors
    /// [`Failure::Unreadable`] for what is not a file, cannot be read or is larger than `largest` bytes.
    fn read(&self, path: &Path, largest: u64) -> Result<Vec<u8>, Failure>;

    /// The first bytes of a plain file, up to `most`; `None` if it cannot be read.
    fn head(&self, path: &Path, most: u64) -> Option<Vec<u8>>;

    /// What stands at a path.
    fn entry(&self, path: &Path) -> Entry;

    /// Names of what a folder contains, in order; none if it cannot be listed.
    fn names(&self, folder: &Path) -> Vec<String>;

    /// Writes a file; one that exists already is replaced only with `replace`.
    ///
    /// # Errors
    /// [`Failure::Exists`] and [`Failure::Unwritable`].
    fn write(&self, path: &Path, bytes: &[u8], replace: bool) -> Result<(), Failure>;

    /// Replaces a table of at most [`LARGEST_TABLE`] bytes by what `change` makes of it, while no other `update` changes it.
    ///
    /// # Errors
    /// What `change` says; then nothing is written. [`Failure::Unreadable`] and [`Failure::Unwritable`].
    fn update(&self, path: &Path, change: Change<'_>) -> Result<(), Failure>;
}

/// Files kept in memory.
#[derive(Debug, Default)]
pub struct Memory(Mutex<BTreeMap<PathBuf, Vec<u8>>>);

impl Memory {
    /// Some files.
    pub fn of(files: &[(&str, &str)]) -> Self {
        Self(Mutex::new(files.iter().map(|(path, text)| (path.into(), text.as_bytes().to_vec())).collect()))
    }

    /// Puts a file there, whatever was there before.
    pub fn put(&self, path: &Path, bytes: Vec<u8>) {
        self.files().insert(path.into(), bytes);
    }

    /// Removes a file.
    pub fn remove(&self, path: &Path) {
        self.files().remove(path);
    }

    fn files(&self) -> MutexGuard<'_, BTreeMap<PathBuf, Vec<u8>>> {
        self.0.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

impl Storage for Memory {
    fn read(&self, path: &Path, largest: u64) -> Result<Vec<u8>, Failure> {
        match self.files().get(path) {
            Some(bytes) if bytes.len() as u64 > largest => Err(too_large(path, largest)),
            Some(bytes) => Ok(bytes.clone()),
            None => Err(Failure::unreadable(path, "no such file or folder")),
        }
    }

    fn head(&self, path: &Path, most: u64) -> Option<Vec<u8>> {
        let mut bytes = self.files().get(path)?.clone();
        bytes.truncate(usize::try_from(most).unwrap_or(usize::MAX));
        Some(bytes)
    }

    fn entry(&self, path: &Path) -> Entry {
        if self.files().contains_key(path) { Entry::File } else { Entry::Missing }
    }

    fn names(&self, folder: &Path) -> Vec<String> {
        let inside = |path: &PathBuf| Some(path.strip_prefix(folder).ok()?.to_str()?.to_string());
        self.files().keys().filter_map(inside).filter(|name| !name.contains('/')).collect()
    }

    fn write(&self, path: &Path, bytes: &[u8], replace: bool) -> Result<(), Failure> {
        let mut files = self.files();
        if !replace && files.contains_key(path) {
            return Err(Failure::Exists { path: path.into() });
        }
        files.insert(path.into(), bytes.into());
        Ok(())
    }

    fn update(&self, path: &Path, change: Change<'_>) -> Result<(), Failure> {
        let mut files = self.files();
        let bytes = change(files.get(path).cloned())?;
        files.insert(path.into(), bytes);
        Ok(())
    }
}

/// A file that is larger than what is read.
pub fn too_large(path: &Path, largest: u64) -> Failure {
    let (size, unit) = if largest < 1 << 20 { (largest >> 10, "KiB") } else { (largest >> 20, "MiB") };
    Failure::unreadable(path, format!("it is larger than {size} {unit}, the largest that is read"))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn files_in_memory_keep_the_rules_of_a_disk() {
        let memory = Memory::of(&[("a/x.csv", "one"), ("b.csv", "two")]);
        assert_eq!(memory.names(Path::new("a")), ["x.csv"]);
        assert_eq!(memory.names(Path::new("")), ["b.csv"]);
        assert_eq!(memory.head(Path::new("b.csv"), 2).unwrap(), b"tw");
        let b = Path::new("b.csv");
        assert!(matches!(memory.write(b, b"three", false), Err(Failure::Exists { .. })));
        memory.update(b, &mut |old| Ok([old.unwrap(), b"!".to_vec()].concat())).unwrap();
        assert_eq!(memory.read(b, 4).unwrap(), b"two!");
        assert!(memory.read(b, 3).is_err() && memory.read(Path::new("c"), 9).is_err());
        memory.update(b, &mut |_| Err(Failure::Output("no".into()))).unwrap_err();
        assert_eq!(memory.read(b, 4).unwrap(), b"two!");
    }
}
