//! What goes to the terminal. Control characters in text of any origin are shown as their numbers; a closed pipe on stdout
//! is no error.

use std::ffi::OsString;
use std::io::{self, IsTerminal, Write};
use std::sync::OnceLock;

use icefront_kitchen::failure::{Failure, plain_reason};
use icefront_kitchen::{Look, shown};

use crate::disk;

/// Writes a report to stdout. Whoever reads it may stop reading at any time.
pub fn print(text: &str) -> Result<(), Failure> {
    let mut out = io::stdout().lock();
    let clean = if look(false, &out) == Look::Colour { shown::with_bold(text) } else { shown::shown(text) };
    match out.write_all(clean.as_bytes()).and_then(|()| out.flush()) {
        Err(e) if e.kind() == io::ErrorKind::BrokenPipe => Ok(()),
        done => done.map_err(|e| unshown(&e)),
    }
}

/// Prints an answer as JSON or as text.
pub fn answer<E: Into<Failure>>(
    as_json: bool,
    plain: bool,
    json: impl FnOnce() -> Result<String, E>,
    text: impl FnOnce(Look) -> String,
) -> Result<(), Failure> {
    if as_json { print(&json().map_err(Into::into)?) } else { report(plain, text) }
}

/// Prints a report.
pub fn report(plain: bool, text: impl FnOnce(Look) -> String) -> Result<(), Failure> {
    print(&text(look(plain, &io::stdout())))
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

/// When to use colour.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, clap::ValueEnum)]
pub enum Color {
    /// On a terminal that can show it.
    #[default]
    Auto,
    /// Always, also in a file or a pipe.
    Always,
    /// Never.
    Never,
}

/// What was asked of all output.
#[derive(Clone, Copy, Debug, Default)]
struct Wishes {
    color: Color,
    quiet: bool,
}

/// Set once, when the arguments are read.
static WISHES: OnceLock<Wishes> = OnceLock::new();

/// Sets when to use colour, and whether to leave out progress. Only the first call counts.
pub fn set(color: Color, quiet: bool) {
    WISHES.get_or_init(|| Wishes { color, quiet });
}

/// Whether progress is shown.
pub fn shows_progress() -> bool {
    !WISHES.get().is_some_and(|wishes| wishes.quiet) && io::stderr().is_terminal()
}

/// The look of one output: plain if requested, colour where it is wanted.
pub fn look(plain: bool, output: &impl IsTerminal) -> Look {
    match (plain, WISHES.get().map(|wishes| wishes.color).unwrap_or_default()) {
        (false, Color::Always) => Look::Colour,
        (false, Color::Never) => Look::Bare,
        _ => choose(plain, output.is_terminal(), |name| std::env::var_os(name)),
    }
}

/// Colour only on a terminal, and not where the environment rules it out: `NO_COLOR` with any value, or a terminal that
/// calls itself `TERM=dumb`.
fn choose(plain: bool, terminal: bool, variable: impl Fn(&str) -> Option<OsString>) -> Look {
    let unwanted = variable("NO_COLOR").is_some_and(|value| !value.is_empty());
    let dumb = variable("TERM").is_some_and(|value| value == "dumb");
    match plain {
        true => Look::Plain,
        false if terminal && !unwanted && !dumb => Look::Colour,
        false => Look::Bare,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn colour_needs_a_terminal_that_can_show_it() {
        let look = |terminal, set: &[(&str, &str)]| {
            choose(false, terminal, |name| set.iter().find(|(n, _)| *n == name).map(|(_, value)| value.into()))
        };
        assert_eq!(look(true, &[]), Look::Colour);
        assert_eq!(look(true, &[("TERM", "xterm-256color"), ("NO_COLOR", "")]), Look::Colour);
        assert_eq!(look(true, &[("TERM", "dumb")]), Look::Bare);
        assert_eq!(look(true, &[("NO_COLOR", "1")]), Look::Bare);
        assert_eq!(look(false, &[]), Look::Bare);
        assert_eq!(choose(true, true, |_| None), Look::Plain);
    }
}
