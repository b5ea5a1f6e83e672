//! The command line of icefront: reads files, says what is wrong with them, runs the model and writes the answer.
//!
//! ```text
//! arguments -> commands -> sheet (file -> checked load) -> icefront_core::plan -> report -> output
//! ```
//! Results go to stdout, all else to stderr. Exit code 0: done; 1: done, with a finding that the user wants to fail on; 2:
//! could not do it, and nothing was written; 3: files were written, but the report could not be shown.

mod commands;
mod disk;
mod output;
mod page;
mod progress;
mod today;

use std::ffi::OsString;
use std::process::ExitCode;

use clap::Parser;
use icefront_kitchen::Look;

pub use disk::Disk;
use disk::Targets;
pub use page::routes_of as page_routes;
use progress::while_working;

/// Exit code for arguments that cannot be used.
const FAILED: u8 = 2;

/// Runs the program on its arguments, the first being its own name.
pub fn run(arguments: impl IntoIterator<Item = OsString>) -> ExitCode {
    let arguments = match commands::Arguments::try_parse_from(arguments) {
        Ok(arguments) => arguments,
        Err(refused) => return refuse(&refused),
    };
    let look = output::look(arguments.plain, &std::io::stderr());
    match arguments.command.run(arguments.plain) {
        Ok(()) => ExitCode::SUCCESS,
        Err(failure) => {
            output::complain(&failure.render(look), look);
            ExitCode::from(failure.exit_code())
        }
    }
}

/// Prints help or the version; anything else is a wrong argument.
fn refuse(refused: &clap::Error) -> ExitCode {
    let text = refused.render().to_string();
    if icefront_kitchen::shown::shown(&text) != text {
        // an argument with control characters in it, which are not sent on
        output::complain(&text, Look::Bare);
        return ExitCode::from(FAILED);
    }
    let shown = refused.print();
    if refused.use_stderr() || shown.is_err_and(|e| e.kind() != std::io::ErrorKind::BrokenPipe) {
        ExitCode::from(FAILED)
    } else {
        ExitCode::SUCCESS
    }
}
