//! The text of a pantry file into entries; whatever is wrong is noted with its place.

use std::collections::HashSet;

use crate::pantry::cell;
use crate::pantry::entry::{COLUMNS, Entry, Line, NUMBER, Put};
use crate::pantry::layout::Layout;
use crate::problem::{Problem, Problems, nearest};
use crate::table::{Cell, Record, Records};
use crate::weather::clock::Date;

/// A table with its layout.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Table {
    /// How it is written.
    pub layout: Layout,
    /// Its entries in the order of the file.
    pub lines: Vec<Line>,
}

const MOST_PACKS: f64 = 100_000.0;

/// Reads a whole file, without its byte-order mark.
pub fn read(text: &str) -> Result<Table, Problems> {
    let mut problems = Problems::default();
    if text.matches('"').count() % 2 == 1 {
        let at = text.rfind('"').unwrap_or(0);
        let help = "close it on the same line; within quotes write \"\" for one";
        return Err(vec![Problem::new(at..at + 1, "a quotation mark is not closed", "the last one", help)].into());
    }
    let mut records = Records::without_remarks(text);
    let separator = records.separator();
    let columns = records.next().map_or_else(Vec::new, |header| columns(&header, &mut problems));
    let layout = Layout { separator, crlf: text.contains("\r\n"), columns };
    let mut lines = Vec::new();
    if problems.is_empty() {
        for record in records {
            lines.extend(Row { layout: &layout, record: &record, problems: &mut problems }.read());
        }
    }
    check_numbers(&lines, &mut problems);
    if problems.is_empty() { Ok(Table { layout, lines }) } else { Err(problems) }
}

/// Which column is where; each of ours must be there once.
fn columns(header: &Record<'_>, problems: &mut Problems) -> Vec<Option<&'static str>> {
    let name = |cell: &Cell<'_>| COLUMNS.split(',').find(|known| known.eq_ignore_ascii_case(&cell.text));
    let found: Vec<Option<&'static str>> = header.cells.iter().map(name).collect();
    if !found.contains(&Some(NUMBER)) {
        problems.add(match header.cells.iter().find(|cell| cell.text.starts_with("pantry_")) {
            Some(cell) => {
                let title = "only version 1 of a pantry file can be read";
                Problem::new(cell.span.clone(), title, "another version", "")
            }
            None => {
                let help = "`icefront store put` makes one; see docs/guide/after.md for its columns";
                Problem::new(header.span.clone(), "this is not a pantry file", "no column `pantry_1`", help)
            }
        });
        return found;
    }
    let mut note = |title: String, help: String| {
        problems.add(Problem::new(header.span.clone(), title, "in this header", help));
    };
    for name in COLUMNS.split(',') {
        match found.iter().filter(|f| **f == Some(name)).count() {
            1 => {}
            0 => {
                let unknown =
                    header.cells.iter().zip(&found).filter(|(_, f)| f.is_none()).map(|(c, _)| c.text.as_ref());
                let near = nearest(name, unknown).filter(|n| !n.is_empty());
                let help = near.map_or_else(String::new, |near| format!("is it `{near}`?"));
                note(format!("there is no column `{name}`"), help);
            }
            _ => note(format!("the column `{name}` is there twice"), String::new()),
        }
    }
    found
}

/// Each entry has a number of its own.
fn check_numbers(lines: &[Line], problems: &mut Problems) {
    let mut known = HashSet::new();
    for line in lines {
        if !known.insert(line.number) {
            let help = "give it a number that no other line has";
            let title = format!("number {} is there twice", line.number);
            problems.add(Problem::new(line.span.clone(), title, "this line has it too", help));
        }
    }
}

/// One line while it is read.
struct Row<'a> {
    layout: &'a Layout,
    record: &'a Record<'a>,
    problems: &'a mut Problems,
}

