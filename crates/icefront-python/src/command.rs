//! The command `icefront`, run inside Python.

use std::ffi::OsString;
use std::io::Write;
use std::process::ExitCode;

use pyo3::prelude::*;

/// Runs the command on its arguments, the first being its own name; the exit code.
#[pyfunction]
pub fn run(py: Python<'_>, arguments: Vec<OsString>) -> u8 {
    let code = py.detach(|| {
        let code = icefront_cli::run(arguments);
        // Python ends without the clean-up that flushes this
        let flushed = std::io::stdout().flush();
        if flushed.is_ok() { code } else { ExitCode::from(3) }
    });
    // the number of a code can be compared but not read
    (0..=u8::MAX).find(|number| ExitCode::from(*number) == code).unwrap_or(u8::MAX)
}
