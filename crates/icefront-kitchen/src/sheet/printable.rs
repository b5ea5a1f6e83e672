//! Names and other texts of a sheet hold letters, digits and signs alone: what steers a terminal or turns the direction of
//! writing is refused, in keys as well as in values.

use std::ops::Range;

use toml::de::{DeTable, DeValue};

use crate::problem::{Notes, Problem};
use crate::shown::{is_control, shown};

/// Notes each text of a table, and of the tables in it, that holds a control character.
pub fn check(table: &DeTable<'_>, notes: &Notes) {
    for (key, value) in table {
        check_text(key.get_ref(), key.span(), notes);
        check_value(value.get_ref(), value.span(), notes);
    }
}

fn check_value(value: &DeValue<'_>, span: Range<usize>, notes: &Notes) {
    match value {
        DeValue::String(text) => check_text(text, span, notes),
        DeValue::Array(list) => list.iter().for_each(|entry| check_value(entry.get_ref(), entry.span(), notes)),
        DeValue::Table(table) => check(table, notes),
        _ => {}
    }
}

fn check_text(text: &str, span: Range<usize>, notes: &Notes) {
    // a text may have several lines
    let Some(sign) = text.chars().find(|sign| is_control(*sign) && !matches!(sign, '\n' | '\r' | '\t')) else { return };
    notes.add(Problem {
        span,
        title: format!("a text holds the control character `{}`", shown(sign.encode_utf8(&mut [0; 4]))),
        label: "not letters, digits and signs alone".into(),
        help: Some("write it without that character".into()),
    });
}