impl Row<'_> {
    fn read(&mut self) -> Option<Line> {
        let (cells, columns) = (self.record.cells.len(), self.layout.columns.len());
        if cells > columns {
            let label = format!("{cells} cells, the header has {columns}");
            let help = "put a text or a number with the separator in it in quotation marks";
            self.problems.add(Problem::new(self.record.span.clone(), "this line does not fit the header", label, help));
            return None;
        }
        let number = self.whole(NUMBER);
        let date = self.date("date");
        let action = self.cell("action").to_lowercase();
        let entry = match action.as_str() {
            "put" => self.put(date).map(Entry::Put),
            "take" => {
                let (lot, packs) = (self.whole("lot"), self.whole("packs"));
                date.zip(lot).zip(packs).map(|((date, lot), packs)| Entry::Take { date, lot, packs })
            }
            _ => {
                self.note("action", &format!("`{action}` is neither"), "`put` or `take`");
                None
            }
        };
        Some(Line { number: number?, entry: entry?, span: self.record.span.clone() })
    }

    fn put(&mut self, date: Option<Date>) -> Option<Put> {
        let lot_differs = self.whole("lot") != self.whole(NUMBER);
        if lot_differs {
            let allowed = "the same number as in the first column";
            self.note("lot", "a lot has the number of the line that put it in", allowed);
        }
        let food = cell::read_text(&self.cell("food"));
        if food.is_empty() {
            self.note("food", "nothing here", "");
        }
        let packs = self.whole("packs");
        let dry_g = self.number("dry_g", false);
        let (water_ml, energy_kj) = (self.number("water_ml", true), self.number("energy_kj", true));
        let (fat_percent, value) = (self.number("fat_percent", true), self.number("value", true));
        let oxygen = self.cell("oxygen").to_lowercase();
        if oxygen != "removed" && oxygen != "air" {
            self.note("oxygen", &format!("`{oxygen}` is neither"), "`removed` or `air`");
        }
        let shelf = self.cell("shelf_c");
        let shelf_c = cell::read_signed(&shelf, self.layout.separator.decimal_comma());
        if let Err(label) = shelf_c {
            self.note("shelf_c", label, "");
        }
        let eat_first = self.date("eat_first");
        Some(Put {
            date: date?,
            food,
            packs: packs?,
            dry_g: dry_g?,
            water_ml,
            energy_kj,
            fat_percent,
            without_oxygen: oxygen == "removed",
            shelf_c: shelf_c.ok()?,
            eat_first: eat_first?,
            value,
            currency: cell::read_text(&self.cell("currency")),
            allergens: cell::read_text(&self.cell("allergens")),
            note: cell::read_text(&self.cell("note")),
        })
    }

    /// Position of a column in the file.
    fn at(&self, column: &str) -> Option<usize> {
        self.layout.columns.iter().position(|c| *c == Some(column))
    }

    fn cell(&self, column: &str) -> String {
        self.at(column).and_then(|at| self.record.cells.get(at)).map_or_else(String::new, |cell| cell.text.to_string())
    }

    fn whole(&mut self, column: &str) -> Option<u32> {
        let number = self.number(column, false)?;
        if number.fract() != 0.0 || !(1.0..=MOST_PACKS).contains(&number) {
            self.note(column, "not a whole number from 1 to 100000", "");
            return None;
        }
        Some(number as u32)
    }

    /// A number; a blank one is none where it may be blank.
    fn number(&mut self, column: &str, blank: bool) -> Option<f64> {
        let text = self.cell(column);
        if blank && text.is_empty() {
            return None;
        }
        let read = cell::read_number(&text, self.layout.separator.decimal_comma());
        if let Err(label) = read {
            self.note(column, if text.is_empty() { "nothing here" } else { label }, "");
        }
        read.ok()
    }

    fn date(&mut self, column: &str) -> Option<Date> {
        let read = cell::read_date(&self.cell(column));
        if let Err(label) = read {
            self.note(column, label, "");
        }
        read.ok()
    }

    /// Notes what is wrong with a cell, once; `allowed` is empty where the label says it.
    fn note(&mut self, column: &str, label: &str, allowed: &str) {
        let at = self.at(column);
        let span = at.and_then(|at| self.record.cells.get(at)).map_or(&self.record.span, |cell| &cell.span).clone();
        let title = format!("column {}, `{column}`, cannot be used", at.map_or(0, |at| at + 1));
        if !self.problems.iter().any(|p| p.span == span && p.title == title) {
            let help = if allowed.is_empty() { String::new() } else { format!("allowed: {allowed}") };
            self.problems.add(Problem::new(span, title, label, help));
        }
    }
}
