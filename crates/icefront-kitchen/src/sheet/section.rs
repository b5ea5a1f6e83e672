//! One table of a file, read key by key. Whatever is wrong is noted and reading goes on, so that a file's
//! problems are all told at once.

use std::ops::{Range, RangeInclusive};

use icefront_core::units::{Mass, UnitError, Volume};
use toml::Spanned;
use toml::de::{DeTable, DeValue};

use crate::problem::{Notes, Problem, spelling_help};
use crate::sheet::limits::{self, Limit};
use crate::sheet::rough;
use crate::sheet::schema::{Key, Table, Value};

/// How much of a food.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Amount {
    /// By weight.
    Kilograms(f64),
    /// By household measure.
    CubicMetres(f64),
}

/// A table with its place in words (`tray 2`), its part of the schema and the notes it adds to.
#[derive(Clone, Debug)]
pub struct Section<'a> {
    /// Where it stands, for messages; empty at the top of a file.
    pub place: String,
    span: Range<usize>,
    table: &'a DeTable<'a>,
    schema: &'static Table,
    notes: &'a Notes,
}

impl<'a> Section<'a> {
    /// The top table of a file, once its version is found to be 1.
    pub fn top(table: &'a DeTable<'a>, schema: &'static Table, notes: &'a Notes) -> Option<Self> {
        let section = Self { place: String::new(), span: 0..0, table, schema, notes };
        let key = schema.keys.first().map_or("", |key| key.name);
        if !section.has(key) {
            let help = format!("write `{key} = 1` on the first line");
            section.note(key, format!("`{key}` is missing"), format!("needs `{key}`"), Some(help));
        }
        let version = section.integer(key, 0..=9999)?;
        if version != 1 {
            let label = format!("this is version {version}");
            section.note(key, "only version 1 of this kind of file can be read", label, None);
            return None;
        }
        section.check_keys();
        Some(section)
    }

    /// A table inside this one.
    fn open(&self, place: String, span: Range<usize>, table: &'a DeTable<'a>, schema: &'static Table) -> Self {
        let section = Self { place, span, table, schema, notes: self.notes };
        section.check_keys();
        section
    }

    /// Notes keys that are not in the schema, and those that do not go with the word of the table's choice.
    fn check_keys(&self) {
        let word = self.chosen();
        for key in self.table.keys() {
            let name: &str = key.get_ref();
            if !self.schema.has(name) {
                let help = spelling_help(name, &self.schema.names());
                self.note_at(key.span(), format!("unknown key `{name}`"), "not a known key", Some(help));
            } else if let Some(word) = word
                && !self.schema.takes(name, word)
            {
                let what = format!("`{name}` does not go with {} `{word}`", self.schema.choice);
                self.note(name, what, "leave it out", Some(self.takes(name, word)));
            }
        }
    }

