//! Writers of one file wait for each other at a lock file beside it. The system releases the lock when its holder ends,
//! however it ends, so a killed program leaves no lock. Readers need none: they see the file before or after a change.

use std::fs::{File, TryLockError};
use std::path::Path;
use std::thread::sleep;
use std::time::{Duration, Instant};

use icefront_kitchen::Failure;

/// How long a writer waits for another.
const PATIENCE: Duration = Duration::from_secs(20);
const LOOK_AGAIN: Duration = Duration::from_millis(20);

/// Waits until no other writer is at `target`, and keeps others out until the result is dropped. `path`: its name in
/// messages.
pub fn beside(target: &Path, path: &Path) -> Result<File, Failure> {
    let name = target.file_name().map_or_else(String::new, |n| n.to_string_lossy().into_owned());
    let lock = target.with_file_name(format!(".{name}.lock"));
    let open = File::options().create(true).truncate(false).write(true).open(&lock);
    let file = open.map_err(|e| Failure::unwritable(&lock, &e))?;
    let started = Instant::now();
    loop {
        match file.try_lock() {
            Ok(()) => return Ok(file),
            Err(TryLockError::WouldBlock) if started.elapsed() < PATIENCE => sleep(LOOK_AGAIN),
            Err(TryLockError::WouldBlock) => {
                let reason = "another program has been changing it for 20 s; try again".into();
                return Err(Failure::Unwritable { path: path.into(), reason });
            }
            Err(TryLockError::Error(e)) => return Err(Failure::unwritable(&lock, &e)),
        }
    }
}
