//! Files that are there whole or not at all, whatever happens: the new content is written beside its place, brought to the
//! disk, and takes its name in one step. A link stays a link, and what it points to gets the content; a file that is
//! replaced keeps its rights.

use std::fs::{self, File};
use std::io::{self, Write};
use std::path::{Path, PathBuf};

use crate::disk::temporary::{Temporary, TemporaryFolder};

/// Links that are followed one after the other before they count as a circle.
const MOST_LINKS: usize = 40;

/// A content beside its place.
#[derive(Debug)]
pub struct Ready {
    file: Temporary,
    target: PathBuf,
    replace: bool,
}

impl Ready {
    /// Writes a content beside its place. `replace`: a file that is there gives way to it.
    pub fn new(path: &Path, bytes: &[u8], replace: bool) -> io::Result<Self> {
        let target = if replace { followed(path)? } else { path.to_path_buf() };
        let mut file = Temporary::new(or_here(target.parent().unwrap_or(Path::new(""))))?;
        file.file().write_all(bytes)?;
        if replace && let Ok(old) = fs::metadata(&target) {
            keep_rights(file.file(), &old)?;
        }
        file.file().sync_all()?;
        Ok(Self { file, target, replace })
    }

    /// Gives it its name.
    pub fn place(self) -> io::Result<()> {
        self.file.rename(&self.target, self.replace)?;
        // the new name itself must reach the disk too, where a folder can be opened
        if let Ok(folder) = File::open(or_here(self.target.parent().unwrap_or(Path::new("")))) {
            let _ = folder.sync_all();
        }
        Ok(())
    }
}

/// The file that a path stands for: where links lead, though nothing need be there yet.
pub fn followed(path: &Path) -> io::Result<PathBuf> {
    let mut at = path.to_path_buf();
    for _ in 0..MOST_LINKS {
        match fs::read_link(&at) {
            Ok(next) => at = at.parent().unwrap_or(Path::new("")).join(next),
            Err(_) => return Ok(at),
        }
    }
    Err(io::Error::other("its links lead round in a circle"))
}

/// Gives a new file the rights of the old one, and its owner where the system allows that.
fn keep_rights(file: &File, old: &fs::Metadata) -> io::Result<()> {
    #[cfg(unix)]
    {
        use std::os::unix::fs::{MetadataExt, fchown};
        let _only_root_may = fchown(file, Some(old.uid()), Some(old.gid()));
    }
    file.set_permissions(old.permissions())
}

/// Writes files together with the folders that are missing on the way to them: all appear in one step. `false` where the
/// folder has come to be there meanwhile; nothing is written then.
pub fn with_new_folder(folder: &Path, files: &[(impl AsRef<Path>, impl AsRef<[u8]>)]) -> io::Result<bool> {
    let missing = folder.ancestors().take_while(|folder| !or_here(folder).exists());
    let Some(top) = missing.last() else { return Ok(false) };
    let staged = TemporaryFolder::new(or_here(top.parent().unwrap_or(Path::new(""))))?;
    let inside = folder.strip_prefix(top).unwrap_or(Path::new(""));
    for (name, bytes) in files {
        staged.write(&inside.join(name), bytes.as_ref())?;
    }
    match staged.rename(top) {
        Err(_) if top.exists() => Ok(false),
        done => done.map(|()| true),
    }
}

/// The working folder goes by an empty name in paths such as `load.toml`.
pub fn or_here(folder: &Path) -> &Path {
    if folder.as_os_str().is_empty() { Path::new(".") } else { folder }
}
