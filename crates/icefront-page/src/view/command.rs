//! The command line that gives the same answer.

use maud::{Markup, html};

use crate::State;

/// A subcommand with its arguments.
pub fn line(state: &State, arguments: &[String]) -> Markup {
    let line: String = arguments.iter().map(|word| format!(" {}", in_shell(word))).collect();
    html! {
        p.command {
            "The same answer from a command line"
            @if state.changed() { ", once the sheet is saved" }
            ": " code { "icefront" (line) }
        }
    }
}

/// A word as a shell takes it.
fn in_shell(word: &str) -> String {
    let plain = !word.is_empty() && word.chars().all(|c| c.is_ascii_alphanumeric() || "-_.".contains(c));
    if plain { word.into() } else { format!("'{}'", word.replace('\'', "'\\''")) }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_reach_a_shell_whole() {
        for (word, shown) in [
            ("load.toml", "load.toml"),
            ("my stew.toml", "'my stew.toml'"),
            ("depth=8 mm,$(x)", "'depth=8 mm,$(x)'"),
            ("a'b", "'a'\\''b'"),
            ("", "''"),
        ] {
            assert_eq!(in_shell(word), shown);
        }
    }
}
