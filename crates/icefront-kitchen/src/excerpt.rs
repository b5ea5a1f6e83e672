//! The line of a file that a message points at, a long one cut to what stands around the place.

use std::ops::Range;

/// Longest line that is shown whole, bytes.
const WHOLE: usize = 300;
/// What is kept of a longer one before the place and from it on, bytes.
const KEPT: [usize; 2] = [80, 160];
const CUT: &str = "...";

/// One line of a file with a place in it.
#[derive(Clone, Debug, PartialEq)]
pub struct Excerpt {
    /// What is shown of the line.
    pub shown: String,
    /// Bytes of `shown` that the place fills.
    pub mark: Range<usize>,
    /// Line of the file, from 1.
    pub line: usize,
    /// Character of the whole line at which the place begins, from 1.
    pub column: usize,
}

impl Excerpt {
    /// The line on which `span` begins; what the span covers of later lines is left out.
    pub fn of(text: &str, span: &Range<usize>) -> Self {
        let at = boundary(text, span.start);
        let (before, rest) = text.split_at(at);
        let start = before.rfind('\n').map_or(0, |end| end + 1);
        let end = at + rest.find('\n').unwrap_or(rest.len());
        let end = start + text[start..end].trim_end_matches('\r').len();
        let at = at.min(end);
        let mark_end = boundary(text, span.end).clamp(at, end);
        let (from, to) = if end - start <= WHOLE {
            (start, end)
        } else {
            let [before, after] = KEPT;
            (boundary(text, at.saturating_sub(before)).max(start), boundary(text, at + after).min(end))
        };
        let lead = if from > start { CUT } else { "" };
        let tail = if to < end { CUT } else { "" };
        let inside = |place: usize| lead.len() + place.min(to) - from;
        Self {
            shown: format!("{lead}{}{tail}", &text[from..to]),
            mark: inside(at)..inside(mark_end),
            line: before.matches('\n').count() + 1,
            column: text[start..at].chars().count() + 1,
        }
    }
}

/// The nearest start of a character at or before a byte.
fn boundary(text: &str, byte: usize) -> usize {
    (0..=byte.min(text.len())).rev().find(|at| text.is_char_boundary(*at)).unwrap_or(0)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_short_line_is_shown_whole() {
        let text = "a = 1\r\nroom = \"20\"\r\nb = 2\n";
        let excerpt = Excerpt::of(text, &(14..18));
        assert_eq!((excerpt.shown.as_str(), excerpt.line, excerpt.column), ("room = \"20\"", 2, 8));
        assert_eq!(&excerpt.shown[excerpt.mark.clone()], "\"20\"");
    }

    #[test]
    fn a_long_line_is_cut_around_the_place() {
        let text = format!("first\n{}here{}\nlast", "ä".repeat(100_000), "ö".repeat(100_000));
        let at = text.find("here").unwrap();
        let excerpt = Excerpt::of(&text, &(at..at + 4));
        assert_eq!((excerpt.line, excerpt.column), (2, 100_001));
        assert_eq!(&excerpt.shown[excerpt.mark.clone()], "here");
        assert!(excerpt.shown.len() < WHOLE && excerpt.shown.starts_with("...ä") && excerpt.shown.ends_with("ö..."));
    }

    #[test]
    fn a_place_outside_the_text_is_its_end() {
        for text in ["", "a", "a\n", "ä"] {
            let excerpt = Excerpt::of(text, &(50..60));
            assert!(excerpt.mark.end <= excerpt.shown.len(), "{text:?}: {excerpt:?}");
        }
        let all = "one\ntwo\nthree";
        assert_eq!(Excerpt::of(all, &(0..all.len())).mark, 0..3, "a span of several lines marks its first");
    }
}
