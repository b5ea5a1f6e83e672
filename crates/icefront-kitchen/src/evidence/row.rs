//! One line of the evidence: a published figure, its prediction, and whether the two are near enough.

use icefront_core::ranges::Quantiles;
use serde::{Deserialize, Serialize};

/// One line of the table.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Row {
    /// Short unique name.
    pub id: String,
    /// Group.
    pub group: String,
    /// Verification, validation or textbook.
    pub kind: Kind,
    /// Quantity in words.
    pub quantity: String,
    /// Under which conditions.
    pub conditions: String,
    /// Unit of published, predicted and an absolute deviation.
    pub unit: String,
    /// As published.
    pub published: Published,
    /// As predicted.
    pub predicted: Predicted,
    /// Score (CRPS) of the logarithm of its samples: 0 is perfect, 0.1 about 10 % off; `None` without samples.
    pub score: Option<f64>,
    /// What the first version of the model predicted; `None` where nothing was drawn.
    pub first: Option<First>,
    /// Predicted less published: a fraction, or in the row's unit.
    pub deviation: f64,
    /// How the deviation is measured.
    pub measure: Measure,
    /// Largest deviation allowed; `None` for a range.
    pub allowed: Option<f64>,
    /// Why that much.
    pub reason: String,
    /// What was fitted.
    pub fitted: Fitted,
    /// Near enough or not.
    pub verdict: Verdict,
    /// Believed reason of a known miss.
    pub miss: Option<String>,
    /// Key of the source.
    pub source: String,
    /// Inputs that the source does not give; they were drawn.
    pub drawn: Option<String>,
}

/// A drawn prediction of the first version of the model.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct First {
    /// Median and range of its samples.
    pub predicted: Predicted,
    /// Its score.
    pub score: f64,
}

/// What a check proves.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Kind {
    /// Our arithmetic against a standard, an exact solution or a worked example.
    Verification,
    /// The model against an experiment.
    Validation,
    /// The model against a formula, a rule or a usual figure of a textbook: no experiment that it names stands behind it.
    Textbook,
}

/// A published figure: a value with its uncertainty, a range, or a bound on one side.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Published {
    /// Low end; `None`: open or not published.
    pub low: Option<f64>,
    /// The value, or the middle of the range.
    pub value: f64,
    /// High end; `None`: open or not published.
    pub high: Option<f64>,
}

/// A prediction, with its 10 to 90 % range where inputs are missing.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Predicted {
    /// The prediction; of a range its middle: the median of the samples, or what a table calls usual.
    pub value: f64,
    /// One sample in ten lies below.
    pub low: Option<f64>,
    /// One sample in ten lies above.
    pub high: Option<f64>,
}

impl From<f64> for Predicted {
    fn from(value: f64) -> Self {
        Self { value, low: None, high: None }
    }
}

impl From<Quantiles> for Predicted {
    fn from(q: Quantiles) -> Self {
        Self { value: q.typical, low: Some(q.low), high: Some(q.high) }
    }
}

/// How far a prediction may deviate.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Measure {
    /// A fraction of the published value.
    Relative,
    /// In the unit of the row.
    Absolute,
    /// The published value lies in the predicted 10 to 90 % range.
    Range,
}

/// What was fitted before the comparison.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub enum Fitted {
    /// Nothing.
    #[default]
    #[serde(rename = "")]
    Nothing,
    /// Numbers of the run or machine, on another part of what was measured on it.
    #[serde(rename = "another part")]
    AnotherPart,
    /// A default of the model was set from this very source: no proof.
    #[serde(rename = "default set on it")]
    DefaultSetOnIt,
}

/// Whether a prediction is near enough.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Verdict {
    /// Within its tolerance, or the published value is in the predicted range.
    Holds,
    /// Not near enough, and listed with the believed reason.
    KnownMiss,
    /// Not near enough, and not listed.
    Miss,
    /// Listed as a miss, yet near enough: the list is out of date.
    HoldsUnexpectedly,
}

impl Verdict {
    /// In words.
    pub fn word(self) -> &'static str {
        match self {
            Self::Holds => "yes",
            Self::KnownMiss => "no (known)",
            Self::Miss => "NO",
            Self::HoldsUnexpectedly => "YES, though listed as a miss",
        }
    }

    /// Whether the row is near enough, listed or not.
    pub fn is_near(self) -> bool {
        matches!(self, Self::Holds | Self::HoldsUnexpectedly)
    }
}
