//! Computes the evidence: predictions beside published standards, exact solutions, handbooks and experiments.
//!
//! ```text
//! data/published/*.csv -> Case -> prediction of its group -> Row -> Summary, Coverage -> data/evidence.json, docs/evidence.md
//! ```
//! The CSV files hold what was published; the modules here compute what the model predicts for it. A prediction outside its
//! tolerance stays in the table; `data/published/known_misses.csv` says why it is believed to miss.

mod case;
mod convection;
mod draws;
mod drying;
mod file;
mod freezing;
mod heat;
mod machine;
mod parallel;
mod properties;
mod row;
mod sorption;
mod summary;
mod vapour;

use icefront_core::ModelError;
use icefront_core::food::FoodError;
use icefront_kitchen::evidence::{Predicted, Source, Table};
use thiserror::Error;

use case::{Case, Registers};
use drying::Clouds;
use parallel::in_parallel;
use summary::{coverage, summary};

pub use file::{data, write};

/// Why the table could not be made.
#[derive(Debug, Error)]
#[non_exhaustive]
pub enum EvidenceError {
    /// A file of checks could not be read.
    #[error("{file}: {error}")]
    File {
        /// The file.
        file: &'static str,
        /// What is wrong.
        error: String,
    },
    /// A condition is missing or not a number.
    #[error("{id}: condition `{name}` is missing or not a number")]
    Condition {
        /// The row.
        id: String,
        /// The condition.
        name: &'static str,
    },
    /// A quantity that no prediction exists for.
    #[error("{id}: no prediction for `{quantity}`")]
    Quantity {
        /// The row.
        id: String,
        /// The quantity.
        quantity: String,
    },
    /// A key of a source, tolerance, run or food that is not listed.
    #[error("{id}: `{key}` is not listed")]
    Key {
        /// The row.
        id: String,
        /// The key.
        key: String,
    },
    /// A row without a published number.
    #[error("{id}: nothing published")]
    NoValue {
        /// The row.
        id: String,
    },
    /// A row could not be predicted.
    #[error("{id}: {error}")]
    Row {
        /// The row.
        id: String,
        /// Why.
        error: Box<EvidenceError>,
    },
    /// A number without a value, which the data file cannot hold.
    #[error("{id}: published, predicted or deviation is not finite")]
    NotFinite {
        /// The row.
        id: String,
    },
    /// The data file could not be made.
    #[error("data/evidence.json: {0}")]
    Data(#[from] serde_json::Error),
    /// A file could not be written.
    #[error("{0}")]
    Write(#[from] std::io::Error),
    /// The model has no result.
    #[error("{0}")]
    Model(#[from] ModelError),
    /// A food is wrong.
    #[error("{0}")]
    Food(#[from] FoodError),
}

/// A group of checks: its name, its cases, and the function that predicts them.
struct Group {
    name: &'static str,
    cases: fn() -> Result<Vec<Case>, EvidenceError>,
    predict: fn(&Case, &Clouds) -> Result<Predicted, EvidenceError>,
}

const GROUPS: [Group; 17] = [
    Group { name: "components", cases: properties::components, predict: |case, _| properties::component(case) },
    Group { name: "mixtures", cases: properties::mixtures, predict: |case, _| properties::mixture(case) },
    Group {
        name: "initial freezing points",
        cases: properties::freezing_points,
        predict: |case, _| properties::freezing_point(case),
    },
    Group { name: "ice and vapour", cases: vapour::ice_and_vapour, predict: |case, _| vapour::property(case) },
    Group { name: "freezing, exact", cases: freezing::exact_cases, predict: |case, _| freezing::exact(case) },
    Group { name: "freezing times", cases: freezing::time_cases, predict: |case, _| freezing::time(case) },
    Group { name: "convection and sky", cases: convection::cases, predict: |case, _| convection::predict(case) },
    Group { name: "vapour flow", cases: vapour::flow_cases, predict: |case, _| vapour::flow(case) },
    Group { name: "shelf heat transfer", cases: heat::cases, predict: |case, _| heat::predict(case) },
    Group { name: "refrigeration cycle", cases: machine::cycle_cases, predict: |case, _| machine::cycle(case) },
    Group { name: "compressor curves", cases: machine::compressor_cases, predict: |case, _| machine::compressor(case) },
    Group { name: "pump-down and energy", cases: machine::pump_cases, predict: |case, _| machine::pump(case) },
    Group { name: "isotherms and desorption", cases: sorption::cases, predict: |case, _| sorption::predict(case) },
    Group { name: "drying, worked and exact", cases: drying::worked_cases, predict: |case, _| drying::worked(case) },
    Group { name: "drying, experiments", cases: drying::range_cases, predict: drying::range },
    Group { name: "drying, ratios", cases: drying::ratio_cases, predict: drying::ratio },
    Group { name: "drying, curves", cases: drying::curve_cases, predict: |case, _| drying::curve(case) },
];

/// Computes the table.
///
/// # Errors
/// [`EvidenceError`] if a file is wrong or the model has no result.
pub fn table() -> Result<Table, EvidenceError> {
    let registers = Registers::read()?;
    let mut cases = Vec::new();
    for group in &GROUPS {
        cases.extend((group.cases)()?.into_iter().map(|case| (group, case)));
    }
    let clouds = Clouds::compute()?;
    let predictions = in_parallel(&cases, |(group, case)| (group.predict)(case, &clouds));
    let mut rows = Vec::with_capacity(cases.len());
    for ((group, case), predicted) in cases.iter().zip(predictions) {
        let of_row = |error| EvidenceError::Row { id: case.id.clone(), error: Box::new(error) };
        rows.push(row::row(group.name, case, predicted.map_err(of_row)?, &registers)?);
    }
    let without_row = registers.known_misses.keys().find(|id| rows.iter().all(|row| row.id != **id));
    if let Some(id) = without_row {
        return Err(EvidenceError::Key { id: id.clone(), key: "the row of a known miss".into() });
    }
    let of_group = |name: &'static str| rows.iter().filter(|row| row.group == name).collect::<Vec<_>>();
    let summaries = GROUPS.iter().map(|group| summary(group.name, &of_group(group.name))).collect();
    let used = |source: &Source| rows.iter().any(|row| row.source == source.key);
    let sources = registers.sources.into_values().filter(used).collect();
    Ok(Table { coverage: coverage(&rows), summaries, sources, rows })
}
