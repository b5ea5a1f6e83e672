//! Files in memory, as the host keeps them, and which of them were written.

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};

use icefront_kitchen::Failure;
use icefront_kitchen::storage::{Change, Entry, Memory, Storage};

use crate::message::File;

/// The files; clones are the same files.
#[derive(Clone, Debug, Default)]
pub struct Files(Arc<Kept>);

#[derive(Debug, Default)]
struct Kept {
    memory: Memory,
    written: Mutex<BTreeSet<PathBuf>>,
}

impl Files {
    /// Takes over what changed elsewhere.
    pub fn bring(&self, files: Vec<File>) {
        for (name, content) in files {
            match content {
                Some(bytes) => self.0.memory.put(Path::new(&name), bytes),
                None => self.0.memory.remove(Path::new(&name)),
            }
        }
    }

    /// The files that were written since this was last asked for.
    pub fn take_written(&self) -> Vec<File> {
        let written = std::mem::take(&mut *self.written());
        let file = |path: PathBuf| (path.to_string_lossy().into_owned(), self.0.memory.read(&path, u64::MAX).ok());
        written.into_iter().map(file).collect()
    }

    fn written(&self) -> MutexGuard<'_, BTreeSet<PathBuf>> {
        self.0.written.lock().unwrap_or_else(PoisonError::into_inner)
    }

    fn note(&self, path: &Path, done: Result<(), Failure>) -> Result<(), Failure> {
        if done.is_ok() {
            self.written().insert(path.into());
        }
        done
    }
}

impl Storage for Files {
    fn read(&self, path: &Path, largest: u64) -> Result<Vec<u8>, Failure> {
        self.0.memory.read(path, largest)
    }

    fn head(&self, path: &Path, most: u64) -> Option<Vec<u8>> {
        self.0.memory.head(path, most)
    }

    fn entry(&self, path: &Path) -> Entry {
        self.0.memory.entry(path)
    }

    fn names(&self, folder: &Path) -> Vec<String> {
        self.0.memory.names(folder)
    }

    fn write(&self, path: &Path, bytes: &[u8], replace: bool) -> Result<(), Failure> {
        self.note(path, self.0.memory.write(path, bytes, replace))
    }

    fn update(&self, path: &Path, change: Change<'_>) -> Result<(), Failure> {
        self.note(path, self.0.memory.update(path, change))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_was_written_is_given_once() {
        let files = Files::default();
        files.bring(vec![("a".into(), Some(b"1".to_vec())), ("b".into(), Some(b"2".to_vec()))]);
        assert!(files.take_written().is_empty(), "the host has these already");
        files.write(Path::new("c"), b"3", false).unwrap();
        files.write(Path::new("a"), b"4", false).unwrap_err();
        assert_eq!(files.take_written(), [("c".to_string(), Some(b"3".to_vec()))]);
        assert!(files.take_written().is_empty());
        files.bring(vec![("b".into(), None)]);
        assert_eq!(files.names(Path::new("")), ["a", "c"]);
    }
}
