//! One table of a file, read key by key. Whatever is wrong is noted and reading goes on, so that a file's
//! problems are all told at once.

use std::ops::Range;

use toml::Spanned;
use toml::de::{DeTable, DeValue};

use crate::problem::{Notes, Problem, spelling_help};
use crate::sheet::limits::Limit;
use crate::sheet::rough;

/// A table with its place in words (`tray 2`) and the notes it adds to.
#[derive(Clone, Debug)]
pub struct Section<'a> {
    /// Where it stands, for messages; empty at the top of a file.
    pub place: String,
    span: Range<usize>,
    table: &'a DeTable<'a>,
    notes: &'a Notes,
}

impl<'a> Section<'a> {
    /// A table whose keys must all be among `keys`.
    pub fn open(
        place: impl Into<String>,
        span: Range<usize>,
        table: &'a DeTable<'a>,
        keys: &[&str],
        notes: &'a Notes,
    ) -> Self {
        let section = Self::free(place, span, table, notes);
        for key in table.keys() {
            let name: &str = key.get_ref();
            if !keys.contains(&name) {
                section.note_at(
                    key.span(),
                    format!("unknown key `{name}`"),
                    "not a known key",
                    Some(spelling_help(name, keys)),
                );
            }
        }
        section
    }

    /// A table whose keys are names of the user's own.
    pub fn free(place: impl Into<String>, span: Range<usize>, table: &'a DeTable<'a>, notes: &'a Notes) -> Self {
        Self { place: place.into(), span, table, notes }
    }

    /// Whether the key is there at all.
    pub fn has(&self, key: &str) -> bool {
        self.table.contains_key(key)
    }

