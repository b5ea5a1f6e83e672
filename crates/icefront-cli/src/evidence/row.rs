//! One line of the evidence table: published, predicted, how far apart, and whether that is near enough.

use icefront_core::ranges::Quantiles;
use serde::Serialize;

use crate::evidence::EvidenceError;
use crate::evidence::case::{Case, Fitted, Kind, Measure, Registers};

/// A published figure: a value with its uncertainty, a range, or one end of a range that is open.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Published {
    /// Low end; `None`: open or not told.
    pub low: Option<f64>,
    /// The value, or the middle of the range.
    pub value: f64,
    /// High end; `None`: open or not told.
    pub high: Option<f64>,
}

impl Published {
    fn of(case: &Case) -> Result<Self, EvidenceError> {
        let (low, high) = (case.low, case.high);
        let middle = low.zip(high).map(|(low, high)| 0.5 * (low + high));
        let value = case.value.or(middle).or(low).or(high);
        let value = value.ok_or_else(|| EvidenceError::NoValue { id: case.id.clone() })?;
        Ok(Self { low, value, high })
    }

    /// Published number nearest to a prediction: the value itself, or the near end of a range without one.
    fn nearest(&self, case: &Case, predicted: f64) -> f64 {
        if case.value.is_some() {
            return self.value;
        }
        predicted.clamp(self.low.unwrap_or(f64::NEG_INFINITY), self.high.unwrap_or(f64::INFINITY))
    }
}

/// A prediction, with its 10 to 90 % range where inputs are missing.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Predicted {
    /// Prediction, or the median of the draws.
    pub typical: f64,
    /// One draw in ten lies below.
    pub low: Option<f64>,
    /// One draw in ten lies above.
    pub high: Option<f64>,
}

impl From<f64> for Predicted {
    fn from(typical: f64) -> Self {
        Self { typical, low: None, high: None }
    }
}

impl From<Quantiles> for Predicted {
    fn from(q: Quantiles) -> Self {
        Self { typical: q.typical, low: Some(q.low), high: Some(q.high) }
    }
}

/// How a row came out.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Verdict {
    /// Within its tolerance, or inside the predicted range.
    Holds,
    /// Not so, and listed with the believed reason.
    KnownMiss,
    /// Not so, and not listed.
    Miss,
    /// Listed as a miss, yet it holds: the list is out of date.
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

/// One line of the table.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Row {
    /// Short unique name.
    pub id: String,
    /// Group.
    pub group: &'static str,
    /// Verification or validation.
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
    /// Predicted less published: a share, or in the row's unit.
    pub deviation: f64,
    /// How the deviation is measured.
    pub measure: Measure,
    /// Largest deviation that holds; `None` for a range.
    pub allowed: Option<f64>,
    /// Why that much.
    pub reason: String,
    /// What was fitted.
    pub fitted: Fitted,
    /// How it came out.
    pub verdict: Verdict,
    /// Believed reason of a known miss.
    pub miss: Option<String>,
    /// Key of the source.
    pub source: String,
}

impl Row {
    /// Holds a prediction against what was published.
    pub fn new(
        group: &'static str,
        case: &Case,
        predicted: Predicted,
        registers: &Registers,
    ) -> Result<Self, EvidenceError> {
        let published = Published::of(case)?;
        let key = |what: &str| EvidenceError::Key { id: case.id.clone(), key: what.to_string() };
        let tolerance = registers.tolerances.get(&case.check).ok_or_else(|| key(&case.check))?;
        registers.sources.get(&case.source).ok_or_else(|| key(&case.source))?;
        let reference = published.nearest(case, predicted.typical);
        let difference = predicted.typical - reference;
        let deviation = match tolerance.measure {
            Measure::Absolute => difference,
            Measure::Relative | Measure::Range => difference / reference.abs(),
        };
        let near = match (tolerance.measure, tolerance.allowed) {
            (Measure::Range, _) => {
                predicted.low.is_some_and(|low| low <= published.value)
                    && predicted.high.is_some_and(|high| published.value <= high)
            }
            (_, Some(allowed)) => deviation.abs() <= allowed,
            (_, None) => return Err(key(&tolerance.check)),
        };
        let miss = registers.known_misses.get(&case.id).cloned();
        let verdict = match (near, &miss) {
            (true, None) => Verdict::Holds,
            (false, Some(_)) => Verdict::KnownMiss,
            (false, None) => Verdict::Miss,
            (true, Some(_)) => Verdict::HoldsUnexpectedly,
        };
        Ok(Self {
            id: case.id.clone(),
            group,
            kind: case.kind,
            quantity: case.quantity.clone(),
            conditions: case.conditions.clone(),
            unit: case.unit.clone(),
            published,
            predicted,
            deviation,
            measure: tolerance.measure,
            allowed: tolerance.allowed,
            reason: tolerance.reason.clone(),
            fitted: case.fitted,
            verdict,
            miss,
            source: case.source.clone(),
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn registers(known_miss: bool) -> Registers {
        let mut registers = Registers::read().unwrap();
        registers.known_misses.clear();
        if known_miss {
            registers.known_misses.insert("a row".into(), "a reason".into());
        }
        registers
    }

    fn case(check: &str, low: Option<f64>, value: Option<f64>, high: Option<f64>) -> Case {
        Case {
            id: "a row".into(),
            kind: Kind::Validation,
            quantity: "time".into(),
            conditions: String::new(),
            unit: "h".into(),
            low,
            value,
            high,
            fitted: Fitted::Nothing,
            check: check.into(),
            source: "neumann".into(),
        }
    }

    fn verdict(case: &Case, predicted: impl Into<Predicted>, known_miss: bool) -> Verdict {
        Row::new("group", case, predicted.into(), &registers(known_miss)).unwrap().verdict
    }

    #[test]
    fn a_share_is_held_to_its_tolerance_and_the_list_to_the_truth() {
        let case = case("ratio", None, Some(2.0), None); // 25 %
        assert_eq!(verdict(&case, 2.49, false), Verdict::Holds);
        assert_eq!(verdict(&case, 2.51, false), Verdict::Miss);
        assert_eq!(verdict(&case, 2.51, true), Verdict::KnownMiss);
        assert_eq!(verdict(&case, 2.49, true), Verdict::HoldsUnexpectedly);
    }

    #[test]
    fn a_published_range_is_missed_by_the_distance_to_its_near_end() {
        let case = case("ratio", Some(4.0), None, Some(6.0));
        let row = |predicted: f64| Row::new("group", &case, predicted.into(), &registers(false)).unwrap();
        assert_eq!((row(5.5).deviation, row(9.0).deviation, row(3.0).deviation), (0.0, 0.5, -0.25));
        assert_eq!(row(9.0).published.value, 5.0);
    }

    #[test]
    fn a_bound_has_one_side() {
        let below = case("bound", None, None, Some(6.82));
        assert_eq!((verdict(&below, 4.0, false), verdict(&below, 6.83, false)), (Verdict::Holds, Verdict::Miss));
    }

    #[test]
    fn a_predicted_range_must_hold_the_published_figure() {
        let range = Predicted { typical: 5.0, low: Some(3.0), high: Some(7.0) };
        assert_eq!(verdict(&case("range", None, Some(6.9), None), range, false), Verdict::Holds);
        assert_eq!(verdict(&case("range", None, Some(7.1), None), range, false), Verdict::Miss);
        assert_eq!(verdict(&case("range", None, Some(5.0), None), 5.0, false), Verdict::Miss, "no range predicted");
    }
}
