//! Names and other texts of a sheet hold letters, digits and signs alone: what steers a terminal or turns the direction of
//! writing is refused, in keys as well as in values.

use std::ops::Range;

use toml::de::{DeTable, DeValue};

use crate::problem::{Problem, Problems};
use crate::shown::{is_control, shown};

/// Notes each text of a table, and of the tables in it, that holds a control character.
pub fn check(table: &DeTable<'_>, problems: &mut Problems) {
    for (key, value) in table {
        check_text(key.get_ref(), key.span(), problems);
        check_value(value.get_ref(), value.span(), problems);
    }
}

fn check_value(value: &DeValue<'_>, span: Range<usize>, problems: &mut Problems) {
    match value {
        DeValue::String(text) => check_text(text, span, problems),
        DeValue::Array(list) => list.iter().for_each(|entry| check_value(entry.get_ref(), entry.span(), problems)),
        DeValue::Table(table) => check(table, problems),
        _ => {}
    }
}

fn check_text(text: &str, span: Range<usize>, problems: &mut Problems) {
    // a text may have several lines
    let Some(sign) = text.chars().find(|sign| is_control(*sign) && !matches!(sign, '\n' | '\r' | '\t')) else { return };
    let title = format!("a text holds the control character `{}`", shown(sign.encode_utf8(&mut [0; 4])));
    problems.add(Problem::new(span, title, "not letters, digits and signs alone", "write it without that character"));
}
