//! How a pantry file is set: what stands between columns, how lines end, which column is where.

use crate::pantry::cell;
use crate::pantry::entry::{COLUMNS, Entry};
use crate::table::Separator;

/// How a file is written.
#[derive(Clone, Debug, PartialEq)]
pub struct Layout {
    /// Between columns.
    pub separator: Separator,
    /// `\r\n` at the ends of lines.
    pub crlf: bool,
    /// For each column of the file, its position in [`COLUMNS`]; `None` for a column of the cook's own.
    pub columns: Vec<Option<usize>>,
}

impl Default for Layout {
    /// That of a new file.
    fn default() -> Self {
        Self { separator: Separator::Comma, crlf: false, columns: (0..COLUMNS.len()).map(Some).collect() }
    }
}

impl Layout {
    /// Lines of text for a header, without a byte-order mark.
    pub fn header(&self) -> String {
        self.line(COLUMNS.map(String::from).to_vec())
    }

    /// An entry as a line of this file.
    pub fn entry(&self, number: u32, entry: &Entry) -> String {
        // semicolons are the mark of countries with a decimal comma
        let comma = self.separator == Separator::Semicolon;
        let number_cell = |value: Option<f64>| value.map_or_else(String::new, |v| cell::write_number(v, comma));
        let mut cells = vec![String::new(); COLUMNS.len()];
        let mut set = |column: &str, text: String| {
            if let Some(at) = COLUMNS.iter().position(|c| *c == column) {
                cells[at] = text;
            }
        };
        let (action, date, lot, packs) = match entry {
            Entry::Put(put) => ("put", put.date, number, put.packs),
            Entry::Take { date, lot, packs } => ("take", *date, *lot, *packs),
        };
        set(COLUMNS[0], number.to_string());
        set("date", date.to_string());
        set("action", action.into());
        set("lot", lot.to_string());
        set("packs", packs.to_string());
        if let Entry::Put(put) = entry {
            set("food", cell::write_text(&put.food));
            set("dry_g", number_cell(Some(put.dry_g)));
            set("water_ml", number_cell(put.water_ml));
            set("energy_kj", number_cell(put.energy_kj));
            set("fat_percent", number_cell(put.fat_percent));
            set("oxygen", if put.without_oxygen { "removed" } else { "air" }.into());
            set("shelf_c", number_cell(Some(put.shelf_c)));
            set("eat_first", put.eat_first.to_string());
            set("value", number_cell(put.value));
            set("currency", cell::write_text(&put.currency));
            set("allergens", cell::write_text(&put.allergens));
            set("note", cell::write_text(&put.note));
        }
        let placed = self.columns.iter().map(|at| at.and_then(|at| cells.get(at).cloned()).unwrap_or_default());
        self.line(placed.collect())
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
