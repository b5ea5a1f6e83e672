//! A check as published in `data/published/*.csv`, with its source, its tolerance and, where it is one, its known miss.

use std::collections::BTreeMap;

use icefront_kitchen::evidence::{First, Fitted, Kind, Measure, Predicted, Source};
use serde::Deserialize;
use serde::de::DeserializeOwned;

use crate::evidence::EvidenceError;

const SOURCES: &str = include_str!("../../data/published/sources.csv");
const TOLERANCES: &str = include_str!("../../data/published/tolerances.csv");
const FIRST_VERSION: &str = include_str!("../../data/published/first_version.csv");
const KNOWN_MISSES: &str = include_str!("../../data/published/known_misses.csv");

/// One row of a file of checks.
#[derive(Clone, Debug, Deserialize)]
pub struct Case {
    /// Short unique name.
    pub id: String,
    /// Verification or validation.
    pub kind: Kind,
    /// Quantity in words; it selects the prediction.
    pub quantity: String,
    /// `name=value` pairs, separated by semicolons.
    pub conditions: String,
    /// Unit of the published and the predicted number.
    pub unit: String,
    /// Published low end.
    pub low: Option<f64>,
    /// Published value.
    pub value: Option<f64>,
    /// Published high end.
    pub high: Option<f64>,
    /// What was fitted.
    pub fitted: Fitted,
    /// Key of the tolerance.
    pub check: String,
    /// Key of the source.
    pub source: String,
}

impl Case {
    /// A condition as a number.
    pub fn number(&self, name: &'static str) -> Result<f64, EvidenceError> {
        let word = self.word(name)?;
        word.parse().map_err(|_| EvidenceError::Condition { id: self.id.clone(), name })
    }

    /// A condition in degC, converted to K.
    pub fn kelvin(&self, name: &'static str) -> Result<f64, EvidenceError> {
        Ok(self.number(name)? + icefront_core::constants::ZERO_CELSIUS_K)
    }

    /// A condition as a word.
    pub fn word(&self, name: &'static str) -> Result<&str, EvidenceError> {
        let pairs = self.conditions.split(';').filter_map(|pair| pair.split_once('='));
        let found = pairs.map(|(key, value)| (key.trim(), value.trim())).find(|(key, _)| *key == name);
        found.map(|(_, value)| value).ok_or_else(|| EvidenceError::Condition { id: self.id.clone(), name })
    }

    /// The error for a quantity that its group has no prediction for.
    pub fn unknown(&self) -> EvidenceError {
        EvidenceError::Quantity { id: self.id.clone(), quantity: self.quantity.clone() }
    }
}

/// Tolerance with its reason.
#[derive(Clone, Debug, PartialEq, Deserialize)]
pub struct Tolerance {
    /// Key.
    pub check: String,
    /// How the deviation is measured.
    pub measure: Measure,
    /// Largest deviation, a fraction or in the row's unit.
    pub allowed: Option<f64>,
    /// Why that much.
    pub reason: String,
}

/// A row that is known to miss, and why.
#[derive(Clone, Debug, PartialEq, Eq, Deserialize)]
struct KnownMiss {
    id: String,
    reason: String,
}

/// What the first version of the model predicted for a row with draws.
#[derive(Clone, Debug, PartialEq, Deserialize)]
struct FirstRow {
    id: String,
    low: f64,
    median: f64,
    high: f64,
    score: f64,
}

impl From<&FirstRow> for First {
    fn from(row: &FirstRow) -> Self {
        let predicted = Predicted { value: row.median, low: Some(row.low), high: Some(row.high) };
        Self { predicted, score: row.score }
    }
}

/// Sources, tolerances, known misses and predictions of the first version by key.
#[derive(Clone, Debug)]
pub struct Registers {
    /// Sources.
    pub sources: BTreeMap<String, Source>,
    /// Tolerances.
    pub tolerances: BTreeMap<String, Tolerance>,
    /// Reason by row.
    pub known_misses: BTreeMap<String, String>,
    /// First version by row.
    pub first: BTreeMap<String, First>,
}

impl Registers {
    /// Reads the four files.
    pub fn read() -> Result<Self, EvidenceError> {
        let sources = read::<Source>("sources.csv", SOURCES)?;
        let tolerances = read::<Tolerance>("tolerances.csv", TOLERANCES)?;
        let misses = read::<KnownMiss>("known_misses.csv", KNOWN_MISSES)?;
        let first = read::<FirstRow>("first_version.csv", FIRST_VERSION)?;
        Ok(Self {
            first: first.iter().map(|row| (row.id.clone(), row.into())).collect(),
            sources: sources.into_iter().map(|s| (s.key.clone(), s)).collect(),
            tolerances: tolerances.into_iter().map(|t| (t.check.clone(), t)).collect(),
            known_misses: misses.into_iter().map(|m| (m.id, m.reason)).collect(),
        })
    }
}

/// Rows of a file; lines that begin with `#` are comments.
pub fn read<T: DeserializeOwned>(file: &'static str, text: &str) -> Result<Vec<T>, EvidenceError> {
    let mut reader = csv::ReaderBuilder::new().comment(Some(b'#')).from_reader(text.as_bytes());
    reader
        .deserialize()
        .collect::<Result<_, _>>()
        .map_err(|error| EvidenceError::File { file, error: error.to_string() })
}
