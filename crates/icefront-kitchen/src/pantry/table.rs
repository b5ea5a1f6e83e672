//! The text of a pantry file into entries; whatever is wrong is noted with its place.

use std::collections::HashSet;
use std::ops::Range;

use csv::{ReaderBuilder, StringRecord};

use crate::pantry::cell;
use crate::pantry::entry::{COLUMNS, Entry, Line, Put};
use crate::pantry::layout::Layout;
use crate::problem::{Problem, Problems, nearest};
use crate::table::Separator;
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
    let header = text.lines().next().unwrap_or_default();
    let delimiter = Separator::of(header).byte();
    if text.matches('"').count() % 2 == 1 {
        let at = text.rfind('"').unwrap_or(0);
        let help = "close it on the same line; within quotes write \"\" for one";
        return Err(vec![Problem::new(at..at + 1, "a quotation mark is not closed", "the last one", help)].into());
    }
    let mut reader =
        ReaderBuilder::new().has_headers(false).flexible(true).delimiter(delimiter).from_reader(text.as_bytes());
    let mut records = reader.records();
    let columns = match records.next() {
        Some(Ok(record)) => columns(&record, header, delimiter, &mut problems),
        _ => Vec::new(),
    };
    let layout = Layout { delimiter, crlf: text.contains("\r\n"), columns };
    let mut lines = Vec::new();
    if problems.is_empty() {
        for record in records {
            match record {
                Ok(record) if record.iter().all(|cell| cell.trim().is_empty()) => {}
                Ok(record) => {
                    let mut row = Row { text, layout: &layout, record: &record, problems: &mut problems };
                    lines.extend(row.read());
                }
                Err(e) => problems.add(Problem::new(0..0, "this is not a table", e.to_string(), "")),
            }
        }
    }
    check_numbers(&lines, &mut problems);
    if problems.is_empty() { Ok(Table { layout, lines }) } else { Err(problems) }
}

/// Which column is where; each of ours must be there once.
fn columns(record: &StringRecord, header: &str, delimiter: u8, problems: &mut Problems) -> Vec<Option<usize>> {
    let found: Vec<Option<usize>> =
        record.iter().map(|name| COLUMNS.iter().position(|known| known.eq_ignore_ascii_case(name.trim()))).collect();
    let whole = 0..header.len();
    if !found.contains(&Some(0)) {
        let version = record.iter().map(str::trim).position(|name| name.starts_with("pantry_"));
        problems.add(match version {
            Some(at) => Problem::new(
                cell_span(header, delimiter, at),
                "only version 1 of a pantry file can be read",
                "another version",
                "",
            ),
            None => Problem::new(
                whole,
                "this is not a pantry file",
                "no column `pantry_1`",
                "`icefront store put` begins one; its columns are in docs/after.md",
            ),
        });
        return found;
    }
    for (at, name) in COLUMNS.iter().enumerate() {
        match found.iter().filter(|f| **f == Some(at)).count() {
            1 => {}
            0 => {
                let unknown = record.iter().zip(&found).filter(|(_, f)| f.is_none()).map(|(n, _)| n);
                let near = nearest(name, unknown).filter(|n| !n.is_empty());
                let help = near.map_or_else(String::new, |near| format!("is it `{near}`?"));
                problems.add(Problem::new(
                    whole.clone(),
                    format!("there is no column `{name}`"),
                    "in this header",
                    help,
                ));
            }
            _ => problems.add(Problem::new(
                whole.clone(),
                format!("the column `{name}` is there twice"),
                "in this header",
                "",
            )),
        }
    }
    found
}

/// Bytes of one cell of a line, without its quotation marks.
fn cell_span(line: &str, delimiter: u8, cell: usize) -> Range<usize> {
    let (mut at, mut from, mut quoted) = (0, 0, false);
    for (i, byte) in line.bytes().enumerate() {
        match byte {
            b'"' => quoted = !quoted,
            b if b == delimiter && !quoted => {
                if at == cell {
                    return from..i;
                }
                at += 1;
                from = i + 1;
            }
            _ => {}
        }
    }
    if at == cell { from..line.len() } else { 0..line.len() }
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
    text: &'a str,
    layout: &'a Layout,
    record: &'a StringRecord,
    problems: &'a mut Problems,
}

