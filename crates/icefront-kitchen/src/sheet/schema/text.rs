//! The keys of a file as text, for people: what `icefront help sheet` shows and `docs/load-sheet.md` has as tables.

use super::dryer::DRYER;
use super::load::LOAD;
use super::{Key, Table, Value};
use crate::blocks::wrap::wrap;
use crate::problem::spelling_help;

/// A kind of file.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Topic {
    /// A load sheet.
    Sheet,
    /// A dryer file.
    Dryer,
}

impl Topic {
    /// The kind with this name.
    pub fn of_word(word: &str) -> Option<Self> {
        match word {
            "sheet" => Some(Self::Sheet),
            "dryer" => Some(Self::Dryer),
            _ => None,
        }
    }

    fn table(self) -> &'static Table {
        match self {
            Self::Sheet => &LOAD,
            Self::Dryer => &DRYER,
        }
    }
}

/// What is said about a key: its kind, what is allowed, what holds without it, what it is.
pub struct Columns {
    /// Kind of value.
    pub kind: &'static str,
    /// What of that kind is allowed.
    pub allowed: String,
    /// What holds where it is missing.
    pub default: &'static str,
    /// What it is, and with which shapes, methods or rules it goes.
    pub about: String,
}

impl Columns {
    /// Of a key.
    pub fn of(key: &Key) -> Self {
        let with: Vec<String> = key.with.iter().map(|word| format!("`{word}`")).collect();
        let with = if with.is_empty() { String::new() } else { format!("with {}", with.join(", ")) };
        let about =
            [with.as_str(), key.about].into_iter().filter(|part| !part.is_empty()).collect::<Vec<_>>().join(": ");
        let default = match (key.required, key.otherwise, key.example) {
            (true, ..) => "required",
            (_, "", "") => "none",
            (_, "", usual) => usual,
            (_, words, _) => words,
        };
        let (kind, allowed) = key.value.columns();
        Self { kind, allowed, default, about }
    }
}

/// All keys of a kind of file, or those of one table such as `tray` or `tray.embedded`.
///
/// # Errors
/// The tables there are, where there is none of that name.
pub fn keys(topic: Topic, table: &str) -> Result<String, String> {
    let all = tables(topic);
    if table.is_empty() {
        return Ok(all.iter().map(|(place, table)| section(place, table)).collect::<Vec<_>>().join("\n"));
    }
    // `x` stands for any name, so `recipe` is `recipe.x`
    let is_it = |place: &str, table: &str| place == table || place.ends_with(&format!(".{table}"));
    let found = all.iter().find(|(place, _)| is_it(place, table));
    let found = found.or_else(|| all.iter().find(|(place, _)| is_it(place, &format!("{table}.x"))));
    let places: Vec<&str> = all.iter().map(|(place, _)| place.as_str()).filter(|place| !place.is_empty()).collect();
    found.map(|(place, table)| section(place, table)).ok_or_else(|| spelling_help(table, &places))
}

/// Every table with its place, each once, from the top of the file down.
fn tables(topic: Topic) -> Vec<(String, &'static Table)> {
    let mut found: Vec<(String, &'static Table)> = Vec::new();
    let mut open = vec![(String::new(), topic.table())];
    while let Some((place, table)) = open.pop() {
        if found.iter().any(|(_, known)| std::ptr::eq(*known, table)) {
            continue;
        }
        let inner = table.keys.iter().chain(table.any).filter_map(|key| match key.value {
            Value::Table(inner) | Value::List(inner) | Value::QuantityOr(_, inner) => {
                let name = if key.name.is_empty() { "x" } else { key.name };
                Some((if place.is_empty() { name.to_string() } else { format!("{place}.{name}") }, inner))
            }
            _ => None,
        });
        let inner: Vec<(String, &'static Table)> = inner.collect();
        open.extend(inner.into_iter().rev());
        if !table.keys.is_empty() {
            found.push((place, table));
        }
    }
    found
}

/// A table with its keys.
fn section(place: &str, table: &Table) -> String {
    let title = if place.is_empty() { "TOP OF THE FILE\n".to_string() } else { format!("[{place}]\n") };
    title + &table.keys.iter().map(entry).collect::<String>()
}

/// One key.
fn entry(key: &Key) -> String {
    let Columns { kind, allowed, default, about } = Columns::of(key);
    let allowed = if allowed.is_empty() { kind.to_string() } else { format!("{kind}, {allowed}") };
    let default = if key.required { "required".to_string() } else { format!("default: {default}") };
    let about = if about.is_empty() { String::new() } else { format!(" {}.", crate::format::capital(&about)) };
    wrap(&format!("  {:<14}  ", key.name), &format!("{allowed}; {default}.{about}"))
}
