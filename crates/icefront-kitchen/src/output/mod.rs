//! Files are written whole or not at all, never over others unasked; a closed pipe on stdout is no error. All that goes to
//! a terminal goes through here.

pub mod shown;
pub mod temporary;
pub mod whole;

use std::collections::BTreeSet;
use std::io::{self, Write};
use std::path::{Path, PathBuf};
use std::sync::{Mutex, PoisonError};

use crate::failure::Failure;
use crate::style::Look;
pub use shown::{BOLD, NORMAL, is_control, shown};
use temporary::Temporary;
pub use whole::followed;
use whole::{Ready, or_here, with_new_folder};

/// Files that this program has written: what is said when the report of it cannot be shown.
static WRITTEN: Mutex<BTreeSet<PathBuf>> = Mutex::new(BTreeSet::new());

fn note_written(path: &Path) {
    WRITTEN.lock().unwrap_or_else(PoisonError::into_inner).insert(path.to_path_buf());
}

/// Writes a report to stdout. Whoever reads it may stop reading when they like.
pub fn print(text: &str) -> Result<(), Failure> {
    let mut out = io::stdout().lock();
    let clean = if Look::of(false, &out) == Look::Colour { shown::with_bold(text) } else { shown(text) };
    match out.write_all(clean.as_bytes()).and_then(|()| out.flush()) {
        Err(e) if e.kind() == io::ErrorKind::BrokenPipe => Ok(()),
        done => done.map_err(|e| unshown(&e)),
    }
}

/// A report that could not be shown, after files were written or before.
pub fn unshown(error: &io::Error) -> Failure {
    let written: Vec<PathBuf> = WRITTEN.lock().unwrap_or_else(PoisonError::into_inner).iter().cloned().collect();
    let reason = crate::failure::plain_reason(error);
    if written.is_empty() { Failure::Output(reason) } else { Failure::Unshown { written, reason } }
}

/// Writes a message to stderr. Where that cannot be written there is nobody to tell.
pub fn complain(message: &str, look: Look) {
    let mut out = io::stderr().lock();
    let clean = if look == Look::Colour { shown::with_colour(message) } else { shown(message) };
    let _nobody_reads = writeln!(out, "{clean}");
}

/// Targets in one folder, found writable before any work is done.
#[derive(Debug)]
pub struct Targets {
    folder: PathBuf,
    force: bool,
}

impl Targets {
    /// Checks that `names` can be written in `folder`, which need not be there yet.
    pub fn check(folder: &Path, names: &[&str], force: bool) -> Result<Self, Failure> {
        for path in names.iter().map(|name| folder.join(name)) {
            if path.is_dir() {
                return Err(Failure::Unwritable { path, reason: "a folder of that name is there".into() });
            }
            if path.exists() && !force {
                return Err(Failure::Exists { path });
            }
        }
        let there = folder.ancestors().map(or_here).find(|a| a.exists()).unwrap_or(Path::new("/"));
        Temporary::new(there).map_err(|e| Failure::unwritable(folder, &e))?;
        Ok(Self { folder: folder.to_path_buf(), force })
    }

    /// Checks that one file can be written; gives its name in its folder too.
    pub fn check_file(path: &Path, force: bool) -> Result<(Self, &str), Failure> {
        let name = path.file_name().and_then(|name| name.to_str());
        let nameless = || Failure::Unwritable { path: path.to_path_buf(), reason: "it names no file".into() };
        let name = name.ok_or_else(nameless)?;
        Ok((Self::check(path.parent().unwrap_or(Path::new("")), &[name], force)?, name))
    }

    /// The same for a picture, whose name must say that it is an SVG.
    pub fn check_svg(path: &Path, force: bool) -> Result<(Self, &str), Failure> {
        if !path.extension().is_some_and(|end| end.eq_ignore_ascii_case("svg")) {
            let reason = format!("`{}` does not end in .svg", path.display());
            return Err(Failure::BadValue {
                key: "--chart".into(),
                reason,
                allowed: "a name such as chart.svg".into(),
            });
        }
        Self::check_file(path, force)
    }

    /// Writes all files, first beside their places, then into them. A folder that is missing appears with its files.
    pub fn write(&self, files: &[(&str, &[u8])]) -> Result<(), Failure> {
        let folder = or_here(&self.folder);
        let begun = with_new_folder(folder, files).map_err(|e| Failure::unwritable(folder, &e))?;
        if !begun {
            self.write_into(folder, files)?;
        }
        files.iter().for_each(|(name, _)| note_written(&self.folder.join(name)));
        Ok(())
    }

    /// Writes into a folder that is there.
    fn write_into(&self, folder: &Path, files: &[(&str, &[u8])]) -> Result<(), Failure> {
        std::fs::create_dir_all(folder).map_err(|e| Failure::unwritable(folder, &e))?;
        let mut ready = Vec::with_capacity(files.len());
        for (name, bytes) in files {
            let path = self.folder.join(name);
            let written = Ready::new(&path, bytes, self.force).map_err(|e| Failure::unwritable(&path, &e))?;
            ready.push((written, path));
        }
        for (file, path) in ready {
            file.place().map_err(|e| match e.kind() {
                io::ErrorKind::AlreadyExists => Failure::Exists { path: path.clone() },
                _ => Failure::unwritable(&path, &e),
            })?;
        }
        Ok(())
    }
}

/// Puts a whole new content in the place of a file: after a crash or on a full disk there is either the old or the new.
pub fn replace(path: &Path, bytes: &[u8]) -> Result<(), Failure> {
    Ready::new(path, bytes, true).and_then(Ready::place).map_err(|e| Failure::unwritable(path, &e))?;
    note_written(path);
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_file_that_is_there_stays_unless_forced() {
        let folder = tempfile::tempdir().unwrap();
        let write = |force, text: &str| {
            Targets::check(folder.path(), &["a.txt"], force).and_then(|t| t.write(&[("a.txt", text.as_bytes())]))
        };
        write(false, "first").unwrap();
        assert!(matches!(write(false, "second"), Err(Failure::Exists { .. })));
        assert_eq!(std::fs::read_to_string(folder.path().join("a.txt")).unwrap(), "first");
        write(true, "third").unwrap();
        assert_eq!(std::fs::read_to_string(folder.path().join("a.txt")).unwrap(), "third");
        assert_eq!(std::fs::read_dir(folder.path()).unwrap().count(), 1, "no temporary file is left");
    }

    #[test]
    fn a_file_that_appears_after_the_check_stays() {
        let folder = tempfile::tempdir().unwrap();
        let targets = Targets::check(folder.path(), &["a.txt"], false).unwrap();
        std::fs::write(folder.path().join("a.txt"), "theirs").unwrap();
        assert!(matches!(targets.write(&[("a.txt", b"ours")]), Err(Failure::Exists { .. })));
        assert_eq!(std::fs::read_to_string(folder.path().join("a.txt")).unwrap(), "theirs");
    }
}
