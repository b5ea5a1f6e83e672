//! Files are written whole or not at all, never over others unasked; a closed pipe on stdout is no error.

use std::io::{self, Write};
use std::path::{Path, PathBuf};

use tempfile::NamedTempFile;

use crate::failure::Failure;

/// Writes text to stdout. Whoever reads it may stop reading when they like.
pub fn print(text: &str) -> Result<(), Failure> {
    let mut out = io::stdout().lock();
    match out.write_all(text.as_bytes()).and_then(|()| out.flush()) {
        Err(e) if e.kind() == io::ErrorKind::BrokenPipe => Ok(()),
        done => Ok(done?),
    }
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
        temporary(there).map_err(|e| Failure::unwritable(folder, &e))?;
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

    /// Writes all files, first beside their places, then into them.
    pub fn write(&self, files: &[(&str, &[u8])]) -> Result<(), Failure> {
        let folder = or_here(&self.folder);
        std::fs::create_dir_all(folder).map_err(|e| Failure::unwritable(folder, &e))?;
        let mut ready = Vec::with_capacity(files.len());
        for (name, bytes) in files {
            let path = self.folder.join(name);
            let written = temporary(folder).and_then(|mut file| {
                file.write_all(bytes)?;
                file.as_file().sync_all()?;
                Ok(file)
            });
            ready.push((written.map_err(|e| Failure::unwritable(&path, &e))?, path));
        }
        for (file, path) in ready {
            let placed = if self.force { file.persist(&path) } else { file.persist_noclobber(&path) };
            placed.map_err(|e| match e.error.kind() {
                io::ErrorKind::AlreadyExists => Failure::Exists { path: path.clone() },
                _ => Failure::unwritable(&path, &e.error),
            })?;
        }
        Ok(())
    }
}

/// Puts a whole new content in the place of a file: after a crash or on a full disk there is either the old or the new.
pub fn replace(path: &Path, bytes: &[u8]) -> Result<(), Failure> {
    let folder = or_here(path.parent().unwrap_or(Path::new("")));
    let written = temporary(folder).and_then(|mut file| {
        file.write_all(bytes)?;
        file.as_file().sync_all()?;
        Ok(file)
    });
    let file = written.map_err(|e| Failure::unwritable(path, &e))?;
    file.persist(path).map_err(|e| Failure::unwritable(path, &e.error))?;
    // the new name itself must reach the disk too, where a folder can be opened
    if let Ok(folder) = std::fs::File::open(folder) {
        let _ = folder.sync_all();
    }
    Ok(())
}

/// A file beside its target, with the rights that any new file gets.
pub fn temporary(folder: &Path) -> io::Result<NamedTempFile> {
    let mut builder = tempfile::Builder::new();
    #[cfg(unix)]
    builder.permissions(std::os::unix::fs::PermissionsExt::from_mode(0o666));
    builder.tempfile_in(folder)
}

/// The working folder goes by an empty name in paths such as `load.toml`.
fn or_here(folder: &Path) -> &Path {
    if folder.as_os_str().is_empty() { Path::new(".") } else { folder }
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
