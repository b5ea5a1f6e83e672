//! How output looks: with colour, without, or as plain lines for screen readers.

use std::ffi::OsString;
use std::io::IsTerminal;

/// Look of one output.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Look {
    /// Labels and marks are set off by colour and weight.
    Colour,
    /// The same without them.
    Bare,
    /// No drawings, no alignment: sentences in reading order.
    Plain,
    /// Pieces of a page, as HTML.
    Page,
}

impl Look {
    /// Plain if asked for; colour only on a terminal that can show it.
    pub fn of(plain: bool, output: &impl IsTerminal) -> Self {
        Self::choose(plain, output.is_terminal(), |name| std::env::var_os(name))
    }

    /// Colour only on a terminal, and not where the environment rules it out: `NO_COLOR` with any value, or a terminal
    /// that calls itself `TERM=dumb`.
    fn choose(plain: bool, terminal: bool, variable: impl Fn(&str) -> Option<OsString>) -> Self {
        let unwanted = variable("NO_COLOR").is_some_and(|value| !value.is_empty());
        let dumb = variable("TERM").is_some_and(|value| value == "dumb");
        match plain {
            true => Self::Plain,
            false if terminal && !unwanted && !dumb => Self::Colour,
            false => Self::Bare,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn colour_needs_a_terminal_that_can_show_it() {
        let look = |terminal, set: &[(&str, &str)]| {
            Look::choose(false, terminal, |name| set.iter().find(|(n, _)| *n == name).map(|(_, value)| value.into()))
        };
        assert_eq!(look(true, &[]), Look::Colour);
        assert_eq!(look(true, &[("TERM", "xterm-256color"), ("NO_COLOR", "")]), Look::Colour);
        assert_eq!(look(true, &[("TERM", "dumb")]), Look::Bare);
        assert_eq!(look(true, &[("NO_COLOR", "1")]), Look::Bare);
        assert_eq!(look(false, &[]), Look::Bare);
        assert_eq!(Look::choose(true, true, |_| None), Look::Plain);
    }
}
