//! The evidence: predictions beside published standards, exact solutions, handbooks and experiments.
//!
//! The table is data, embedded as it was last computed. `cargo run --release -p icefront-validation -- evidence` computes it
//! anew, and `tests/published.rs` compares the two. A prediction outside its tolerance stays in the table, with the reason
//! why it is believed to miss.

mod csv;
mod markdown;
mod row;
mod rule;
mod summary;
mod text;
mod words;

use icefront_plot::MeasuredPoint;
use serde::{Deserialize, Serialize};

pub use csv::csv;
pub use markdown::markdown;
pub use row::{First, Fitted, Kind, Measure, Predicted, Published, Row, Verdict};
pub use rule::{NO_SOURCE, Rule};
pub use summary::{DryingTimes, Judged, Summary};
pub use text::text;

const EMBEDDED: &str = include_str!("../../data/evidence.json");

/// The whole table.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Table {
    /// Rows by group.
    pub rows: Vec<Row>,
    /// One summary per group, in the order of the groups.
    pub summaries: Vec<Summary>,
    /// Published drying times judged together.
    pub drying_times: Vec<DryingTimes>,
    /// Rules of the trade, which nobody published, beside what the model computes.
    pub rules: Vec<Rule>,
    /// Sources of the rows.
    pub sources: Vec<Source>,
}

/// Where numbers come from.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Source {
    /// Key.
    pub key: String,
    /// Authors or issuing body.
    pub authors: String,
    /// Year.
    pub year: String,
    /// Title and where it appeared.
    pub title: String,
    /// How the numbers were read.
    pub read: String,
    /// What is missing or doubtful.
    pub missing: String,
}

impl Table {
    /// The table that this build carries.
    ///
    /// # Errors
    /// `serde_json::Error` if the embedded file is damaged.
    pub fn embedded() -> Result<Self, serde_json::Error> {
        serde_json::from_str(EMBEDDED)
    }

    /// Rows of one group.
    fn rows_of<'t>(&'t self, group: &'t str) -> impl Iterator<Item = &'t Row> {
        self.rows.iter().filter(move |row| row.group == group)
    }

    /// Drying runs whose published figure is a time, for a chart.
    pub fn measured_points(&self) -> Vec<MeasuredPoint> {
        let timed = self.rows_of("drying, experiments").filter(|row| row.unit == "h");
        let point = |row: &Row| MeasuredPoint {
            name: row.id.clone(),
            group: row.source.clone(),
            measured_h: row.published.value,
            predicted_low_h: row.predicted.low.unwrap_or(row.predicted.value),
            predicted_h: row.predicted.value,
            predicted_high_h: row.predicted.high.unwrap_or(row.predicted.value),
        };
        timed.map(point).collect()
    }
}

/// Rows, summaries, rules and sources as JSON.
///
/// # Errors
/// `serde_json::Error` if a value has no JSON form.
pub fn json(table: &Table) -> Result<String, serde_json::Error> {
    crate::json::exact(table)
}
