//! The disk as [`Storage`]: files are written whole or not at all, and never over others unless that is requested.

pub mod input;
mod lock;
mod targets;
mod temporary;
mod whole;

use std::collections::BTreeSet;
use std::fs;
use std::io::{self, Read};
use std::path::{Path, PathBuf};
use std::sync::{Mutex, PoisonError};

use icefront_kitchen::Failure;
use icefront_kitchen::storage::{Change, Entry, LARGEST_TABLE, Storage};

pub use targets::Targets;
use whole::{Ready, or_here};

/// Files that this program has written: reported when its own report cannot be shown.
static WRITTEN: Mutex<BTreeSet<PathBuf>> = Mutex::new(BTreeSet::new());

fn note_written(path: &Path) {
    WRITTEN.lock().unwrap_or_else(PoisonError::into_inner).insert(path.to_path_buf());
}

/// Files that this program has written so far.
pub fn written() -> Vec<PathBuf> {
    WRITTEN.lock().unwrap_or_else(PoisonError::into_inner).iter().cloned().collect()
}

/// The disk; paths that are relative begin in the working folder.
#[derive(Clone, Copy, Debug)]
pub struct Disk;

impl Storage for Disk {
    fn read(&self, path: &Path, largest: u64) -> Result<Vec<u8>, Failure> {
        input::read(path, largest)
    }

    fn head(&self, path: &Path, most: u64) -> Option<Vec<u8>> {
        let mut bytes = Vec::new();
        fs::File::open(path).ok()?.take(most).read_to_end(&mut bytes).ok()?;
        Some(bytes)
    }

    fn entry(&self, path: &Path) -> Entry {
        match fs::symlink_metadata(path) {
            Ok(about) if about.is_file() => Entry::File,
            Ok(_) => Entry::Other,
            Err(_) => Entry::Missing,
        }
    }

    fn names(&self, folder: &Path) -> Vec<String> {
        let Ok(entries) = fs::read_dir(or_here(folder)) else { return Vec::new() };
        let mut names: Vec<String> = entries.filter_map(|e| e.ok()?.file_name().into_string().ok()).collect();
        names.sort();
        names
    }

    fn write(&self, path: &Path, bytes: &[u8], replace: bool) -> Result<(), Failure> {
        let (targets, name) = Targets::check_file(path, replace)?;
        targets.write(&[(name, bytes)])
    }

    fn update(&self, path: &Path, change: Change<'_>) -> Result<(), Failure> {
        let unwritable = |e: io::Error| Failure::unwritable(path, &e);
        // the lock is beside the file itself, whatever link leads there
        let target = whole::followed(path).map_err(unwritable)?;
        let _lock = lock::beside(&target, path)?;
        let old = match fs::metadata(&target) {
            Err(e) if e.kind() == io::ErrorKind::NotFound => None,
            Err(e) => return Err(unwritable(e)),
            Ok(_) => Some(input::read(path, LARGEST_TABLE)?),
        };
        let new = change(old)?;
        Ready::new(path, &new, true).and_then(Ready::place).map_err(unwritable)?;
        note_written(path);
        Ok(())
    }
}
