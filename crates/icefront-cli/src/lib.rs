//! The command line of icefront: reads files, says what is wrong with them, runs the model and writes the answer.
//!
//! ```text
//! arguments -> commands -> sheet (file -> checked load) -> icefront_core::plan -> report -> output
//! ```
//! Results go to stdout, all else to stderr, with `--json` as an object with `error`, `where` and `allowed`. Exit code 0: done; 1: done, with a finding that the user wants to fail on; 2:
//! could not do it, and nothing was written; 3: files were written, but the report could not be shown.

mod commands;
mod disk;
mod output;
mod page;
mod progress;
mod today;

use std::ffi::OsString;
use std::process::ExitCode;

use clap::FromArgMatches;
use clap::error::{ContextKind, ContextValue};
use icefront_kitchen::Look;
use icefront_kitchen::refusal::Refusal;

pub use disk::Disk;
use disk::Targets;
pub use page::routes_of as page_routes;
use progress::while_working;

/// Exit code for arguments that cannot be used.
const FAILED: u8 = 2;

/// Runs the program on its arguments, the first being its own name.
pub fn run(arguments: impl IntoIterator<Item = OsString>) -> ExitCode {
    let given: Vec<OsString> = arguments.into_iter().collect();
    if given.len() <= 1 {
        return match output::print(&commands::start_page()) {
            Ok(()) => ExitCode::SUCCESS,
            Err(failure) => ExitCode::from(failure.exit_code()),
        };
    }
    let as_json = given.iter().take_while(|one| *one != "--").any(|one| one == "--json");
    let matches = commands::command().try_get_matches_from(given);
    let arguments = match matches.and_then(|matches| commands::Arguments::from_arg_matches(&matches)) {
        Ok(arguments) => arguments,
        Err(refused) => return refuse(&refused, as_json),
    };
    output::set(arguments.color, arguments.quiet);
    let look = output::look(arguments.plain, &std::io::stderr());
    match arguments.command.run(arguments.plain) {
        Ok(()) => ExitCode::SUCCESS,
        Err(failure) => {
            match as_json {
                true => output::complain(&Refusal::of(&failure).json(), Look::Bare),
                false => output::complain(&failure.render(look), look),
            }
            ExitCode::from(failure.exit_code())
        }
    }
}

/// Prints help or the version; anything else is a wrong argument.
fn refuse(refused: &clap::Error, as_json: bool) -> ExitCode {
    if as_json && refused.use_stderr() {
        output::complain(&refusal(refused).json(), Look::Bare);
        return ExitCode::from(FAILED);
    }
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

/// A wrong argument as data.
fn refusal(refused: &clap::Error) -> Refusal {
    let text = refused.render().to_string();
    let error = text.lines().next().unwrap_or_default().trim_start_matches("error: ").to_string();
    let words = |kinds: &[ContextKind]| {
        kinds.iter().filter_map(|kind| refused.get(*kind)).map(ContextValue::to_string).find(|text| !text.is_empty())
    };
    let place = words(&[ContextKind::InvalidArg, ContextKind::InvalidSubcommand]);
    let allowed = words(&[
        ContextKind::ValidValue,
        ContextKind::SuggestedArg,
        ContextKind::SuggestedSubcommand,
        ContextKind::ValidSubcommand,
    ]);
    Refusal { error, place, allowed, others: Vec::new() }
}
