//! How the food is frozen before it dries, and what that takes.

use icefront_kitchen::sheet::schema::load::BEFORE_LOADING;

use crate::editor::Editor;
use crate::form::field::{Control, Field, choices, or};

/// How the food is frozen, and what that takes; `as_above`: what it is called to leave that to the sheet's own table.
pub fn fields(sheet: &Editor, table: &str, as_above: Option<&str>) -> Vec<Field> {
    let at = |key: &str| format!("{table}.{key}");
    let given = sheet.shown(&at("method"));
    let method = if as_above.is_some() { given } else { or(given, BEFORE_LOADING.first_word()) };
    let chosen = BEFORE_LOADING.keys.iter().filter(|key| !key.label.is_empty());
    let mut fields: Vec<Field> =
        chosen.filter(|key| key.goes_with(&method)).map(|key| Field::of(sheet, &at(key.name), key)).collect();
    if let Some(first) = fields.first_mut() {
        let first_words: Vec<(&str, &str)> = as_above.map(|words| ("", words)).into_iter().collect();
        let words = [&first_words[..], BEFORE_LOADING.words("method")].concat();
        *first = Field { control: Control::Choice(choices(&words, &method)), value: method, ..first.clone() };
    }
    fields
}
