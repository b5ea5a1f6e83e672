//! Temporary files and folders beside their targets, under names of our own.
//!
//! A program holds a lock on each of its temporary files while it works on it, and the system lets go of that lock however
//! the program ends. So what a killed program has left behind can be distinguished from what is in use: it is cleared when the next
//! temporary file is made in the same folder. Ctrl-C and SIGTERM clear what is in use before the program ends.

use std::collections::BTreeSet;
use std::fs::{self, File, TryLockError};
use std::io::{self, Write};
use std::path::{Path, PathBuf};
use std::sync::{Mutex, MutexGuard, PoisonError};

use tempfile::{NamedTempFile, TempDir};

const PREFIX: &str = ".icefront-";
const SUFFIX: &str = ".tmp";
/// How often a name is tried anew when another program takes the file for one left behind.
const MOST_TRIES: usize = 8;

/// What this program has in use.
static IN_USE: Mutex<BTreeSet<PathBuf>> = Mutex::new(BTreeSet::new());

fn in_use() -> MutexGuard<'static, BTreeSet<PathBuf>> {
    IN_USE.lock().unwrap_or_else(PoisonError::into_inner)
}

/// A file that is gone when dropped, unless it was given a name.
#[derive(Debug)]
pub struct Temporary {
    file: NamedTempFile,
    _mark: Mark,
}

impl Temporary {
    /// A new file in a folder, with the rights that any new file gets.
    pub fn new(folder: &Path) -> io::Result<Self> {
        begin(folder, |builder| {
            let file = builder.tempfile_in(folder)?;
            let mark = Mark::new(file.path())?;
            Ok(held(file.as_file(), file.path()).then_some(Self { file, _mark: mark }))
        })
    }

    /// The open file.
    pub fn file(&mut self) -> &mut File {
        self.file.as_file_mut()
    }

    /// Gives it a name in its folder, in one step.
    pub fn rename(self, target: &Path, replace: bool) -> io::Result<()> {
        let named = if replace { self.file.persist(target) } else { self.file.persist_noclobber(target) };
        named.map(drop).map_err(|e| e.error)
    }
}

/// A folder that is gone when dropped, with all that is in it, unless it was given a name.
#[derive(Debug)]
pub struct TemporaryFolder {
    folder: TempDir,
    _lock: Option<File>,
    _mark: Mark,
}

impl TemporaryFolder {
    /// A new folder in another, with the rights that any new folder gets.
    pub fn new(parent: &Path) -> io::Result<Self> {
        begin(parent, |builder| {
            let folder = builder.tempdir_in(parent)?;
            let mark = Mark::new(folder.path())?;
            // where folders cannot be opened they are never taken for ones left behind
            let lock = File::open(folder.path()).ok();
            let held = lock.as_ref().is_none_or(|lock| held(lock, folder.path()));
            Ok(held.then_some(Self { folder, _lock: lock, _mark: mark }))
        })
    }

    /// Writes a file in it, in folders that need not be there yet.
    pub fn write(&self, name: &Path, bytes: &[u8]) -> io::Result<()> {
        // nobody clears the folder while it is filled
        let _undisturbed = in_use();
        let path = self.folder.path().join(name);
        fs::create_dir_all(path.parent().unwrap_or(self.folder.path()))?;
        let mut file = File::create_new(path)?;
        file.write_all(bytes)?;
        file.sync_all()
    }

    /// Gives it a name beside it, in one step.
    pub fn rename(self, target: &Path) -> io::Result<()> {
        {
            let _undisturbed = in_use();
            fs::rename(self.folder.path(), target)?;
        }
        // nothing is left under the old name to be cleared
        let _old = self.folder.keep();
        Ok(())
    }
}

/// Clears what was left behind, then makes something new that nobody else takes for left behind.
fn begin<T>(folder: &Path, make: impl Fn(&mut tempfile::Builder<'_, '_>) -> io::Result<Option<T>>) -> io::Result<T> {
    clear_left_behind(folder);
    watch_signals();
    let mut builder = tempfile::Builder::new();
    builder.prefix(PREFIX).suffix(SUFFIX);
    for _ in 0..MOST_TRIES {
        if let Some(made) = make(&mut builder)? {
            return Ok(made);
        }
    }
    Err(io::Error::new(io::ErrorKind::ResourceBusy, "another program keeps removing the temporary files"))
}

