//! Rows of the embedded tables.

use serde::de::DeserializeOwned;

use super::FoodError;

/// The cells of one row.
pub(super) struct Cells<'a>(&'a csv::StringRecord);

impl Cells<'_> {
    /// Text of a cell; empty if the row is short.
    pub(super) fn text(&self, column: usize) -> &str {
        self.0.get(column).unwrap_or_default()
    }

    /// Number in a cell that must hold one.
    pub(super) fn number(&self, column: usize, what: &str) -> Result<f64, FoodError> {
        self.text(column).parse().map_err(|_| self.error(what))
    }

    /// All cells, one for each field.
    pub(super) fn all<Row: DeserializeOwned>(&self) -> Result<Row, FoodError> {
        self.0.deserialize(None).map_err(|_| self.error("row"))
    }

    /// That this cell cannot be read.
    pub(super) fn error(&self, what: &str) -> FoodError {
        FoodError::Table { line: self.0.position().map_or(0, csv::Position::line), what: what.to_owned() }
    }
}

/// Every row of a CSV text, read by `row`.
pub(super) fn read_rows<T>(
    text: &str,
    header: bool,
    row: impl Fn(&Cells) -> Result<T, FoodError>,
) -> Result<Vec<T>, FoodError> {
    let mut reader = csv::ReaderBuilder::new().has_headers(header).from_reader(text.as_bytes());
    let mut record = csv::StringRecord::new();
    let mut rows = Vec::new();
    loop {
        let more = reader.read_record(&mut record).map_err(|error| FoodError::Table {
            line: error.position().map_or(0, csv::Position::line),
            what: "row".to_owned(),
        })?;
        if !more {
            return Ok(rows);
        }
        rows.push(row(&Cells(&record))?);
    }
}
