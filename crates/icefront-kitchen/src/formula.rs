//! Text in the cells of CSV files that spreadsheets would take for a formula: written with an apostrophe before it, as
//! spreadsheets mark text themselves, and read without.

use std::borrow::Cow;

/// Signs that begin a formula, the wide forms of East Asian keyboards among them.
const SIGNS: [char; 10] = ['=', '+', '-', '@', '\t', '\r', '\u{ff1d}', '\u{ff0b}', '\u{ff0d}', '\u{ff20}'];

/// Text as it goes into a cell: no spreadsheet computes it.
pub fn neutral(text: &str) -> Cow<'_, str> {
    if is_formula(text) { Cow::Owned(format!("'{text}")) } else { Cow::Borrowed(text) }
}

/// Text as it was before [`neutral`].
pub fn original(cell: &str) -> &str {
    cell.strip_prefix('\'').filter(|rest| is_formula(rest)).unwrap_or(cell)
}

/// Whether a spreadsheet would take it for a formula, were it not for apostrophes before it.
fn is_formula(text: &str) -> bool {
    text.trim_start_matches('\'').starts_with(SIGNS)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_text_is_a_formula_and_none_is_lost() {
        let formulas = ["=cmd|'/c calc'!A0", "+1", "-2", "@SUM(A1)", "'=x", "''=y", "\u{ff1d}1", "\u{ff20}a", "\t=1"];
        for text in formulas.into_iter().chain(["bean stew", "'quoted'", "a=b", "", "'"]) {
            let written = neutral(text);
            assert!(!written.starts_with(SIGNS), "{written}");
            assert_eq!(original(&written), text);
        }
        assert_eq!((neutral("'quoted'"), neutral("a-b")), ("'quoted'".into(), "a-b".into()), "what is plain stays");
    }
}
