//! What a report is made of, before it is known how it is shown: words, lists and tables.

pub mod markup;
pub mod wrap;

use std::borrow::Cow;

use maud::{Markup, html};

use crate::Look;
use crate::blocks::wrap::{WIDTH, fit, wrap};
use crate::format::capital;
use crate::shown::{BOLD, NORMAL};

/// A part of a report.
pub trait Part {
    /// In 80 columns, labels in capitals.
    fn text(&self, bold: Bold) -> String;
    /// Lines to be read out.
    fn plain(&self) -> String;
    /// As a piece of a page.
    fn html(&self) -> Markup;
}

/// All parts, one below the other.
pub fn in_order(parts: &[&dyn Part], look: Look) -> String {
    let shown = parts.iter().map(|part| match look {
        Look::Plain => part.plain(),
        Look::Bare => part.text(Bold(false)),
        Look::Colour => part.text(Bold(true)),
        Look::Page => part.html().into_string(),
    });
    shown.filter(|part| !part.is_empty()).collect::<Vec<_>>().join("\n")
}

/// What is not there says nothing.
impl<P: Part> Part for Option<P> {
    fn text(&self, bold: Bold) -> String {
        self.as_ref().map_or_else(String::new, |part| part.text(bold))
    }

    fn plain(&self) -> String {
        self.as_ref().map_or_else(String::new, Part::plain)
    }

    fn html(&self) -> Markup {
        self.as_ref().map_or_else(|| html! {}, Part::html)
    }
}

/// A paragraph under a label.
#[derive(Clone, Debug, PartialEq)]
pub struct Words {
    /// What it is about, in lower case; empty for none.
    pub label: &'static str,
    /// Whole sentences.
    pub text: String,
}

impl Words {
    /// Words under a label.
    pub fn new(label: &'static str, text: impl Into<String>) -> Self {
        Self { label, text: text.into() }
    }
}

impl Part for Words {
    fn text(&self, bold: Bold) -> String {
        if self.label.is_empty() {
            return wrap("", &self.text);
        }
        let label = format!("{}:", self.label.to_uppercase());
        wrap("", &format!("{label} {}", self.text)).replacen(&label, &bold.of(&label), 1)
    }

    fn plain(&self) -> String {
        if self.label.is_empty() {
            format!("{}\n", self.text)
        } else {
            format!("{}: {}\n", capital(self.label), self.text)
        }
    }

    fn html(&self) -> Markup {
        markup::words(self)
    }
}

/// Sentences one below the other.
#[derive(Clone, Debug, PartialEq)]
pub struct List {
    /// What it is about, in lower case.
    pub label: &'static str,
    /// Whole sentences.
    pub items: Vec<String>,
}

impl List {
    /// A list of the lines of a text.
    pub fn of_lines(label: &'static str, text: &str) -> Self {
        Self { label, items: text.lines().map(String::from).collect() }
    }
}

impl Part for List {
    fn text(&self, bold: Bold) -> String {
        let items: String = self.items.iter().map(|item| wrap("- ", item)).collect();
        format!("{}\n{items}", bold.of(&self.label.to_uppercase()))
    }

    fn plain(&self) -> String {
        let items: String = self.items.iter().map(|item| format!("{item}\n")).collect();
        format!("{}:\n{items}", capital(self.label))
    }

    fn html(&self) -> Markup {
        markup::list(self)
    }
}

/// Rows under names of columns. The first column says what a row is about.
#[derive(Clone, Debug, PartialEq)]
pub struct Table<Label = &'static str> {
    /// What it is about, in lower case.
    pub label: Label,
    /// What follows the label in its line: unit, order, meaning.
    pub about: String,
    /// Columns; the first may have an empty name.
    pub columns: Vec<Column>,
    /// Cells; a line break in the last column starts another line.
    pub rows: Vec<Vec<String>>,
    /// Sentences below it.
    pub notes: Vec<String>,
}

impl<Label> Table<Label> {
    /// Rows under columns.
    pub fn new(
        label: Label,
        columns: impl IntoIterator<Item = Column>,
        rows: impl IntoIterator<Item = Vec<String>>,
    ) -> Self {
        let rows = rows.into_iter().collect();
        Self { label, about: String::new(), columns: columns.into_iter().collect(), rows, notes: Vec::new() }
    }

    /// Rows of numbers, each about what its first cell says.
    pub fn of_numbers<const N: usize>(
        label: Label,
        first: Column,
        names: [&'static str; N],
        rows: impl IntoIterator<Item = Vec<String>>,
    ) -> Self {
        Self::new(label, [first].into_iter().chain(names.map(Column::number)), rows)
    }

    /// What follows the label in its line.
    #[must_use]
    pub fn about(self, about: impl Into<String>) -> Self {
        Self { about: about.into(), ..self }
    }

    /// One more sentence below it.
    #[must_use]
    pub fn note(self, note: impl Into<String>) -> Self {
        self.notes([note.into()])
    }

    /// More sentences below it.
    #[must_use]
    pub fn notes(mut self, notes: impl IntoIterator<Item = String>) -> Self {
        self.notes.extend(notes);
        self
    }
}

/// One column.
#[derive(Clone, Debug, PartialEq)]
pub struct Column {
    /// Its name.
    pub name: Cow<'static, str>,
    /// Whether its cells are numbers.
    pub is_number: bool,
    /// Longer words are cut in text.
    pub most: usize,
}

impl Column {
    /// Words, at most this wide in text.
    pub fn words(name: impl Into<Cow<'static, str>>, most: usize) -> Self {
        Self { name: name.into(), is_number: false, most }
    }

