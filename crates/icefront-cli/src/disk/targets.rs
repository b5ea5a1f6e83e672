//! Output files that are found writable before any work is done, and then written together.

use std::io;
use std::path::{Path, PathBuf};

use icefront_kitchen::Failure;

use crate::disk::note_written;
use crate::disk::temporary::Temporary;
use crate::disk::whole::{Ready, or_here, with_new_folder};

/// Targets in one folder, found writable before any work is done.
#[derive(Debug)]
pub struct Targets {
    folder: PathBuf,
    force: bool,
}

impl Targets {
    /// Checks that `names` can be written in `folder`, which need not be there yet.
    pub fn check(folder: &Path, names: &[impl AsRef<Path>], force: bool) -> Result<Self, Failure> {
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
    pub fn write(&self, files: &[(impl AsRef<Path>, impl AsRef<[u8]>)]) -> Result<(), Failure> {
        let folder = or_here(&self.folder);
        let begun = with_new_folder(folder, files).map_err(|e| Failure::unwritable(folder, &e))?;
        if !begun {
            self.write_into(folder, files)?;
        }
        files.iter().for_each(|(name, _)| note_written(&self.folder.join(name)));
        Ok(())
    }

    /// Writes into a folder that is there.
    fn write_into(&self, folder: &Path, files: &[(impl AsRef<Path>, impl AsRef<[u8]>)]) -> Result<(), Failure> {
        std::fs::create_dir_all(folder).map_err(|e| Failure::unwritable(folder, &e))?;
        let mut ready = Vec::with_capacity(files.len());
        for (name, bytes) in files {
            let path = self.folder.join(name);
            let written = Ready::new(&path, bytes.as_ref(), self.force).map_err(|e| Failure::unwritable(&path, &e))?;
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
