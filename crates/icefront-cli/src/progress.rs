//! A word on the terminal when something takes longer than a second.

use std::sync::mpsc;
use std::time::Duration;

use crate::output;
use icefront_kitchen::Look;

const PATIENCE: Duration = Duration::from_secs(1);

/// Does `work`; if it takes long and someone watches, says so.
pub fn while_working<T>(what: &str, work: impl FnOnce() -> T) -> T {
    if !output::shows_progress() {
        return work();
    }
    let (done, waiting) = mpsc::channel::<()>();
    std::thread::scope(|scope| {
        scope.spawn(move || {
            if waiting.recv_timeout(PATIENCE) == Err(mpsc::RecvTimeoutError::Timeout) {
                output::complain(&format!("{what} ..."), Look::Bare);
            }
        });
        let result = work();
        drop(done);
        result
    })
}
