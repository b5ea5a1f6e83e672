//! The table as CSV.

use serde::Serialize;

use crate::evidence::{Fitted, Kind, Measure, Table, Verdict};

/// One line per row, units in a column of their own.
///
/// # Errors
/// `csv::Error` if a row cannot be written.
pub fn csv(table: &Table) -> Result<String, ::csv::Error> {
    #[derive(Serialize)]
    struct Line<'a> {
        id: &'a str,
        group: &'a str,
        kind: Kind,
        quantity: &'a str,
        conditions: &'a str,
        unit: &'a str,
        published_low: Option<f64>,
        published: f64,
        published_high: Option<f64>,
        predicted_low: Option<f64>,
        predicted: f64,
        predicted_high: Option<f64>,
        deviation: f64,
        measure: Measure,
        allowed: Option<f64>,
        reason: &'a str,
        fitted: Fitted,
        verdict: Verdict,
        miss: Option<&'a str>,
        source: &'a str,
    }
    let mut writer = ::csv::Writer::from_writer(Vec::new());
    for row in &table.rows {
        writer.serialize(Line {
            id: &row.id,
            group: &row.group,
            kind: row.kind,
            quantity: &row.quantity,
            conditions: &row.conditions,
            unit: &row.unit,
            published_low: row.published.low,
            published: row.published.value,
            published_high: row.published.high,
            predicted_low: row.predicted.low,
            predicted: row.predicted.value,
            predicted_high: row.predicted.high,
            deviation: row.deviation,
            measure: row.measure,
            allowed: row.allowed,
            reason: &row.reason,
            fitted: row.fitted,
            verdict: row.verdict,
            miss: row.miss.as_deref(),
            source: &row.source,
        })?;
    }
    let bytes = writer.into_inner().map_err(|error| error.into_error())?;
    Ok(String::from_utf8_lossy(&bytes).into_owned())
}
