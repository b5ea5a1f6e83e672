//! A file read once: its TOML checked against the schema, every value in the type that the schema gives it. Whatever is
//! wrong is noted and reading goes on, so that all problems of a file are shown at once.

use std::ops::Range;

use icefront_core::ranges::Uncertain;
use toml::Spanned;
use toml::de::{DeTable, DeValue};

use crate::problem::{Problem, Problems, spelling_help};
use crate::quantity::{Amount, KeyPath, Limit, QuantityError, Written, amount};
use crate::sheet::schema::{Key, Table, Value};

/// A quantity under the key it stands at.
pub type Quantity = Uncertain<KeyPath>;

/// A table of a file.
#[derive(Clone, Debug)]
pub struct Entries {
    /// Where it stands.
    pub path: KeyPath,
    /// Bytes of the file it fills.
    pub span: Range<usize>,
    /// Its part of the schema.
    pub schema: &'static Table,
    /// Its keys in the order of the file.
    pub list: Vec<Entry>,
}

/// A key with its value.
#[derive(Clone, Debug)]
pub struct Entry {
    /// The key.
    pub name: String,
    /// Bytes of the file that the value fills.
    pub span: Range<usize>,
    /// The value.
    pub value: Given,
}

/// A value in the type of its key.
#[derive(Clone, Debug)]
pub enum Given {
    /// Text that is not blank.
    Text(String),
    /// One of a few words, as the schema spells it.
    Word(&'static str),
    /// `true` or `false`.
    Flag(bool),
    /// A whole number.
    Whole(usize),
    /// A quantity.
    Quantity(Quantity),
    /// A mass or a household measure of food.
    Amount(Amount<Quantity>),
    /// Bare numbers.
    Numbers(Vec<f64>),
    /// A table.
    Table(Entries),
    /// A list of tables.
    List(Vec<Entries>),
    /// A value that cannot be used; why was noted.
    Wrong,
}

impl Entries {
    /// Reads a whole file, once its version is found to be 1; `None` if it is not.
    pub fn of_file(table: &DeTable<'_>, schema: &'static Table, problems: &mut Problems) -> Option<Self> {
        let key = schema.keys.first().map_or("", |key| key.name);
        let mut reader = Reader { problems, path: KeyPath::default(), span: 0..0, schema, word: None };
        let Some(value) = table.get(key) else {
            reader.missing(key, format!("write `{key} = 1` on the first line"));
            return None;
        };
        let version = reader.whole(key, value, (0, 9999))?;
        if version != 1 {
            let title = "only version 1 of this kind of file can be read";
            reader.note(value.span(), title, format!("this is version {version}"), "");
            return None;
        }
        Some(reader.table(table))
    }

    /// The entry of a key.
    pub fn get(&self, key: &str) -> Option<&Entry> {
        self.list.iter().find(|entry| entry.name == key)
    }

    /// The word of the table's choice, if it is one of those allowed.
    pub fn chosen(&self) -> Option<&'static str> {
        match self.get(self.schema.choice)?.value {
            Given::Word(word) => Some(word),
            _ => None,
        }
    }
}

/// Reads one table of a file.
struct Reader<'p> {
    problems: &'p mut Problems,
    path: KeyPath,
    span: Range<usize>,
    schema: &'static Table,
    /// The word of the table's choice.
    word: Option<&'static str>,
}

