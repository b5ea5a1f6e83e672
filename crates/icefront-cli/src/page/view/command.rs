//! The command line that gives the same answer.

use maud::{Markup, html};

use super::super::answer::Settings;
use super::super::screen::Screen;

/// What commands take unless told otherwise.
pub const USUAL: Settings = Settings { draws: 256, seed: 1 };

/// A subcommand with its arguments, the sheet put in after the subcommand.
pub fn line(screen: &Screen, arguments: &[String]) -> Markup {
    let file = if screen.file.is_empty() { "load.toml" } else { &screen.file };
    let (command, rest) = arguments.split_first().map_or(("", &[][..]), |(first, rest)| (first.as_str(), rest));
    let words = [command, file].into_iter().chain(rest.iter().map(String::as_str));
    let line: String = words.map(|word| format!(" {}", in_shell(word))).collect();
    html! {
        p.command {
            "The same answer from a command line"
            @if screen.changed() { ", once the sheet is saved" }
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
