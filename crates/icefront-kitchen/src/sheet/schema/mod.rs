//! The schema of load sheets and dryer files: every key once, with what may be written there and what holds without it.
//!
//! The reader ([`Section`](crate::sheet::section::Section)) takes allowed keys, ranges, defaults and the help of its
//! messages from here, `--vary` the keys it knows, the page its form, and tests compare the tables of
//! `docs/load-sheet.md` and the two JSON Schemas. A new key is a row here. A row of a tray's flag, or of a number in
//! `[tray.expert]`, also says what it changes in the physics; another key needs a line where its table becomes a load.

pub mod dryer;
pub mod expert;
pub mod json;
pub mod load;
#[cfg(test)]
mod tests;
pub mod text;

use crate::quantity::written;
use icefront_core::load::Tray;

use crate::quantity::{self, Kind, Limit};
use expert::Target;

/// A table of a file.
#[derive(Debug)]
pub struct Table {
    /// Its keys in the order of the documentation. Where a key's range hangs on the table's choice it has several rows.
    pub keys: &'static [Key],
    /// What stands under the user's own names, in a table of such names.
    pub any: Option<&'static Key>,
    /// The key whose word decides which others may be given, such as `shape`; empty if there is none.
    pub choice: &'static str,
}

/// A key of a table.
#[derive(Clone, Copy, Debug)]
pub struct Key {
    /// Its name.
    pub name: &'static str,
    /// What may be written.
    pub value: Value,
    /// What it is, in a few words.
    pub about: &'static str,
    /// Whether it must be given.
    pub required: bool,
    /// What holds without it, in words; empty where it is required or has a value of its own then.
    pub otherwise: &'static str,
    /// The value that holds without it, or, for a required key or one with other words, an example of one.
    pub example: &'static str,
    /// Words of the table's choice that it goes with; empty: all.
    pub with: &'static [&'static str],
    /// Keys that say the same in another way: they are dropped where this one is put in.
    pub instead_of: &'static [&'static str],
    /// What the page calls it; empty: the page has no field for it.
    pub label: &'static str,
    /// Whether the page folds it away.
    pub folded: bool,
    /// What it does to food and contact of a tray, in `[tray.expert]`.
    pub sets: Option<fn(&mut Target, f64)>,
    /// What `true` or `false` does to a tray.
    pub switches: Option<fn(&mut Tray, bool)>,
}