    /// The word of the table's choice, if it is one of those allowed.
    fn chosen(&self) -> Option<&'static str> {
        self.schema.word(self.schema.choice, self.peek(self.schema.choice)?)
    }

    /// With which words a key goes, and which keys go with this word but not with all others.
    fn takes(&self, name: &str, word: &str) -> String {
        let rows = || self.schema.keys.iter();
        let list = |words: Vec<&str>| words.iter().map(|word| format!("`{word}`")).collect::<Vec<_>>().join(", ");
        let with = rows().filter(|key| key.name == name).flat_map(|key| key.with.iter().copied()).collect();
        let own = rows().filter(|key| !key.with.is_empty() && key.goes_with(word)).map(|key| key.name).collect();
        format!("it goes with {}; `{word}` takes {}", list(with), list(own))
    }

    /// The schema of a key; notes that the key is missing where it must be given.
    fn row(&self, key: &str) -> Option<&'static Key> {
        let row = self.schema.row(key, self.chosen())?;
        if row.required {
            self.required(key, Some(()), &row.help());
        }
        Some(row)
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
        self.row(key);
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

    /// A whole number.
    pub fn whole(&self, key: &str) -> Option<usize> {
        match self.row(key)?.value {
            Value::Whole(low, high) => self.integer(key, low..=high),
            _ => None,
        }
    }

    fn integer(&self, key: &str, range: RangeInclusive<usize>) -> Option<usize> {
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
    pub fn quantity(&self, key: &str) -> Option<f64> {
        let limit = self.row(key)?.limit()?;
        self.within(key, &limit)
    }

    /// A quantity that must be given here, whether or not the schema says so.
    pub fn needed(&self, key: &str) -> Option<f64> {
        let row = self.schema.row(key, self.chosen())?;
        self.required(key, self.within(key, &row.limit()?), &row.help())
    }

    /// The quantity, or the value that holds where the file gives none that can be used.
    pub fn usual(&self, key: &str) -> f64 {
        let usual = || self.schema.row(key, self.chosen()).map_or(f64::NAN, Key::example_si);
        self.quantity(key).unwrap_or_else(usual)
    }

    /// A mass or a household measure of food.
    pub fn amount(&self, key: &str) -> Option<Amount> {
        self.row(key);
        let text = rough::plain(self.peek(key)?);
        match (text.parse::<Mass>(), text.parse::<Volume>()) {
            (Err(UnitError::UnknownUnit { unit, .. }), Err(UnitError::UnknownUnit { nearest, .. })) => {
                let label =
                    format!("`{unit}` is neither a mass (g, kg, lb, oz) nor a household measure (cup, tbsp, ml, l)");
                let help = nearest.map(|near| format!("nearest: `{near}`"));
                self.note(key, format!("`{key}` cannot be used"), label, help);
                None
            }
            (_, Ok(_)) => self.within(key, &limits::MEASURE).map(Amount::CubicMetres),
            _ => self.within(key, &limits::AMOUNT).map(Amount::Kilograms),
        }
    }

    fn within(&self, key: &str, limit: &Limit) -> Option<f64> {
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
                self.wrong_kind(key, other, &limit.kind_words());
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

    /// A list of bare numbers.
    pub fn numbers(&self, key: &str) -> Option<Vec<f64>> {
        let Some(Value::Numbers(limit)) = self.row(key).map(|row| row.value) else { return None };
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

    /// One of a few words, as the schema spells it.
    pub fn word(&self, key: &str) -> Option<&'static str> {
        let text = self.text(key)?;
        let found = self.schema.word(key, text);
        if found.is_none() {
            let words: Vec<&str> = self.schema.words(key).iter().map(|(word, _)| *word).collect();
            let help = spelling_help(text, &words);
            self.note(key, format!("`{key}` cannot be `{text}`"), "not one of them", Some(help));
        }
        found
    }

    /// A table inside this one.
    pub fn section(&self, key: &str) -> Option<Section<'a>> {
        self.row(key);
        let schema = self.schema.inner(key)?;
        let (place, span, table) = self.table_at(key)?;
        Some(self.open(place, span, table, schema))
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
    pub fn list(&self, key: &str) -> Vec<Section<'a>> {
        self.row(key);
        let Some((value, schema)) = self.table.get(key).zip(self.schema.inner(key)) else { return Vec::new() };
        let Some(list) = value.get_ref().as_array() else {
            self.wrong_kind(key, value.get_ref(), &format!("a list, each entry started by `[[{key}]]`"));
            return Vec::new();
        };
        let mut sections = Vec::new();
        for (index, entry) in list.iter().enumerate() {
            let place = format!("{key} {}", index + 1);
            match entry.get_ref().as_table() {
                Some(table) => sections.push(self.open(place, entry.span(), table, schema)),
                None => self.wrong_kind(key, entry.get_ref(), &format!("a list of tables, started by `[[{key}]]`")),
            }
        }
        sections
    }
}