impl Row<'_> {
    fn read(&mut self) -> Option<Line> {
        let (cells, columns) = (self.record.len(), self.layout.columns.len());
        if cells > columns {
            let label = format!("{cells} cells, the header has {columns}");
            let help = "put a text or a number with the separator in it in quotation marks";
            self.problems.add(Problem::new(self.span(), "this line does not fit the header", label, help));
            return None;
        }
        let number = self.whole(COLUMNS[0]);
        let date = self.date("date");
        let action = self.cell("action").to_lowercase();
        let entry = match action.as_str() {
            "put" => self.put(date).map(Entry::Put),
            "take" => {
                let (lot, packs) = (self.whole("lot"), self.whole("packs"));
                date.zip(lot).zip(packs).map(|((date, lot), packs)| Entry::Take { date, lot, packs })
            }
            _ => {
                self.note("action", &format!("`{action}` is neither"), Some("`put` or `take`"));
                None
            }
        };
        Some(Line { number: number?, entry: entry?, span: self.span() })
    }

    fn put(&mut self, date: Option<Date>) -> Option<Put> {
        let lot_differs = self.whole("lot") != self.whole(COLUMNS[0]);
        if lot_differs {
            self.note(
                "lot",
                "a lot has the number of the line that put it in",
                Some("the same number as in the first column"),
            );
        }
        let food = cell::read_text(&self.cell("food"));
        if food.is_empty() {
            self.note("food", "nothing here", None);
        }
        let packs = self.whole("packs");
        let dry_g = self.number("dry_g", false);
        let (water_ml, energy_kj) = (self.number("water_ml", true), self.number("energy_kj", true));
        let (fat_percent, value) = (self.number("fat_percent", true), self.number("value", true));
        let oxygen = self.cell("oxygen").to_lowercase();
        if oxygen != "removed" && oxygen != "air" {
            self.note("oxygen", &format!("`{oxygen}` is neither"), Some("`removed` or `air`"));
        }
        let shelf = self.cell("shelf_c");
        let shelf_c = cell::read_signed(&shelf, self.layout.decimal_comma());
        if let Err(label) = shelf_c {
            self.note("shelf_c", label, None);
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
        let known = COLUMNS.iter().position(|c| *c == column)?;
        self.layout.columns.iter().position(|c| *c == Some(known))
    }

    fn cell(&self, column: &str) -> String {
        self.at(column).and_then(|at| self.record.get(at)).unwrap_or_default().trim().to_string()
    }

    fn whole(&mut self, column: &str) -> Option<u32> {
        let number = self.number(column, false)?;
        if number.fract() != 0.0 || !(1.0..=MOST_PACKS).contains(&number) {
            self.note(column, "not a whole number from 1 to 100000", None);
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
        let read = cell::read_number(&text, self.layout.decimal_comma());
        if let Err(label) = read {
            self.note(column, if text.is_empty() { "nothing here" } else { label }, None);
        }
        read.ok()
    }

    fn date(&mut self, column: &str) -> Option<Date> {
        let read = cell::read_date(&self.cell(column));
        if let Err(label) = read {
            self.note(column, label, None);
        }
        read.ok()
    }

    /// Bytes of the line without its end.
    fn span(&self) -> Range<usize> {
        let from = self.record.position().map_or(0, |p| p.byte() as usize);
        let rest = self.text.get(from..).unwrap_or_default();
        let mut quoted = false;
        let end = rest.bytes().position(|b| {
            quoted ^= b == b'"';
            !quoted && (b == b'\n' || b == b'\r')
        });
        from..from + end.unwrap_or(rest.len())
    }

    /// Notes what is wrong with a cell, once.
    fn note(&mut self, column: &str, label: &str, allowed: Option<&str>) {
        let line = self.span();
        let text = self.text.get(line.clone()).unwrap_or_default();
        let cell = self.at(column).map_or(0..text.len(), |at| cell_span(text, self.layout.delimiter, at));
        let span = line.start + cell.start..line.start + cell.end;
        let position = self.at(column).map_or(0, |at| at + 1);
        let title = format!("column {position}, `{column}`, cannot be used");
        if !self.problems.iter().any(|p| p.span == span && p.title == title) {
            self.problems.add(Problem::new(
                span,
                title,
                label,
                allowed.map_or_else(String::new, |words| format!("allowed: {words}")),
            ));
        }
    }
}