/// What may be written for a key.
#[derive(Clone, Copy, Debug)]
pub enum Value {
    /// The version of the format: 1.
    Version,
    /// Text, with words on which.
    Text(&'static str),
    /// The name of a food.
    Food,
    /// One of a few words, each with what the page calls it.
    Words(&'static [(&'static str, &'static str)]),
    /// `true` or `false`.
    Flag,
    /// A whole number between two bounds.
    Whole(usize, usize),
    /// A quantity, which may be uncertain.
    Quantity(Limit),
    /// A quantity, or a list of tables that say how it changes.
    QuantityOr(Limit, &'static Table),
    /// A mass or a household measure of food.
    Amount,
    /// A list of bare numbers.
    Numbers(Limit),
    /// A table.
    Table(&'static Table),
    /// A list of tables.
    List(&'static Table),
}

impl Table {
    const fn new(keys: &'static [Key]) -> Self {
        Self { keys, any: None, choice: "" }
    }

    /// A table in which the word of one key decides which others may be given.
    const fn by(choice: &'static str, keys: &'static [Key]) -> Self {
        Self { keys, any: None, choice }
    }

    /// A table of the user's own names beside some keys.
    const fn with_names(keys: &'static [Key], any: &'static Key) -> Self {
        Self { keys, any: Some(any), choice: "" }
    }

    /// A table of the user's own names.
    const fn named(any: &'static Key) -> Self {
        Self { keys: &[], any: Some(any), choice: "" }
    }

    /// The row of a key, given the word of the table's choice; without such a word the first row of that name.
    pub fn row(&self, name: &str, word: Option<&str>) -> Option<&'static Key> {
        let rows = || self.keys.iter().filter(|key| key.name == name);
        word.and_then(|word| rows().find(|key| key.goes_with(word))).or_else(|| rows().next()).or(self.any)
    }

    /// Names of all keys, each once.
    pub fn names(&self) -> Vec<&'static str> {
        let mut names: Vec<_> = self.keys.iter().map(|key| key.name).collect();
        names.dedup();
        names
    }

    /// Whether there is such a key.
    pub fn has(&self, name: &str) -> bool {
        self.any.is_some() || self.keys.iter().any(|key| key.name == name)
    }

    /// A word as the schema spells it, if the key takes it.
    pub fn word(&self, name: &str, word: &str) -> Option<&'static str> {
        self.words(name).iter().map(|(known, _)| *known).find(|known| known.eq_ignore_ascii_case(word))
    }

    /// Whether a key may be given with a word of the choice.
    pub fn takes(&self, name: &str, word: &str) -> bool {
        self.row(name, Some(word)).is_some_and(|key| key.goes_with(word))
    }

    /// The table under a key.
    pub fn inner(&self, name: &str) -> Option<&'static Self> {
        match self.row(name, None)?.value {
            Value::Table(inner) | Value::List(inner) | Value::QuantityOr(_, inner) => Some(inner),
            _ => None,
        }
    }

    /// The key at a place such as `tray`, `0`, `depth`; numbers of list entries do not count.
    pub fn at(&self, steps: &[&str]) -> Option<&'static Key> {
        match steps {
            [key] => self.row(key, None),
            [number, rest @ ..] if self.any.is_none() && number.parse::<usize>().is_ok() => self.at(rest),
            [key, rest @ ..] => self.inner(key)?.at(rest),
            [] => None,
        }
    }

    /// The word of its choice that holds where a file has no such table.
    pub fn first_word(&self) -> &'static str {
        self.words(self.choice).first().map_or("", |(word, _)| word)
    }

    /// Words that a key takes.
    pub fn words(&self, name: &str) -> &'static [(&'static str, &'static str)] {
        match self.row(name, None).map(|key| key.value) {
            Some(Value::Words(words)) => words,
            _ => &[],
        }
    }
}

impl Key {
    const fn new(name: &'static str, value: Value, about: &'static str) -> Self {
        let (otherwise, example, label) = ("", "", "");
        let (with, instead_of): (&[&str], &[&str]) = (&[], &[]);
        let (required, folded, sets, switches) = (false, false, None, None);
        Self { name, value, about, required, otherwise, example, with, instead_of, label, folded, sets, switches }
    }

    /// It must be given; `example` is one such value.
    const fn required(self, example: &'static str) -> Self {
        Self { required: true, example, ..self }
    }

    /// The value that holds without it.
    const fn usual(self, example: &'static str) -> Self {
        Self { example, ..self }
    }

    /// What holds without it, in words, and an example of a value.
    const fn or(self, otherwise: &'static str, example: &'static str) -> Self {
        Self { otherwise, example, ..self }
    }

