//! How output looks: with colour, without, or as plain lines for screen readers.

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
    /// Plain if asked for; colour only on a terminal, and not where the environment forbids it (`NO_COLOR`).
    pub fn of(plain: bool, output: &impl IsTerminal) -> Self {
        let forbidden = std::env::var_os("NO_COLOR").is_some_and(|value| !value.is_empty());
        match plain {
            true => Self::Plain,
            false if output.is_terminal() && !forbidden => Self::Colour,
            false => Self::Bare,
        }
    }
}