    /// Numbers.
    pub fn number(name: impl Into<Cow<'static, str>>) -> Self {
        Self { name: name.into(), is_number: true, most: WIDTH }
    }

    fn cell(&self, text: &str, width: usize) -> String {
        if self.is_number { format!("{text:>width$}") } else { fit(text, width) }
    }
}

impl<Label: AsRef<str>> Part for Table<Label> {
    /// Aligned columns with two blanks between them.
    fn text(&self, bold: Bold) -> String {
        let label = self.label.as_ref().to_uppercase();
        let title = format!("{label}{}", self.about);
        let titled = self.columns.first().is_some_and(|column| column.name.is_empty());
        let mut widths: Vec<usize> = self.columns.iter().enumerate().map(|(i, column)| self.width(i, column)).collect();
        if let (true, Some(first)) = (titled, widths.first_mut()) {
            *first = (*first).max(title.chars().count().saturating_sub(INDENT.len()));
        }
        let row = |cells: &[&str]| {
            let cells: Vec<String> = self
                .columns
                .iter()
                .zip(cells)
                .zip(&widths)
                .map(|((column, cell), &width)| column.cell(cell, width))
                .collect();
            format!("{INDENT}{}", cells.join("  ")).trim_end().to_string() + "\n"
        };
        let names = row(&self.columns.iter().map(|column| column.name.as_ref()).collect::<Vec<_>>());
        let head = if titled {
            let rest: String = names.chars().skip(title.chars().count()).collect();
            format!("{}{}{rest}", bold.of(&label), self.about)
        } else {
            format!("{}{}\n{names}", bold.of(&label), self.about)
        };
        let rows = self.rows.iter().flat_map(|cells| lines(cells)).map(|cells| row(&cells));
        let notes = self.notes.iter().map(|note| wrap(INDENT, note));
        head + &rows.chain(notes).collect::<String>()
    }

    /// One sentence for each row.
    fn plain(&self) -> String {
        let sentence = |row: &Vec<String>| {
            let named = self.columns.iter().zip(row).skip(1).filter(|(_, cell)| !cell.is_empty());
            let cells: Vec<String> =
                named.map(|(column, cell)| format!("{} {}", column.name, cell.replace('\n', " and "))).collect();
            format!("{}: {}.\n", row.first().map_or("", String::as_str), cells.join(", "))
        };
        let rows: String = self.rows.iter().map(sentence).collect();
        let notes: String = self.notes.iter().map(|note| format!("{note}\n")).collect();
        format!("{}{}:\n{rows}{notes}", capital(self.label.as_ref()), self.about)
    }

    fn html(&self) -> Markup {
        markup::table(self)
    }
}

impl<Label> Table<Label> {
    fn width(&self, index: usize, column: &Column) -> usize {
        let cells = self.rows.iter().filter_map(|row| row.get(index)).flat_map(|cell| cell.lines());
        cells.chain([column.name.as_ref()]).map(|cell| cell.chars().count()).max().unwrap_or(0).min(column.most)
    }
}

/// Rows of tables stand this far in.
const INDENT: &str = "  ";

/// A row as one or more lines: what does not fit the first line of the last column follows below it.
fn lines(cells: &[String]) -> Vec<Vec<&str>> {
    let Some((last, first)) = cells.split_last() else { return Vec::new() };
    let mut parts = last.split('\n');
    let mut all: Vec<Vec<&str>> = vec![first.iter().map(String::as_str).chain(parts.next()).collect()];
    all.extend(parts.map(|part| vec![""; first.len()].into_iter().chain([part]).collect()));
    all
}

/// How labels are set off where the output shows it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Bold(pub bool);

impl Bold {
    /// `text`, set off.
    pub fn of(self, text: &str) -> String {
        if self.0 { format!("{BOLD}{text}{NORMAL}") } else { text.to_string() }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn table() -> Table {
        Table {
            label: "trays",
            about: ", bottom to top".into(),
            columns: vec![Column::words("tray", 8), Column::number("dry at, h"), Column::words("remark", 20)],
            rows: vec![
                vec!["tray 1".into(), "21.4".into(), "softens\nfatty".into()],
                vec!["the one below".into(), "9.0".into(), String::new()],
            ],
            notes: vec!["Hours from the start.".into()],
        }
    }

    #[test]
    fn a_table_is_aligned_and_long_names_are_cut() {
        let text = "TRAYS, bottom to top\n  tray      dry at, h  remark\n  tray 1         21.4  softens\n                       fatty\n  \
                    the on..        9.0\n  Hours from the start.\n";
        assert_eq!(table().text(Bold(false)), text);
    }

    #[test]
    fn a_first_column_without_a_name_is_headed_by_the_label() {
        let mut table = table();
        table.columns[0].name = "".into();
        let head = table.text(Bold(true)).lines().next().map(str::to_string);
        assert_eq!(head.as_deref(), Some("\u{1b}[1mTRAYS\u{1b}[0m, bottom to top  dry at, h  remark"));
    }

    #[test]
    fn plain_rows_are_sentences() {
        let plain = "Trays, bottom to top:\ntray 1: dry at, h 21.4, remark softens and fatty.\nthe one below: dry at, h 9.0.\n\
                     Hours from the start.\n";
        assert_eq!(table().plain(), plain);
    }
}