/// Whether a file just made is ours alone and still there. Where files cannot be locked, none is ever cleared.
fn held(file: &File, path: &Path) -> bool {
    !matches!(file.try_lock(), Err(TryLockError::WouldBlock)) && path.exists()
}

/// Removes the temporary files and folders that no running program holds.
fn clear_left_behind(folder: &Path) {
    let Ok(entries) = fs::read_dir(folder) else { return };
    for entry in entries.filter_map(Result::ok) {
        let name = entry.file_name();
        let ours = name.to_str().is_some_and(|name| name.starts_with(PREFIX) && name.ends_with(SUFFIX));
        let Some(kind) = entry.file_type().ok().filter(|kind| ours && (kind.is_file() || kind.is_dir())) else {
            continue;
        };
        // the lock is kept until the file is gone, so that its maker, if it comes only now, sees that it is
        let path = entry.path();
        let Some(_lock) = File::open(&path).ok().filter(|file| file.try_lock().is_ok()) else { continue };
        remove(&path, kind.is_dir());
    }
}

/// Removes something; what cannot be removed stays for the next time.
fn remove(path: &Path, is_folder: bool) {
    let _stays = if is_folder { fs::remove_dir_all(path) } else { fs::remove_file(path) };
}

/// An entry in the list of what is in use, as long as it lives.
#[derive(Debug)]
struct Mark(PathBuf);

impl Mark {
    fn new(path: &Path) -> io::Result<Self> {
        // the working folder may change
        let path = std::path::absolute(path)?;
        in_use().insert(path.clone());
        Ok(Self(path))
    }
}

impl Drop for Mark {
    fn drop(&mut self) {
        in_use().remove(&self.0);
    }
}

/// From the first temporary file on, Ctrl-C and SIGTERM remove what is in use, and then end the program as they always do.
#[cfg(unix)]
fn watch_signals() {
    use signal_hook::consts::{SIGINT, SIGTERM};
    use signal_hook::iterator::Signals;
    use std::sync::{Once, mpsc};
    use std::thread;

    static WATCHED: Once = Once::new();
    WATCHED.call_once(|| {
        let (ready, begun) = mpsc::channel();
        let watch = move || {
            let signals = Signals::new([SIGINT, SIGTERM]);
            let _nobody_waits = ready.send(());
            let Ok(mut signals) = signals else { return };
            for signal in signals.forever() {
                // held to the end: nothing more is made meanwhile
                let in_use = in_use();
                in_use.iter().for_each(|path| remove(path, path.is_dir()));
                let _ended = signal_hook::low_level::emulate_default_handler(signal);
            }
        };
        // without a thread the next start clears what is left
        if thread::Builder::new().name("signals".into()).spawn(watch).is_ok() {
            let _watching = begun.recv();
        }
    });
}

/// Elsewhere the next start clears what is left.
#[cfg(not(unix))]
fn watch_signals() {}

#[cfg(test)]
mod tests {
    use super::*;

    fn names(folder: &Path) -> Vec<String> {
        let mut names: Vec<String> =
            fs::read_dir(folder).unwrap().map(|e| e.unwrap().file_name().into_string().unwrap()).collect();
        names.sort();
        names
    }

    #[test]
    fn what_is_left_behind_is_cleared_and_what_is_in_use_or_of_others_stays() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path();
        fs::write(path.join(".icefront-old.tmp"), "half a file").unwrap();
        fs::create_dir(path.join(".icefront-folder.tmp")).unwrap();
        fs::write(path.join(".icefront-folder.tmp/half"), "").unwrap();
        let others = [".icefront-notes", ".tmpAbCdEf", "x.tmp"];
        others.iter().for_each(|name| fs::write(path.join(name), "theirs").unwrap());
        let used = TemporaryFolder::new(path).unwrap();
        let file = Temporary::new(path).unwrap();
        assert_eq!(names(path).len(), others.len() + 2, "{:?}", names(path));
        used.write(Path::new("c/d"), b"whole").unwrap();
        file.rename(&path.join("a"), false).unwrap();
        used.rename(&path.join("b")).unwrap();
        assert_eq!(names(path), [".icefront-notes", ".tmpAbCdEf", "a", "b", "x.tmp"]);
        assert_eq!(fs::read(path.join("b/c/d")).unwrap(), b"whole");
        assert!(in_use().iter().all(|path| !path.starts_with(folder.path())));
    }
}
