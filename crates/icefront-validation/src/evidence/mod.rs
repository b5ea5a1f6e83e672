//! Computes the evidence: predictions beside published standards, exact solutions, handbooks and experiments.
//!
//! ```text
//! data/published/*.csv -> Case -> prediction of its group -> Row -> Summary, DryingTimes -> data/evidence.json, docs/evidence.md
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
mod score;
mod sorption;
mod summary;
mod trade;
mod vapour;

use icefront_core::ModelError;
use icefront_core::food::FoodError;
use icefront_kitchen::evidence::{Kind, Source, Table};
use thiserror::Error;

use case::{Case, Registers};
use drying::Clouds;
use parallel::in_parallel;
use row::Prediction;
use summary::{drying_times, summary};

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

/// A group of checks: its name, which kinds of a file it takes, its cases, and the function that predicts them.
struct Group {
    name: &'static str,
    kinds: &'static [Kind],
    cases: fn() -> Result<Vec<Case>, EvidenceError>,
    predict: fn(&Case, &Clouds) -> Result<Prediction, EvidenceError>,
}

/// Experiments.
const MEASURED: &[Kind] = &[Kind::Validation];
/// Worked examples, formulas and usual figures.
const TEXTBOOK: &[Kind] = &[Kind::Verification, Kind::Textbook];
/// Groups of one sort, or of standards and what they are compared with.
const ALL: &[Kind] = &[Kind::Verification, Kind::Textbook, Kind::Validation];

const GROUPS: [Group; 23] = [
    Group {
        name: "components",
        kinds: ALL,
        cases: properties::components,
        predict: |case, _| properties::component(case).map(Into::into),
    },
    Group {
        name: "mixtures, textbook",
        kinds: TEXTBOOK,
        cases: properties::mixtures,
        predict: |case, _| properties::mixture(case).map(Into::into),
    },
    Group {
        name: "mixtures, measured",
        kinds: MEASURED,
        cases: properties::mixtures,
        predict: |case, _| properties::mixture(case).map(Into::into),
    },
    Group {
        name: "initial freezing points",
        kinds: ALL,
        cases: properties::freezing_points,
        predict: |case, _| properties::freezing_point(case).map(Into::into),
    },
    Group {
        name: "ice and vapour",
        kinds: ALL,
        cases: vapour::ice_and_vapour,
        predict: |case, _| vapour::property(case).map(Into::into),
    },
    Group {
        name: "freezing, exact",
        kinds: ALL,
        cases: freezing::exact_cases,
        predict: |case, _| freezing::exact(case).map(Into::into),
    },
    Group {
        name: "freezing times, textbook",
        kinds: TEXTBOOK,
        cases: freezing::time_cases,
        predict: |case, _| freezing::time(case),
    },
    Group {
        name: "freezing times, measured",
        kinds: MEASURED,
        cases: freezing::time_cases,
        predict: |case, _| freezing::time(case),
    },
    Group {
        name: "convection and sky",
        kinds: ALL,
        cases: convection::cases,
        predict: |case, _| convection::predict(case).map(Into::into),
    },
    Group {
        name: "vapour flow",
        kinds: ALL,
        cases: vapour::flow_cases,
        predict: |case, _| vapour::flow(case).map(Into::into),
    },
    Group {
        name: "shelf heat transfer",
        kinds: ALL,
        cases: heat::cases,
        predict: |case, _| heat::predict(case).map(Into::into),
    },
    Group {
        name: "refrigeration cycle",
        kinds: ALL,
        cases: machine::cycle_cases,
        predict: |case, _| machine::cycle(case).map(Into::into),
    },
    Group {
        name: "compressor curves",
        kinds: ALL,
        cases: machine::compressor_cases,
        predict: |case, _| machine::compressor(case).map(Into::into),
    },
    Group {
        name: "pump-down, textbook",
        kinds: TEXTBOOK,
        cases: machine::pump_cases,
        predict: |case, _| machine::pump(case).map(Into::into),
    },
    Group {
        name: "electricity, bounds",
        kinds: MEASURED,
        cases: machine::pump_cases,
        predict: |case, _| machine::pump(case).map(Into::into),
    },
    Group {
        name: "dried food, arithmetic",
        kinds: TEXTBOOK,
        cases: sorption::cases,
        predict: |case, _| sorption::predict(case).map(Into::into),
    },
    Group {
        name: "dried food, measured",
        kinds: MEASURED,
        cases: sorption::cases,
        predict: |case, _| sorption::predict(case).map(Into::into),
    },
    Group {
        name: "drying, worked and exact",
        kinds: ALL,
        cases: drying::worked_cases,
        predict: |case, _| drying::worked(case).map(Into::into),
    },
    Group { name: "drying, textbook", kinds: TEXTBOOK, cases: drying::range_cases, predict: drying::range },
    Group { name: "drying, experiments", kinds: MEASURED, cases: drying::range_cases, predict: drying::range },
    Group { name: "drying, textbook ratios", kinds: TEXTBOOK, cases: drying::ratio_cases, predict: drying::ratio },
    Group { name: "drying, ratios", kinds: MEASURED, cases: drying::ratio_cases, predict: drying::ratio },
    Group {
        name: "drying, curves",
        kinds: ALL,
        cases: drying::curve_cases,
        predict: |case, _| drying::curve(case).map(Into::into),
    },
];

/// Computes the table.
///
/// # Errors
/// [`EvidenceError`] if a file is wrong or the model has no result.
pub fn table() -> Result<Table, EvidenceError> {
    let registers = Registers::read()?;
    let mut cases = Vec::new();
    for group in &GROUPS {
        let of_kind = (group.cases)()?.into_iter().filter(|case| group.kinds.contains(&case.kind));
        cases.extend(of_kind.map(|case| (group, case)));
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
    Ok(Table { drying_times: drying_times(&rows), summaries, rules: trade::rules()?, sources, rows })
}