    const fn with(self, with: &'static [&'static str]) -> Self {
        Self { with, ..self }
    }

    const fn instead_of(self, instead_of: &'static [&'static str]) -> Self {
        Self { instead_of, ..self }
    }

    const fn label(self, label: &'static str) -> Self {
        Self { label, ..self }
    }

    const fn sets(self, sets: fn(&mut Target, f64)) -> Self {
        Self { sets: Some(sets), ..self }
    }

    const fn switches(self, switches: fn(&mut Tray, bool)) -> Self {
        Self { switches: Some(switches), ..self }
    }

    const fn folded(self) -> Self {
        Self { folded: true, ..self }
    }

    /// Whether it may be given with a word of the table's choice.
    pub fn goes_with(&self, word: &str) -> bool {
        self.with.is_empty() || self.with.iter().any(|with| with.eq_ignore_ascii_case(word))
    }

    /// What to write where it is missing.
    pub fn help(&self) -> String {
        match self.value {
            Value::Words(words) => listed(words),
            Value::Whole(low, high) => format!("a whole number from {low} to {high}"),
            Value::Quantity(limit) | Value::QuantityOr(limit, _) if self.example.is_empty() => {
                format!("allowed: {}", limit.words)
            }
            _ if self.example.is_empty() => self.about.into(),
            _ => format!("such as {} = {}", self.name, self.written(self.example)),
        }
    }

    /// A value as TOML.
    pub fn written(&self, text: &str) -> String {
        match self.value {
            Value::Flag | Value::Whole(..) | Value::Version => text.into(),
            Value::Quantity(Limit { kind: Kind::Number, .. }) => text.into(),
            _ => format!("\"{text}\""),
        }
    }

    /// The range of a quantity.
    pub fn limit(&self) -> Option<Limit> {
        match self.value {
            Value::Quantity(limit) | Value::QuantityOr(limit, _) => Some(limit),
            _ => None,
        }
    }

    /// The value of its example, SI.
    pub fn example_si(&self) -> f64 {
        self.limit().and_then(|limit| written::one(self.example, &limit).ok()).unwrap_or(f64::NAN)
    }
}

impl Value {
    /// Its kind in words, and what of that kind is allowed.
    pub fn columns(self) -> (&'static str, String) {
        match self {
            Self::Version => ("whole number", "1".into()),
            Self::Text(which) => ("text", which.into()),
            Self::Food => ("text", "a food of the table (`icefront foods WORD`) or a `[food.x]` of this sheet".into()),
            Self::Words(words) => ("text", quoted(words).join(", ")),
            Self::Flag => ("true or false", String::new()),
            Self::Whole(low, high) => ("whole number", format!("{low} to {high}")),
            Self::Quantity(limit) => (limit.kind.name(), limit.words.into()),
            Self::QuantityOr(limit, _) => ("quantity or list of tables", format!("{}; or see below", limit.words)),
            Self::Amount => {
                ("mass or household measure", format!("{}, {}", quantity::AMOUNT.words, quantity::MEASURE.words))
            }
            Self::Numbers(limit) => ("list of numbers", limit.words.into()),
            Self::Table(_) => ("table", "see below".into()),
            Self::List(_) => ("list of tables", "see below".into()),
        }
    }
}

fn quoted(words: &[(&str, &str)]) -> Vec<String> {
    words.iter().map(|(word, _)| format!("`{word}`")).collect()
}

/// "`a`, `b` or `c`"
fn listed(words: &[(&str, &str)]) -> String {
    let quoted = quoted(words);
    match quoted.split_last() {
        Some((last, rest)) if !rest.is_empty() => format!("{} or {last}", rest.join(", ")),
        _ => quoted.concat(),
    }
}

const fn of(limit: Limit) -> Value {
    Value::Quantity(limit)
}

const fn number(low: f64, high: f64, words: &'static str) -> Value {
    of(Limit::number(low, high, words))
}

const fn share(low: f64, high: f64, words: &'static str) -> Value {
    of(Limit::new(Kind::Share, low, high, words))
}

const fn length(low_m: f64, high_m: f64, words: &'static str) -> Value {
    of(Limit::new(Kind::Length, low_m, high_m, words))
}

const fn area(low_m2: f64, high_m2: f64, words: &'static str) -> Value {
    of(Limit::new(Kind::Area, low_m2, high_m2, words))
}

const fn power(low_w: f64, high_w: f64, words: &'static str) -> Value {
    of(Limit::new(Kind::Power, low_w, high_w, words))
}

const fn pressure(low_pa: f64, high_pa: f64, words: &'static str) -> Value {
    of(Limit::new(Kind::Pressure, low_pa, high_pa, words))
}

const fn hours(low: f64, high: f64, words: &'static str) -> Value {
    of(Limit::new(Kind::Duration, low * 3600.0, high * 3600.0, words))
}

const fn celsius(low: f64, high: f64, words: &'static str) -> Value {
    of(Limit::celsius(low, high, words))
}