    /// Its keys in the order of the file.
    pub fn keys(&self) -> Vec<&'a str> {
        let mut keys: Vec<_> = self.table.keys().collect();
        keys.sort_by_key(|k| k.span().start);
        keys.into_iter().map(|k| k.get_ref().as_ref()).collect()
    }

    /// Notes a problem with the value of `key`, or with the section where it has no such key.
    pub fn note(&self, key: &str, what: impl Into<String>, label: impl Into<String>, help: Option<String>) {
        let span = self.table.get(key).map_or(self.span.clone(), Spanned::span);
        self.note_at(span, what, label, help);
    }

    fn note_at(&self, span: Range<usize>, what: impl Into<String>, label: impl Into<String>, help: Option<String>) {
        let what = what.into();
        let title = if self.place.is_empty() { what } else { format!("{}: {what}", self.place) };
        self.notes.add(Problem { span, title, label: label.into(), help });
    }

    /// Passes `value` on; notes that `key` must be given where it is not there.
    pub fn required<T>(&self, key: &str, value: Option<T>, help: &str) -> Option<T> {
        if !self.has(key) {
            self.note(key, format!("`{key}` is missing"), format!("needs `{key}`"), Some(help.into()));
        }
        value
    }

    /// Notes each of `keys` that is given: it does not go with `what`.
    pub fn refuse(&self, keys: &[&str], what: &str, help: &str) {
        for key in keys.iter().filter(|k| self.has(k)) {
            self.note(key, format!("`{key}` does not go with {what}"), "leave it out", Some(help.into()));
        }
    }

    fn wrong_kind(&self, key: &str, value: &DeValue<'_>, wanted: &str) {
        let found = match value.type_str() {
            "string" => "text",
            "integer" | "float" => "a number without quotes",
            "boolean" => "true or false",
            "array" => "a list",
            "table" => "a table",
            other => other,
        };
        self.note(key, format!("`{key}` must be {wanted}"), format!("this is {found}"), None);
    }

    /// The value as text, empty where it is none; nothing is noted.
    pub fn peek(&self, key: &str) -> Option<&'a str> {
        Some(self.table.get(key)?.get_ref().as_str().unwrap_or("").trim())
    }

    /// Text that is not blank.
    pub fn text(&self, key: &str) -> Option<&'a str> {
        let value = self.table.get(key)?.get_ref();
        match value.as_str().map(str::trim) {
            Some("") => self.note(key, format!("`{key}` is empty"), "nothing between the quotes", None),
            Some(text) => return Some(text),
            None => self.wrong_kind(key, value, "text in quotes"),
        }
        None
    }

    /// `true` or `false`.
    pub fn yes_or_no(&self, key: &str) -> Option<bool> {
        let value = self.table.get(key)?.get_ref();
        if value.as_bool().is_none() {
            self.wrong_kind(key, value, "true or false");
        }
        value.as_bool()
    }

    /// A whole number within bounds.
    pub fn whole(&self, key: &str, range: std::ops::RangeInclusive<usize>) -> Option<usize> {
        let value = self.table.get(key)?.get_ref();
        let wanted = format!("a whole number from {} to {}", range.start(), range.end());
        let Some(integer) = value.as_integer() else {
            self.wrong_kind(key, value, &wanted);
            return None;
        };
        let number = integer.to_string().parse().ok().filter(|n| range.contains(n));
        if number.is_none() {
            self.note(key, format!("`{key}` must be {wanted}"), format!("{integer} is not"), None);
        }
        number
    }

    /// A quantity within its limit, in SI; a rough one as this reading of the file picks it.
    pub fn quantity(&self, key: &str, limit: &Limit) -> Option<f64> {
        let value = self.table.get(key)?.get_ref();
        let place = || if self.place.is_empty() { key.to_string() } else { format!("{}, {key}", self.place) };
        let read = match value {
            DeValue::String(text) => rough::read(text.trim(), limit).map(|read| {
                if read.exact {
                    self.notes.rough.exact(place());
                }
                self.notes.rough.value(place(), read.spread)
            }),
            DeValue::Integer(number) => limit.read_number(&number.to_string()),
            DeValue::Float(number) => limit.read_number(number.as_str()),
            other => {
                self.wrong_kind(key, other, limit.kind_words());
                return None;
            }
        };
        match read {
            Ok(si) => Some(si),
            Err(label) => {
                let help = format!("allowed: {}", limit.words);
                self.note(key, format!("`{key}` cannot be used"), label, Some(help));
                None
            }
        }
    }

    /// A list of bare numbers within a limit.
    pub fn numbers(&self, key: &str, limit: &Limit) -> Option<Vec<f64>> {
        let value = self.table.get(key)?.get_ref();
        let Some(list) = value.as_array() else {
            self.wrong_kind(key, value, "a list of numbers");
            return None;
        };
        let read = list.iter().map(|entry| match entry.get_ref() {
            DeValue::Integer(number) => limit.read_number(&number.to_string()),
            DeValue::Float(number) => limit.read_number(number.as_str()),
            other => Err(format!("a {} is not a number", other.type_str())),
        });
        match read.collect() {
            Ok(numbers) => Some(numbers),
            Err(label) => {
                let label: String = label;
                self.note(key, format!("`{key}` cannot be used"), label, Some(format!("allowed: {}", limit.words)));
                None
            }
        }
    }

    /// One of a few words.
    pub fn choice<T: Copy>(&self, key: &str, choices: &[(&str, T)]) -> Option<T> {
        let text = self.text(key)?;
        let found = choices.iter().find(|(word, _)| word.eq_ignore_ascii_case(text)).map(|(_, value)| *value);
        if found.is_none() {
            let words: Vec<&str> = choices.iter().map(|(word, _)| *word).collect();
            self.note(key, format!("`{key}` cannot be `{text}`"), "not one of them", Some(spelling_help(text, &words)));
        }
        found
    }

    /// A table inside this one.
    pub fn section(&self, key: &str, keys: &[&str]) -> Option<Section<'a>> {
        let (place, span, table) = self.table_at(key)?;
        Some(Section::open(place, span, table, keys, self.notes))
    }

    /// A table inside this one whose keys are the user's own names.
    pub fn free_section(&self, key: &str) -> Option<Section<'a>> {
        let (place, span, table) = self.table_at(key)?;
        Some(Section::free(place, span, table, self.notes))
    }

    fn table_at(&self, key: &str) -> Option<(String, Range<usize>, &'a DeTable<'a>)> {
        let value = self.table.get(key)?;
        let Some(table) = value.get_ref().as_table() else {
            self.wrong_kind(key, value.get_ref(), &format!("a table, started by `[{key}]`"));
            return None;
        };
        let place = match self.place.strip_suffix(']') {
            _ if self.place.is_empty() => format!("[{key}]"),
            Some(outer) => format!("{outer}.{key}]"),
            None => format!("{}, {key}", self.place),
        };
        Some((place, value.span(), table))
    }

    /// All tables of a list such as `[[tray]]`, each with its place in words (`tray 1`).
    pub fn list(&self, key: &str, keys: &[&str]) -> Vec<Section<'a>> {
        let Some(value) = self.table.get(key) else { return Vec::new() };
        let Some(list) = value.get_ref().as_array() else {
            self.wrong_kind(key, value.get_ref(), &format!("a list, each entry started by `[[{key}]]`"));
            return Vec::new();
        };
        let mut sections = Vec::new();
        for (index, entry) in list.iter().enumerate() {
            let place = format!("{key} {}", index + 1);
            match entry.get_ref().as_table() {
                Some(table) => sections.push(Section::open(place, entry.span(), table, keys, self.notes)),
                None => self.wrong_kind(key, entry.get_ref(), &format!("a list of tables, started by `[[{key}]]`")),
            }
        }
        sections
    }
}
