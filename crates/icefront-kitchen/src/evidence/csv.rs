//! The table as CSV.

use serde_json::Value;

use crate::evidence::Table;

/// Places of a row, whose names are those of the columns: `_` for `/`, and without `value`.
const PLACES: &str = "id,group,kind,quantity,conditions,unit,published/low,published/value,published/high,predicted/low,\
                      predicted/value,predicted/high,score,first/score,deviation,measure,allowed,reason,fitted,verdict,miss,\
                      source,drawn";

/// One line per row, units in a column of their own.
///
/// # Errors
/// `csv::Error` if a row cannot be written.
pub fn csv(table: &Table) -> Result<String, ::csv::Error> {
    let mut writer = ::csv::Writer::from_writer(Vec::new());
    writer.write_record(PLACES.split(',').map(|place| place.replace("/value", "").replace('/', "_")))?;
    for row in &table.rows {
        let row = serde_json::to_value(row).map_err(std::io::Error::from)?;
        writer.write_record(PLACES.split(',').map(|place| match row.pointer(&format!("/{place}")) {
            Some(Value::String(text)) => text.clone(),
            Some(Value::Null) | None => String::new(),
            Some(number) => number.to_string(),
        }))?;
    }
    let bytes = writer.into_inner().map_err(|error| error.into_error())?;
    Ok(String::from_utf8_lossy(&bytes).into_owned())
}
