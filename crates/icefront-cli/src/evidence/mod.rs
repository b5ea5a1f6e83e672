//! The evidence table: predictions beside published standards, exact solutions, handbooks and experiments.
//!
//! ```text
//! data/published/*.csv -> Case -> prediction of its group -> Row -> Summary, Coverage -> text, CSV, JSON, markdown
//! ```
//! Files of checks hold what was published; the modules here hold what the model says to it. A check that misses stays
//! in the table; `data/published/known_misses.csv` says why it is believed to miss.

mod case;
mod convection;
mod draws;
mod drying;
mod freezing;
mod heat;
mod machine;
mod properties;
mod render;
mod row;
mod sorption;
mod summary;
mod vapour;

use std::sync::atomic::{AtomicUsize, Ordering};

use icefront_core::ModelError;
use icefront_core::food::FoodError;
use icefront_plot::MeasuredPoint;
use thiserror::Error;

use case::Registers;
pub use case::{Case, Fitted, Kind, Measure, Source};
use drying::Clouds;
pub use render::{csv, json, markdown, text};
pub use row::{Predicted, Published, Row, Verdict};
pub use summary::{Coverage, Summary};

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
    /// A condition is missing or no number.
    #[error("{id}: condition `{name}` is missing or no number")]
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
    /// The model could not answer.
    #[error("{0}")]
    Model(#[from] ModelError),
    /// A food is wrong.
    #[error("{0}")]
    Food(#[from] FoodError),
}

/// The whole table.
#[derive(Clone, Debug)]
pub struct Table {
    /// Rows by group, in the order of the files.
    pub rows: Vec<Row>,
    /// One summary per group.
    pub summaries: Vec<Summary>,
    /// How the predicted ranges did.
    pub coverage: Coverage,
    /// Sources that the rows use.
    pub sources: Vec<Source>,
}

/// A group of checks: its name, its rows, and who predicts them.
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
/// [`EvidenceError`] if a file is wrong or the model has no answer.
pub fn table() -> Result<Table, EvidenceError> {
    let registers = Registers::read()?;
    let mut asked = Vec::new();
    for group in &GROUPS {
        asked.extend((group.cases)()?.into_iter().map(|case| (group, case)));
    }
    let clouds = Clouds::compute()?;
    let predictions = in_parallel(&asked, |(group, case)| (group.predict)(case, &clouds));
    let mut rows = Vec::with_capacity(asked.len());
    for ((group, case), predicted) in asked.iter().zip(predictions) {
        let of_row = |error| EvidenceError::Row { id: case.id.clone(), error: Box::new(error) };
        rows.push(Row::new(group.name, case, predicted.map_err(of_row)?, &registers)?);
    }
    let stray = registers.known_misses.keys().find(|id| rows.iter().all(|row| row.id != **id));
    if let Some(id) = stray {
        return Err(EvidenceError::Key { id: id.clone(), key: "the row of a known miss".into() });
    }
    let of_group = |name: &'static str| rows.iter().filter(|row| row.group == name).collect::<Vec<_>>();
    let summaries = GROUPS.iter().map(|group| Summary::of(group.name, &of_group(group.name))).collect();
    let used = |source: &Source| rows.iter().any(|row| row.source == source.key);
    let sources = registers.sources.into_values().filter(used).collect();
    Ok(Table { coverage: Coverage::of(&rows), summaries, sources, rows })
}

/// Does `work` on all items, on all cores; results in the order of the items, whatever the number of threads.
fn in_parallel<T: Sync, R: Send>(items: &[T], work: impl Fn(&T) -> R + Sync) -> Vec<R> {
    let next = AtomicUsize::new(0);
    let some = || {
        let taken = std::iter::from_fn(|| Some(next.fetch_add(1, Ordering::Relaxed)).filter(|at| *at < items.len()));
        taken.map(|at| (at, work(&items[at]))).collect::<Vec<_>>()
    };
    let threads = std::thread::available_parallelism().map_or(1, std::num::NonZero::get);
    let mut all = std::thread::scope(|scope| {
        let others: Vec<_> = (1..threads).map(|_| scope.spawn(some)).collect();
        let mut all = some();
        for other in others {
            match other.join() {
                Ok(done) => all.extend(done),
                Err(panicked) => std::panic::resume_unwind(panicked),
            }
        }
        all
    });
    all.sort_by_key(|(at, _)| *at);
    all.into_iter().map(|(_, result)| result).collect()
}

impl Table {
    /// Drying runs whose published figure is a time, for a chart.
    pub fn measured_points(&self) -> Vec<MeasuredPoint> {
        let timed = self.rows.iter().filter(|row| row.group == "drying, experiments" && row.unit == "h");
        timed
            .filter(|row| row.predicted.high.is_some_and(f64::is_finite))
            .map(|row| MeasuredPoint {
                name: row.id.clone(),
                group: row.source.clone(),
                measured_h: row.published.value,
                predicted_low_h: row.predicted.low.unwrap_or(row.predicted.typical),
                predicted_h: row.predicted.typical,
                predicted_high_h: row.predicted.high.unwrap_or(row.predicted.typical),
            })
            .collect()
    }
}
