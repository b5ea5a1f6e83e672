//! Compares a prediction with what was published: how far apart, and whether that is near enough.

use icefront_core::ranges::Quantiles;
use icefront_kitchen::evidence::{Measure, Predicted, Published, Row, Verdict};

use crate::evidence::case::{Case, Registers};
use crate::evidence::{EvidenceError, score};

/// What the model says for a row.
pub struct Prediction {
    /// The number, with its range.
    pub shown: Predicted,
    /// What the range was made of; empty where nothing was drawn.
    pub draws: Vec<f64>,
    /// Inputs that the source does not give.
    pub drawn: Option<String>,
}

impl From<Predicted> for Prediction {
    fn from(shown: Predicted) -> Self {
        Self { shown, draws: Vec::new(), drawn: None }
    }
}

impl Prediction {
    /// Median and range of draws.
    pub fn of_draws(draws: Vec<f64>, drawn: Option<String>) -> Self {
        Self { shown: Quantiles::of(draws.iter().copied()).into(), draws, drawn }
    }
}

/// The row of a check and its prediction.
pub fn row(group: &str, case: &Case, prediction: Prediction, registers: &Registers) -> Result<Row, EvidenceError> {
    let published = published(case)?;
    let Prediction { shown: predicted, draws, drawn } = prediction;
    let unlisted = |key: &str| EvidenceError::Key { id: case.id.clone(), key: key.to_string() };
    let tolerance = registers.tolerances.get(&case.check).ok_or_else(|| unlisted(&case.check))?;
    registers.sources.get(&case.source).ok_or_else(|| unlisted(&case.source))?;
    let reference = nearest(case, &published, predicted.value);
    let difference = predicted.value - reference;
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
        (_, None) => return Err(unlisted(&tolerance.check)),
    };
    let miss = registers.known_misses.get(&case.id).cloned();
    let verdict = match (near, &miss) {
        (true, None) => Verdict::Holds,
        (false, Some(_)) => Verdict::KnownMiss,
        (false, None) => Verdict::Miss,
        (true, Some(_)) => Verdict::HoldsUnexpectedly,
    };
    Ok(Row {
        id: case.id.clone(),
        group: group.to_string(),
        kind: case.kind,
        quantity: case.quantity.clone(),
        conditions: case.conditions.clone(),
        unit: case.unit.clone(),
        published,
        predicted,
        score: score::crps_of_logarithm(&draws, published.value).filter(|_| tolerance.measure != Measure::Absolute),
        first: registers.first.get(&case.id).copied(),
        deviation,
        measure: tolerance.measure,
        allowed: tolerance.allowed,
        reason: tolerance.reason.clone(),
        fitted: case.fitted,
        verdict,
        miss,
        source: case.source.clone(),
        drawn,
    })
}

fn published(case: &Case) -> Result<Published, EvidenceError> {
    let (low, high) = (case.low, case.high);
    let middle = low.zip(high).map(|(low, high)| 0.5 * (low + high));
    let value = case.value.or(middle).or(low).or(high);
    let value = value.ok_or_else(|| EvidenceError::NoValue { id: case.id.clone() })?;
    Ok(Published { low, value, high })
}

/// Published number nearest to a prediction: the value itself, or the near end of a range without one.
fn nearest(case: &Case, published: &Published, predicted: f64) -> f64 {
    if case.value.is_some() {
        return published.value;
    }
    predicted.clamp(published.low.unwrap_or(f64::NEG_INFINITY), published.high.unwrap_or(f64::INFINITY))
}

#[cfg(test)]
mod tests {
    use icefront_kitchen::evidence::{Fitted, Kind};

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
        super::row("group", case, predicted.into().into(), &registers(known_miss)).unwrap().verdict
    }

    #[test]
    fn a_fraction_is_compared_with_its_tolerance_and_the_list_with_the_result() {
        let case = case("ratio", None, Some(2.0), None); // 25 %
        assert_eq!(verdict(&case, 2.49, false), Verdict::Holds);
        assert_eq!(verdict(&case, 2.51, false), Verdict::Miss);
        assert_eq!(verdict(&case, 2.51, true), Verdict::KnownMiss);
        assert_eq!(verdict(&case, 2.49, true), Verdict::HoldsUnexpectedly);
    }

    #[test]
    fn a_published_range_is_missed_by_the_distance_to_its_near_end() {
        let case = case("ratio", Some(4.0), None, Some(6.0));
        let row =
            |predicted: f64| super::row("group", &case, Predicted::from(predicted).into(), &registers(false)).unwrap();
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
        let range = Predicted { value: 5.0, low: Some(3.0), high: Some(7.0) };
        assert_eq!(verdict(&case("range", None, Some(6.9), None), range, false), Verdict::Holds);
        assert_eq!(verdict(&case("range", None, Some(7.1), None), range, false), Verdict::Miss);
        assert_eq!(verdict(&case("range", None, Some(5.0), None), 5.0, false), Verdict::Miss, "no range predicted");
    }
}
