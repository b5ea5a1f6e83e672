//! A file, checked once and made into something at each draw: text -> entries -> sections, tables whose uncertain
//! quantities are realised. What does not fit together is noted with its place.

use std::cell::RefCell;

use icefront_core::ModelError;
use icefront_core::ranges::{Point, Spread};
use icefront_core::units::UnitSystem;
use toml::Spanned;
use toml::de::DeTable;

use crate::Text;
use crate::problem::{BadFile, Problem, Problems};
use crate::quantity::{Amount, KeyPath};
use crate::sheet::change::{self, Change};
use crate::sheet::entries::{Entries, Entry, Given, Quantity};
use crate::sheet::schema::{Key, Table};
use crate::sheet::{bounds, printable};

/// A file that was read and found right.
#[derive(Clone, Debug)]
pub struct Checked<T> {
    /// What was made of it, uncertain quantities at their typical values.
    pub made: T,
    /// Its entries, of which a draw makes the same with other values.
    pub entries: Entries,
    /// Its uncertain quantities, in the order of their numbers in a drawn point.
    pub given: Vec<KeyPath>,
}

impl Text {
    /// Reads all entries of the file, some of them replaced, and makes something of them.
    ///
    /// # Errors
    /// All problems of the file, those that `make` notes included.
    pub fn check<T>(
        &self,
        schema: &'static Table,
        changes: &[Change],
        make: impl FnOnce(&Section<'_>) -> Option<T>,
    ) -> Result<Checked<T>, BadFile> {
        let mut problems = Problems::default();
        let (mut table, syntax) = parse(&self.text);
        change::apply(table.get_mut(), changes);
        for error in &syntax {
            let title = format!("this is not TOML: {}", error.message());
            problems.add(Problem::new(error.span().unwrap_or(0..0), title, "here", ""));
        }
        if syntax.is_empty() {
            bounds::check(table.get_ref(), &mut problems);
        }
        let within_bounds = problems.is_empty();
        printable::check(table.get_ref(), &mut problems);
        let entries = if within_bounds { Entries::of_file(table.get_ref(), schema, &mut problems) } else { None };
        let notes = Notes::new(problems, entries.as_ref(), None);
        let made = entries.as_ref().and_then(|entries| make(&Section { entries, notes: &notes }));
        let (problems, given) = (notes.problems.into_inner(), notes.given.into_inner());
        match (made, entries) {
            (Some(made), Some(entries)) if problems.is_empty() => Ok(Checked { made, entries, given }),
            _ => Err(BadFile { path: self.path.clone(), text: self.text.clone(), problems }),
        }
    }
}

impl Entries {
    /// What is made of the file at a draw.
    ///
    /// # Errors
    /// [`ModelError::Unfit`] where drawn quantities contradict each other.
    pub fn realise<T>(&self, draw: Draw<'_>, make: impl FnOnce(&Section<'_>) -> Option<T>) -> Result<T, ModelError> {
        let notes = Notes::new(Problems::default(), Some(self), Some(draw));
        let made = make(&Section { entries: self, notes: &notes });
        made.filter(|_| notes.problems.borrow().is_empty()).ok_or(ModelError::Unfit)
    }
}

/// A text as TOML, with all errors; of a long text only the first, since one that is no TOML may have an error at every byte.
fn parse(text: &str) -> (Spanned<DeTable<'_>>, Vec<toml::de::Error>) {
    if text.len() <= bounds::ALL_ERRORS {
        return DeTable::parse_recoverable(text);
    }
    match DeTable::parse(text) {
        Ok(table) => (table, Vec::new()),
        Err(first) => (Spanned::new(0..0, DeTable::new()), vec![first]),
    }
}

/// The numbers of a point that uncertain quantities of a file take.
#[derive(Clone, Copy, Debug)]
pub struct Draw<'a> {
    /// The point.
    pub point: &'a Point,
    /// Its first number that belongs to the file.
    pub first: usize,
    /// Quantities in the order of their numbers.
    pub order: &'a [KeyPath],
}

/// What comes up while a load is made of a file: what does not fit together, and which uncertain quantities it has.
#[derive(Debug)]
struct Notes<'a> {
    units: UnitSystem,
    draw: Option<Draw<'a>>,
    problems: RefCell<Problems>,
    given: RefCell<Vec<KeyPath>>,
}

impl<'a> Notes<'a> {
    /// None beyond these so far; uncertain quantities take the values of this draw, else their typical ones.
    fn new(problems: Problems, file: Option<&Entries>, draw: Option<Draw<'a>>) -> Self {
        let units = file.and_then(|file| match &file.get("units")?.value {
            Given::Word(name) => UnitSystem::named(name),
            _ => None,
        });
        Self { units: units.unwrap_or_default(), draw, problems: problems.into(), given: RefCell::default() }
    }

    fn realise(&self, quantity: &Quantity) -> f64 {
        let Some(Draw { point, first, order }) = self.draw else {
            if let Quantity::Given { id, .. } = quantity {
                let mut given = self.given.borrow_mut();
                if !given.contains(id) {
                    given.push(id.clone());
                }
            }
            return quantity.typical();
        };
        // the middle for what no sheet has numbered
        let unit = |id: &KeyPath| order.iter().position(|known| known == id).map_or(0.5, |at| point.unit(first + at));
        quantity.realise(unit)
    }
}