impl Reader<'_> {
    fn note(&mut self, span: Range<usize>, what: impl Into<String>, label: impl Into<String>, help: impl Into<String>) {
        self.problems.add(Problem::new(span, self.path.title(&what.into()), label, help));
    }

    fn missing(&mut self, key: &str, help: String) {
        self.note(self.span.clone(), format!("`{key}` is missing"), format!("needs `{key}`"), help);
    }

    fn table(&mut self, table: &DeTable<'_>) -> Entries {
        let choice = self.schema.choice;
        let chosen = table.get(choice).and_then(|value| value.get_ref().as_str());
        self.word = chosen.and_then(|word| self.schema.word(choice, word.trim()));
        let mut keys: Vec<_> = table.iter().collect();
        keys.sort_by_key(|(key, _)| key.span().start);
        let mut list = Vec::with_capacity(keys.len());
        for (key, value) in keys {
            let name: &str = key.get_ref();
            if let Some(row) = self.known(name, key.span(), value.span()) {
                let given = self.value(name, row, value).unwrap_or(Given::Wrong);
                list.push(Entry { name: name.into(), span: value.span(), value: given });
            }
        }
        let chosen = self.word;
        let needed = |row: &&Key| row.required && chosen.map_or(row.with.is_empty(), |word| row.goes_with(word));
        for row in self.schema.keys.iter().filter(needed).filter(|row| !table.contains_key(row.name)) {
            self.missing(row.name, row.help());
        }
        Entries { path: self.path.clone(), span: self.span.clone(), schema: self.schema, list }
    }

    /// The row of a key; notes a key that is not in the schema, or does not go with the word of the table's choice.
    fn known(&mut self, name: &str, key: Range<usize>, value: Range<usize>) -> Option<&'static Key> {
        let row = self.schema.row(name, self.word);
        let Some(row) = row else {
            let help = spelling_help(name, &self.schema.names());
            self.note(key, format!("unknown key `{name}`"), "not a known key", help);
            return None;
        };
        if let Some(word) = self.word
            && !row.goes_with(word)
        {
            let what = format!("`{name}` does not go with {} `{word}`", self.schema.choice);
            self.note(value, what, "leave it out", takes(self.schema, name, word));
        }
        Some(row)
    }

    /// The value of a key; `None` if it cannot be used, which was noted.
    fn value(&mut self, key: &str, row: &Key, value: &Spanned<DeValue<'_>>) -> Option<Given> {
        Some(match row.value {
            Value::Version => Given::Whole(1),
            Value::Text(_) | Value::Food => Given::Text(self.text(key, value)?.into()),
            Value::Words(_) => Given::Word(self.word(key, value)?),
            Value::Flag => match value.get_ref().as_bool() {
                Some(flag) => Given::Flag(flag),
                None => return self.wrong_kind(key, value, "true or false"),
            },
            Value::Whole(low, high) => Given::Whole(self.whole(key, value, (low, high))?),
            Value::Quantity(limit) => Given::Quantity(self.quantity(key, value, &limit)?),
            Value::Amount => {
                let text = value.get_ref().as_str().unwrap_or("").trim();
                match amount::limit(text) {
                    Err(QuantityError::NoAmount { nearest: None, .. }) if amount::pieces(text).is_some() => {
                        let (written, words) = amount::pieces(text)?;
                        Given::Amount(Amount::Pieces { count: self.uncertain(key, written), words })
                    }
                    Err(error) => {
                        let help = match &error {
                            QuantityError::NoAmount { nearest, .. } => {
                                nearest.map_or_else(String::new, |near| format!("did you mean `{near}`?"))
                            }
                            _ => String::new(),
                        };
                        self.note(value.span(), format!("`{key}` cannot be used"), error.to_string(), help);
                        return None;
                    }
                    Ok(Amount::Kilograms(limit)) => {
                        Given::Amount(Amount::Kilograms(self.quantity(key, value, &limit)?))
                    }
                    Ok(Amount::CubicMetres(limit)) => {
                        Given::Amount(Amount::CubicMetres(self.quantity(key, value, &limit)?))
                    }
                    Ok(Amount::Pieces { .. }) => return None,
                }
            }
            Value::Numbers(limit) => Given::Numbers(self.numbers(key, value, &limit)?),
            Value::Table(inner) => {
                let Some(table) = value.get_ref().as_table() else {
                    return self.wrong_kind(key, value, &format!("a table, started by `[{key}]`"));
                };
                Given::Table(self.inner(self.path.key(key), value.span(), inner).table(table))
            }
            Value::QuantityOr(limit, _) if !value.get_ref().is_array() => {
                Given::Quantity(self.quantity(key, value, &limit)?)
            }
            Value::List(inner) | Value::QuantityOr(_, inner) => {
                let Some(list) = value.get_ref().as_array() else {
                    return self.wrong_kind(key, value, &format!("a list, each entry started by `[[{key}]]`"));
                };
                let path = self.path.key(key);
                let mut tables = Vec::with_capacity(list.len());
                let mut all_tables = true;
                for (index, entry) in list.iter().enumerate() {
                    match entry.get_ref().as_table() {
                        Some(table) => {
                            tables.push(self.inner(path.entry(index + 1), entry.span(), inner).table(table));
                        }
                        None => {
                            let wanted = format!("a list of tables, started by `[[{key}]]`");
                            self.wrong_kind::<Given>(key, entry, &wanted);
                            all_tables = false;
                        }
                    }
                }
                if !all_tables {
                    return None;
                }
                Given::List(tables)
            }
        })
    }

    fn inner(&mut self, path: KeyPath, span: Range<usize>, schema: &'static Table) -> Reader<'_> {
        Reader { problems: self.problems, path, span, schema, word: None }
    }

    /// Notes a value of the wrong kind; always `None`.
    fn wrong_kind<T>(&mut self, key: &str, value: &Spanned<DeValue<'_>>, wanted: &str) -> Option<T> {
        let found = match value.get_ref().type_str() {
            "string" => "text",
            "integer" | "float" => "a number without quotes",
            "boolean" => "true or false",
            "array" => "a list",
            "table" => "a table",
            other => other,
        };
        self.note(value.span(), format!("`{key}` must be {wanted}"), format!("this is {found}"), "");
        None
    }

    fn text<'t>(&mut self, key: &str, value: &'t Spanned<DeValue<'_>>) -> Option<&'t str> {
        match value.get_ref().as_str().map(str::trim) {
            Some("") => {
                self.note(value.span(), format!("`{key}` is empty"), "nothing between the quotes", "");
                None
            }
            Some(text) => Some(text),
            None => self.wrong_kind(key, value, "text in quotes"),
        }
    }

    fn word(&mut self, key: &str, value: &Spanned<DeValue<'_>>) -> Option<&'static str> {
        let text = self.text(key, value)?;
        let found = self.schema.word(key, text);
        if found.is_none() {
            let words: Vec<&str> = self.schema.words(key).iter().map(|(word, _)| *word).collect();
            let help = spelling_help(text, &words);
            self.note(value.span(), format!("`{key}` cannot be `{text}`"), "not one of them", help);
        }
        found
    }

    fn whole(&mut self, key: &str, value: &Spanned<DeValue<'_>>, (low, high): (usize, usize)) -> Option<usize> {
        let wanted = format!("a whole number from {low} to {high}");
        let Some(integer) = value.get_ref().as_integer() else { return self.wrong_kind(key, value, &wanted) };
        let number = integer.to_string().parse().ok().filter(|number| (low..=high).contains(number));
        if number.is_none() {
            self.note(value.span(), format!("`{key}` must be {wanted}"), format!("{integer} is not"), "");
        }
        number
    }

    fn quantity(&mut self, key: &str, value: &Spanned<DeValue<'_>>, limit: &Limit) -> Option<Quantity> {
        let read = match value.get_ref() {
            DeValue::String(text) => limit.read(text.trim()),
            DeValue::Integer(_) | DeValue::Float(_) => number(value, limit).map(Written::Plain),
            _ => return self.wrong_kind(key, value, &limit.kind_words()),
        };
        let written = self.used(key, value, limit, read)?;
        Some(self.uncertain(key, written))
    }

    fn uncertain(&self, key: &str, written: Written) -> Quantity {
        match written {
            Written::Plain(si) => Uncertain::Plain(si),
            Written::Given(spread) => Uncertain::Given { id: self.path.key(key), spread },
        }
    }

    fn numbers(&mut self, key: &str, value: &Spanned<DeValue<'_>>, limit: &Limit) -> Option<Vec<f64>> {
        let Some(list) = value.get_ref().as_array() else { return self.wrong_kind(key, value, "a list of numbers") };
        let read = list.iter().map(|entry| number(entry, limit)).collect();
        self.used(key, value, limit, read)
    }

    /// What was read; notes why it cannot be used.
    fn used<T>(
        &mut self,
        key: &str,
        value: &Spanned<DeValue<'_>>,
        limit: &Limit,
        read: Result<T, QuantityError>,
    ) -> Option<T> {
        read.map_err(|error| {
            let title = self.path.title(&format!("`{key}` cannot be used"));
            self.problems.add(Problem::of_value(value.span(), title, self.path.key(key), error, *limit));
        })
        .ok()
    }
}

fn number(value: &Spanned<DeValue<'_>>, limit: &Limit) -> Result<f64, QuantityError> {
    match value.get_ref() {
        DeValue::Integer(number) => limit.read_number(&number.to_string()),
        DeValue::Float(number) => limit.read_number(number.as_str()),
        other => Err(QuantityError::NoNumber { text: other.type_str().into(), percent: false }),
    }
}

/// With which words of the choice a key goes, and which keys go with this word but not with all others.
fn takes(schema: &Table, name: &str, word: &str) -> String {
    let list = |words: Vec<&str>| words.iter().map(|word| format!("`{word}`")).collect::<Vec<_>>().join(", ");
    let with = schema.keys.iter().filter(|key| key.name == name).flat_map(|key| key.with.iter().copied()).collect();
    let own = schema.keys.iter().filter(|key| !key.with.is_empty() && key.goes_with(word)).map(|key| key.name);
    format!("it goes with {}; `{word}` takes {}", list(with), list(own.collect()))
}
