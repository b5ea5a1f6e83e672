//! The table as CSV.

use serde_json::Value;

use crate::evidence::Table;

/// Columns, and where their cells stand in a row.
const COLUMNS: [(&str, &str); 20] = [
    ("id", "/id"),
    ("group", "/group"),
    ("kind", "/kind"),
    ("quantity", "/quantity"),
    ("conditions", "/conditions"),
    ("unit", "/unit"),
    ("published_low", "/published/low"),
    ("published", "/published/value"),
    ("published_high", "/published/high"),
    ("predicted_low", "/predicted/low"),
    ("predicted", "/predicted/value"),
    ("predicted_high", "/predicted/high"),
    ("deviation", "/deviation"),
    ("measure", "/measure"),
    ("allowed", "/allowed"),
    ("reason", "/reason"),
    ("fitted", "/fitted"),
    ("verdict", "/verdict"),
    ("miss", "/miss"),
    ("source", "/source"),
];

/// One line per row, units in a column of their own.
///
/// # Errors
/// `csv::Error` if a row cannot be written.
pub fn csv(table: &Table) -> Result<String, ::csv::Error> {
    let mut writer = ::csv::Writer::from_writer(Vec::new());
    writer.write_record(COLUMNS.map(|(name, _)| name))?;
    for row in &table.rows {
        let row = serde_json::to_value(row).map_err(std::io::Error::from)?;
        writer.write_record(COLUMNS.map(|(_, place)| match row.pointer(place) {
            Some(Value::String(text)) => text.clone(),
            Some(Value::Null) | None => String::new(),
            Some(number) => number.to_string(),
        }))?;
    }
    let bytes = writer.into_inner().map_err(|error| error.into_error())?;
    Ok(String::from_utf8_lossy(&bytes).into_owned())
}
