//! What goes to the terminal. Control characters in text of any origin are shown as their numbers; a closed pipe on stdout
//! is no error.

use std::io::{self, Write};

use icefront_kitchen::failure::{Failure, plain_reason};
use icefront_kitchen::shown;
use icefront_kitchen::style::Look;

use crate::disk;

/// Writes a report to stdout. Whoever reads it may stop reading at any time.
pub fn print(text: &str) -> Result<(), Failure> {
    let mut out = io::stdout().lock();
    let clean = if Look::of(false, &out) == Look::Colour { shown::with_bold(text) } else { shown::shown(text) };
    match out.write_all(clean.as_bytes()).and_then(|()| out.flush()) {
        Err(e) if e.kind() == io::ErrorKind::BrokenPipe => Ok(()),
        done => done.map_err(|e| unshown(&e)),
    }
}

/// Prints an answer as JSON or as text.
pub fn answer(
    as_json: bool,
    plain: bool,
    json: impl FnOnce() -> Result<String, Failure>,
    text: impl FnOnce(Look) -> String,
) -> Result<(), Failure> {
    print(&if as_json { json()? } else { text(Look::of(plain, &io::stdout())) })
}

/// A report that could not be shown, after files were written or before.
fn unshown(error: &io::Error) -> Failure {
    let (written, reason) = (disk::written(), plain_reason(error));
    if written.is_empty() { Failure::Output(reason) } else { Failure::Unshown { written, reason } }
}

/// Writes a message to stderr. If that fails there is nobody to report it to.
pub fn complain(message: &str, look: Look) {
    let mut out = io::stderr().lock();
    let clean = if look == Look::Colour { shown::with_colour(message) } else { shown::shown(message) };
    let _nobody_reads = writeln!(out, "{clean}");
}
