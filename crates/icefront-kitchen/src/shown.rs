//! Text as a terminal may see it: whatever could move the cursor, change colours or titles, or turn the direction of
//! writing is shown as its number, `\u001b`. That is how JSON writes it, so JSON stays JSON.

use std::borrow::Cow;
use std::fmt::Write;

/// Begins what is set off.
pub const BOLD: &str = "\u{1b}[1m";
/// Ends it.
pub const NORMAL: &str = "\u{1b}[0m";

/// Whether a sign changes how a terminal shows the text around it, rather than being shown itself.
pub fn is_control(sign: char) -> bool {
    sign.is_control()
        || matches!(sign, '\u{61c}' | '\u{200e}' | '\u{200f}' | '\u{2028}'..='\u{202e}' | '\u{2066}'..='\u{2069}')
}

/// What may stay as it is at the start of `rest`, in bytes.
type Allowed = fn(rest: &str) -> Option<usize>;

/// A text of any origin; line ends and tabs stay.
pub fn shown(text: &str) -> Cow<'_, str> {
    with(text, |_| None)
}

/// A report of ours, in which labels are set off by [`BOLD`] and [`NORMAL`].
pub fn with_bold(text: &str) -> Cow<'_, str> {
    with(text, |rest| [BOLD, NORMAL].iter().find(|code| rest.starts_with(**code)).map(|code| code.len()))
}

/// A message in colour, whose parts from elsewhere are clean already: colour codes stay.
pub fn with_colour(text: &str) -> Cow<'_, str> {
    with(text, |rest| {
        let codes = rest.strip_prefix("\u{1b}[")?;
        let end = codes.find(|c: char| !c.is_ascii_digit() && c != ';')?;
        codes[end..].starts_with('m').then_some("\u{1b}[".len() + end + 1)
    })
}

fn with(text: &str, allowed: Allowed) -> Cow<'_, str> {
    let stays = |sign: char| !is_control(sign) || matches!(sign, '\n' | '\t');
    if text.chars().all(stays) {
        return Cow::Borrowed(text);
    }
    let mut clean = String::with_capacity(text.len() + 16);
    let mut rest = text;
    while let Some(sign) = rest.chars().next() {
        let kept = if stays(sign) { Some(sign.len_utf8()) } else { allowed(rest) };
        match kept {
            Some(bytes) => clean.push_str(&rest[..bytes]),
            // writing into a string cannot fail
            None => drop(write!(clean, "\\u{:04x}", u32::from(sign))),
        }
        rest = &rest[kept.unwrap_or(sign.len_utf8())..];
    }
    Cow::Owned(clean)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn nothing_that_steers_a_terminal_gets_through() {
        let evil = "\u{1b}]0;title\u{7}\u{1b}[31mred\u{9b}2J\u{202e}back\u{7f}\r\n\tend";
        assert_eq!(shown(evil), "\\u001b]0;title\\u0007\\u001b[31mred\\u009b2J\\u202eback\\u007f\\u000d\n\tend");
        assert_eq!(with_bold("\u{1b}[1mA\u{1b}[0m \u{1b}[31mB"), "\u{1b}[1mA\u{1b}[0m \\u001b[31mB");
        assert_eq!(with_colour("\u{1b}[38;5;9mA\u{1b}[2J\u{1b}"), "\u{1b}[38;5;9mA\\u001b[2J\\u001b");
        assert!(matches!(shown("plain \u{e9}, \u{5d0}"), Cow::Borrowed(_)));
    }

    #[test]
    fn json_stays_json() {
        let text = serde_json::to_string(&["a\u{202e}b\u{85}c"]).unwrap();
        assert_eq!(serde_json::from_str::<[String; 1]>(&shown(&text)).unwrap(), ["a\u{202e}b\u{85}c"]);
    }
}