/// A table with the notes it adds to.
#[derive(Clone, Copy, Debug)]
pub struct Section<'a> {
    entries: &'a Entries,
    notes: &'a Notes<'a>,
}

impl<'a> Section<'a> {
    /// Where it stands in words, such as `tray 2`; empty at the top of a file.
    pub fn place(&self) -> String {
        self.entries.path.table_words()
    }

    /// Units in which its file is answered.
    pub fn units(&self) -> UnitSystem {
        self.notes.units
    }

    /// Whether the key is there at all.
    pub fn has(&self, key: &str) -> bool {
        self.entries.get(key).is_some()
    }

    /// Its keys in the order of the file.
    pub fn keys(&self) -> Vec<&'a str> {
        self.entries.list.iter().map(|entry| entry.name.as_str()).collect()
    }

    /// Notes a problem with the value of `key`, or with the section where it has no such key.
    pub fn note(&self, key: &str, what: impl Into<String>, label: impl Into<String>, help: impl Into<String>) {
        let span = self.entries.get(key).map_or(&self.entries.span, |entry| &entry.span);
        let title = self.entries.path.title(&what.into());
        let problem = Problem::new(span.clone(), title, label, help).at(self.entries.path.key(key));
        self.notes.problems.borrow_mut().add(problem);
    }

    /// Passes `value` on; notes that `key` must be given where it is not there.
    pub fn required<T>(&self, key: &str, value: Option<T>, help: &str) -> Option<T> {
        if !self.has(key) {
            self.note(key, format!("`{key}` is missing"), format!("needs `{key}`"), help);
        }
        value
    }

    /// Notes each of `keys` that is given: it does not go with `what`.
    pub fn refuse(&self, keys: &[&str], what: &str, help: &str) {
        for key in keys.iter().filter(|k| self.has(k)) {
            self.note(key, format!("`{key}` does not go with {what}"), "leave it out", help);
        }
    }

    fn row(&self, key: &str) -> Option<&'static Key> {
        self.entries.schema.row(key, self.entries.chosen())
    }

    fn get(&self, key: &str) -> Option<&'a Given> {
        self.entries.get(key).map(|Entry { value, .. }| value)
    }

    /// Text that is not blank.
    pub fn text(&self, key: &str) -> Option<&'a str> {
        if let Given::Text(text) = self.get(key)? { Some(text) } else { None }
    }

    /// `true` or `false`.
    pub fn flag(&self, key: &str) -> Option<bool> {
        if let Given::Flag(flag) = self.get(key)? { Some(*flag) } else { None }
    }

    /// A whole number.
    pub fn whole(&self, key: &str) -> Option<usize> {
        if let Given::Whole(number) = self.get(key)? { Some(*number) } else { None }
    }

    /// One of a few words, as the schema spells it.
    pub fn word(&self, key: &str) -> Option<&'static str> {
        if let Given::Word(word) = self.get(key)? { Some(word) } else { None }
    }

    /// A list of bare numbers.
    pub fn numbers(&self, key: &str) -> Option<&'a [f64]> {
        if let Given::Numbers(numbers) = self.get(key)? { Some(numbers) } else { None }
    }

    /// A quantity, SI.
    pub fn quantity(&self, key: &str) -> Option<f64> {
        if let Given::Quantity(quantity) = self.get(key)? { Some(self.notes.realise(quantity)) } else { None }
    }

    /// Number of a draw, 0 to 1, for a key whose value leaves room, such as a name that fits several foods; the middle where
    /// nothing is drawn.
    pub fn draw(&self, key: &str) -> f64 {
        let spread = Spread::Between { low: 0.0, high: 1.0 };
        self.notes.realise(&Quantity::Given { id: self.entries.path.key(key), spread })
    }

    /// A mass or a household measure of food, SI.
    pub fn amount(&self, key: &str) -> Option<Amount<f64>> {
        let Given::Amount(amount) = self.get(key)? else { return None };
        Some(amount.clone().map(|quantity| self.notes.realise(&quantity)))
    }

    /// A quantity that must be given here, whether or not the schema says so.
    pub fn needed(&self, key: &str) -> Option<f64> {
        self.required(key, self.quantity(key), &self.row(key)?.help())
    }

    /// The quantity, or the value that holds where the file gives none that can be used.
    pub fn usual(&self, key: &str) -> f64 {
        self.quantity(key).unwrap_or_else(|| self.row(key).map_or(f64::NAN, Key::example_si))
    }

    /// A table inside this one.
    pub fn section(&self, key: &str) -> Option<Self> {
        if let Given::Table(entries) = self.get(key)? { Some(Self { entries, ..*self }) } else { None }
    }

    /// Whether the key holds a list of tables.
    pub fn is_list(&self, key: &str) -> bool {
        matches!(self.get(key), Some(Given::List(_)))
    }

    /// All tables of a list such as `[[tray]]`.
    pub fn list(&self, key: &str) -> Vec<Self> {
        let Some(Given::List(tables)) = self.get(key) else { return Vec::new() };
        tables.iter().map(|entries| Self { entries, ..*self }).collect()
    }
}
