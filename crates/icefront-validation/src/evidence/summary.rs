//! Statistics over the rows of a group, and over all published drying times.

use std::ops::RangeInclusive;

use icefront_core::ranges::Quantiles;
use icefront_kitchen::evidence::{DryingTimes, First, Fitted, Judged, Kind, Measure, Predicted, Row, Summary, Verdict};

/// Summary of the rows of one group, which is not empty.
pub fn summary(group: &str, rows: &[&Row]) -> Summary {
    let own_unit: Vec<f64> =
        rows.iter().filter(|row| row.measure == Measure::Absolute).map(|row| row.deviation).collect();
    let over_allowed = |row: &&&Row| row.deviation.abs() / row.allowed.unwrap_or(1.0);
    let worst = rows.iter().max_by(|a, b| over_allowed(a).total_cmp(&over_allowed(b)));
    let proof: Vec<Said> = rows.iter().filter(|row| is_proof(row)).map(|row| Said::now(row)).collect();
    Summary {
        group: group.to_string(),
        rows: rows.len(),
        near: rows.iter().filter(|row| row.verdict.is_near()).count(),
        known_misses: rows.iter().filter(|row| row.verdict == Verdict::KnownMiss).count(),
        judged: judged(&proof),
        bias_own_unit: mean(&own_unit),
        spread_own_unit: spread(&own_unit),
        worst: worst.map(|row| row.id.clone()).unwrap_or_default(),
    }
}

/// The sets of drying times: all, and those that prove something; each with and without citron, whose three thicknesses
/// took equally long because their dryer gave no more heat.
pub fn drying_times(rows: &[Row]) -> Vec<DryingTimes> {
    let is_time = |row: &&Row| row.group.starts_with("drying") && row.measure == Measure::Range && row.unit == "h";
    let is_citron = |row: &Row| row.source == "citron-curves";
    let set = |name: &str, member: &dyn Fn(&Row) -> bool| {
        let members: Vec<&Row> = rows.iter().filter(is_time).filter(|row| member(row)).collect();
        let first = members.iter().filter_map(|row| row.first.map(|first| Said::first(row, first)));
        DryingTimes {
            set: name.to_string(),
            now: judged(&members.iter().map(|row| Said::now(row)).collect::<Vec<_>>()),
            first: judged(&first.collect::<Vec<_>>()),
        }
    };
    vec![
        set("all", &|_| true),
        set("all without citron", &|row| !is_citron(row)),
        set("experiments, no default set", &|row| is_experiment(row) && is_proof(row)),
        set("the same without citron", &|row| is_experiment(row) && is_proof(row) && !is_citron(row)),
    ]
}

fn is_experiment(row: &Row) -> bool {
    row.kind == Kind::Validation
}

fn is_proof(row: &Row) -> bool {
    row.fitted != Fitted::DefaultSetOnIt
}

/// What a version of the model says for a row.
struct Said<'r> {
    row: &'r Row,
    predicted: Predicted,
    score: Option<f64>,
}

impl<'r> Said<'r> {
    fn now(row: &'r Row) -> Self {
        Self { row, predicted: row.predicted, score: row.score }
    }

    fn first(row: &'r Row, first: First) -> Self {
        Self { row, predicted: first.predicted, score: Some(first.score) }
    }

    /// Logarithm of published over predicted, where that means something.
    fn ln_ratio(&self) -> Option<f64> {
        let published = &self.row.published;
        let bound = published.low.is_some() != published.high.is_some();
        let ratio = published.value / self.predicted.value;
        (self.row.measure != Measure::Absolute && !bound && ratio > 0.0 && ratio.is_finite()).then(|| ratio.ln())
    }

    /// The range, where it judges the row.
    fn range(&self) -> Option<(f64, f64)> {
        self.predicted.low.zip(self.predicted.high).filter(|_| self.row.measure == Measure::Range)
    }
}

/// Judges a set as a whole.
fn judged(said: &[Said]) -> Judged {
    let ln_ratios: Vec<f64> = said.iter().filter_map(Said::ln_ratio).collect();
    let ranges: Vec<(f64, (f64, f64))> =
        said.iter().filter_map(|said| Some((said.row.published.value, said.range()?))).collect();
    let inside = ranges.iter().filter(|(value, (low, high))| low <= value && value <= high).count();
    let width = Quantiles::of(ranges.iter().map(|(_, (low, high))| high / low)).typical;
    let scores: Vec<f64> = said.iter().filter_map(|said| said.score).collect();
    let probability = |counts: RangeInclusive<usize>| counts.map(|k| binomial(ranges.len(), k)).sum::<f64>().min(1.0);
    Judged {
        ratios: ln_ratios.len(),
        published_over_predicted: mean(&ln_ratios).map(f64::exp),
        spread_factor: spread(&ln_ratios).map(f64::exp),
        ranges: ranges.len(),
        inside,
        median_width: width.is_finite().then_some(width),
        chance_of_so_few: probability(0..=inside),
        chance_of_so_many: probability(inside..=ranges.len()),
        score: mean(&scores),
    }
}

fn mean(values: &[f64]) -> Option<f64> {
    (!values.is_empty()).then(|| values.iter().sum::<f64>() / values.len() as f64)
}

/// Standard deviation of a sample, which needs two values.
fn spread(values: &[f64]) -> Option<f64> {
    let mean = mean(values)?;
    let squares = values.iter().map(|v| (v - mean).powi(2)).sum::<f64>();
    (values.len() > 1).then(|| (squares / (values.len() - 1) as f64).sqrt())
}

/// Fraction of published figures that 10 to 90 % ranges should contain.
const WANTED_FRAC: f64 = 0.8;

/// Probability of exactly `k` of `n`, each with probability [`WANTED_FRAC`].
fn binomial(n: usize, k: usize) -> f64 {
    let ways: f64 = (0..k).map(|i| (n - i) as f64 / (k - i) as f64).product();
    ways * WANTED_FRAC.powi(k as i32) * (1.0 - WANTED_FRAC).powi((n - k) as i32)
}

#[cfg(test)]
mod tests {
    use super::binomial;

    #[test]
    fn binomial_sums_to_one_and_is_known_at_two_of_three() {
        assert!(((0..=30).map(|k| binomial(30, k)).sum::<f64>() - 1.0).abs() < 1e-12);
        assert!((binomial(3, 2) - 0.384).abs() < 1e-12); // 3 x 0.8^2 x 0.2
    }
}
