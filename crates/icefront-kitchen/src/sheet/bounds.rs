//! How much a sheet or a dryer file may hold: far more than any kitchen needs, and little enough that every file is
//! answered or refused at once.

use std::ops::Range;

use toml::Spanned;
use toml::de::{DeTable, DeValue};

use crate::problem::{Problem, Problems};

/// Longest text of which all errors of its form are shown, bytes.
pub const ALL_ERRORS: usize = 64 * 1024;
/// Longest name of a key or a table, bytes.
pub const NAME: usize = 200;
/// Longest text in quotes, bytes.
pub const TEXT: usize = 4000;
/// Most entries of one list or table; of bare numbers, which `icefront learn` writes by the hundred, ten times as many.
pub const ENTRIES: usize = 300;
const NUMBERS: usize = 10 * ENTRIES;
/// Most values in all of a file that are not bare numbers.
pub const VALUES: usize = 3000;

/// Notes the first thing in a file that is longer than allowed.
pub fn check(table: &DeTable<'_>, problems: &mut Problems) {
    let mut left = VALUES;
    if let Err((span, title, allowed)) = check_table(table, 0..0, &mut left) {
        problems.add(Problem::new(span, title, "too much", format!("allowed: {allowed}")));
    }
}

type TooMuch = (Range<usize>, String, String);

fn check_table(table: &DeTable<'_>, span: Range<usize>, left: &mut usize) -> Result<(), TooMuch> {
    if table.len() > ENTRIES {
        let title = format!("a table has {} entries", table.len());
        return Err((span, title, format!("up to {ENTRIES} entries in a table")));
    }
    for (key, value) in table {
        if key.get_ref().len() > NAME {
            let title = format!("a name is {} bytes long", key.get_ref().len());
            return Err((key.span(), title, format!("names of up to {NAME} bytes")));
        }
        check_value(value, left)?;
    }
    Ok(())
}

fn check_value(value: &Spanned<DeValue<'_>>, left: &mut usize) -> Result<(), TooMuch> {
    let span = value.span();
    *left = left.checked_sub(1).ok_or_else(|| {
        (span.clone(), format!("the file holds more than {VALUES} values"), format!("up to {VALUES} values in a file"))
    })?;
    match value.get_ref() {
        DeValue::String(text) if text.len() > TEXT => {
            Err((span, format!("a text is {} bytes long", text.len()), format!("texts of up to {TEXT} bytes")))
        }
        DeValue::Array(list) => {
            let is_number =
                |entry: &Spanned<DeValue<'_>>| matches!(entry.get_ref(), DeValue::Integer(_) | DeValue::Float(_));
            let (numbers, most) = if list.iter().all(is_number) { (true, NUMBERS) } else { (false, ENTRIES) };
            if list.len() > most {
                let title = format!("a list has {} entries", list.len());
                return Err((span, title, format!("up to {most} entries in such a list")));
            }
            if numbers { Ok(()) } else { list.iter().try_for_each(|entry| check_value(entry, left)) }
        }
        DeValue::Table(inner) => check_table(inner, span, left),
        _ => Ok(()),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_document_states_every_bound() {
        const DOC: &str = include_str!("../../../../docs/load-sheet.md");
        let words = [
            format!("at most {VALUES} values, {ENTRIES} in one table or list ({NUMBERS} bare numbers)"),
            format!("names of up to {NAME} bytes"),
            format!("texts of up to {TEXT}."),
        ];
        for words in words {
            assert!(DOC.contains(&words), "docs/load-sheet.md does not say \"{words}\"");
        }
    }
}
