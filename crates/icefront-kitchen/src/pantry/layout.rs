//! How a pantry file is set: what stands between columns, how lines end, which column is where.

use crate::pantry::cell;
use crate::pantry::entry::{COLUMNS, Entry, NUMBER, Put};
use crate::table::Separator;

/// How a file is written.
#[derive(Clone, Debug, PartialEq)]
pub struct Layout {
    /// Between columns.
    pub separator: Separator,
    /// `\r\n` at the ends of lines.
    pub crlf: bool,
    /// Names of the columns; `None` for a column of the cook's own.
    pub columns: Vec<Option<&'static str>>,
}

impl Default for Layout {
    /// That of a new file.
    fn default() -> Self {
        Self { separator: Separator::Comma, crlf: false, columns: COLUMNS.split(',').map(Some).collect() }
    }
}

impl Layout {
    /// An entry as a line of this file.
    pub fn entry(&self, number: u32, entry: &Entry) -> String {
        // semicolons are the mark of countries with a decimal comma
        let comma = self.separator == Separator::Semicolon;
        let amount = |value: Option<f64>| value.map_or_else(String::new, |v| cell::write_number(v, comma));
        let (action, date, lot, packs, put) = match entry {
            Entry::Put(put) => ("put", put.date, number, put.packs, Some(put)),
            Entry::Take { date, lot, packs } => ("take", *date, *lot, *packs, None),
        };
        let of_put = |put: &Put, column: &str| match column {
            "food" => cell::write_text(&put.food),
            "dry_g" => amount(Some(put.dry_g)),
            "water_ml" => amount(put.water_ml),
            "energy_kj" => amount(put.energy_kj),
            "fat_percent" => amount(put.fat_percent),
            "oxygen" => if put.without_oxygen { "removed" } else { "air" }.into(),
            "shelf_c" => amount(Some(put.shelf_c)),
            "eat_first" => put.eat_first.to_string(),
            "value" => amount(put.value),
            "currency" => cell::write_text(&put.currency),
            "allergens" => cell::write_text(&put.allergens),
            _ => cell::write_text(&put.note),
        };
        let text = |column: &Option<&str>| match column {
            None => String::new(),
            Some(NUMBER) => number.to_string(),
            Some("date") => date.to_string(),
            Some("action") => action.into(),
            Some("lot") => lot.to_string(),
            Some("packs") => packs.to_string(),
            Some(column) => put.map_or_else(String::new, |put| of_put(put, column)),
        };
        self.line(self.columns.iter().map(text).collect())
    }

    /// Cells as one line, quoted where they must be.
    fn line(&self, cells: Vec<String>) -> String {
        let quoted = |cell: &String| {
            if cell.contains(['"', '\n', '\r', ',', ';', '\t']) {
                format!("\"{}\"", cell.replace('"', "\"\""))
            } else {
                cell.clone()
            }
        };
        let cells: Vec<String> = cells.iter().map(quoted).collect();
        cells.join(&char::from(self.separator.byte()).to_string()) + if self.crlf { "\r\n" } else { "\n" }
    }
}
