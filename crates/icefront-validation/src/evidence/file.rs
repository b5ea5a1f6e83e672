//! The table as the data file that `icefront-kitchen` embeds, and as a page of the docs.

use std::fs;
use std::path::Path;

use icefront_kitchen::evidence::{Row, Table, markdown};
use icefront_kitchen::json::rounded;
use serde_json::Value;

use super::{EvidenceError, table};

/// Computes the table and rewrites `data/evidence.json` and `docs/evidence.md`.
///
/// # Errors
/// [`EvidenceError`] if the table cannot be computed or a file cannot be written.
pub fn write() -> Result<(), EvidenceError> {
    let top = Path::new(env!("CARGO_MANIFEST_DIR")).join("../..");
    let data = data(&table()?)?;
    // the page shows the numbers as the command does: those of the data file
    let page = markdown(&serde_json::from_str(&data)?);
    fs::write(top.join("data/evidence.json"), data)?;
    Ok(fs::write(top.join("docs/evidence.md"), page)?)
}

/// The table as JSON: seven digits of what is computed, one line per row, summary and source, nothing for what is not there.
///
/// # Errors
/// [`EvidenceError::NotFinite`] for a number that JSON does not have.
pub fn data(table: &Table) -> Result<String, EvidenceError> {
    let row = table.rows.iter().find(|row| !is_finite(row)).map(|row| &row.id);
    let rule = table.rules.iter().find(|rule| rule.computed.is_some_and(|c| !c.value.is_finite())).map(|rule| &rule.id);
    if let Some(id) = row.or(rule) {
        return Err(EvidenceError::NotFinite { id: id.clone() });
    }
    let lines = |value: Value| match compact(value) {
        Value::Array(items) => format!("[\n{}\n]", items.iter().map(Value::to_string).collect::<Vec<_>>().join(",\n")),
        other => other.to_string(),
    };
    Ok(format!(
        "{{\"rows\":{},\n\"summaries\":{},\n\"drying_times\":{},\n\"rules\":{},\n\"sources\":{}}}\n",
        lines(serde_json::to_value(&table.rows)?),
        lines(serde_json::to_value(&table.summaries)?),
        lines(serde_json::to_value(&table.drying_times)?),
        lines(serde_json::to_value(&table.rules)?),
        lines(serde_json::to_value(&table.sources)?)
    ))
}

fn is_finite(row: &Row) -> bool {
    let published = [row.published.low, Some(row.published.value), row.published.high];
    let predicted = [row.predicted.low, Some(row.predicted.value), row.predicted.high];
    [published, predicted, [Some(row.deviation), row.allowed, None]].iter().flatten().flatten().all(|x| x.is_finite())
}

/// Without nulls; seven digits, but for published numbers, which stay as they were published.
fn compact(value: Value) -> Value {
    shortened(value, rounded)
}

fn shortened(value: Value, number: fn(f64) -> f64) -> Value {
    let exact: fn(f64) -> f64 = |x| x;
    match value {
        Value::Number(n) if n.is_f64() => n.as_f64().map(number).into(),
        Value::Array(items) => items.into_iter().map(|item| shortened(item, number)).collect(),
        Value::Object(fields) => {
            let there = fields.into_iter().filter(|(_, field)| !field.is_null());
            let short = there.map(|(key, field)| {
                let number = if key == "published" { exact } else { number };
                (key, shortened(field, number))
            });
            short.collect()
        }
        other => other,
    }
}
