//! Statistics over the rows of a group, and over all predicted ranges.

use std::ops::RangeInclusive;

use icefront_core::ranges::Quantiles;
use icefront_kitchen::evidence::{Coverage, Fitted, Measure, Row, Summary, Verdict};

/// Summary of the rows of one group, which is not empty.
pub fn summary(group: &str, rows: &[&Row]) -> Summary {
    let by_frac = deviations(rows, |measure| measure != Measure::Absolute);
    let by_unit = deviations(rows, |measure| measure == Measure::Absolute);
    let over_allowed = |row: &&&Row| row.deviation.abs() / row.allowed.unwrap_or(1.0);
    let worst = rows.iter().max_by(|a, b| over_allowed(a).total_cmp(&over_allowed(b)));
    Summary {
        group: group.to_string(),
        rows: rows.len(),
        near: rows.iter().filter(|row| row.verdict.is_near()).count(),
        known_misses: rows.iter().filter(|row| row.verdict == Verdict::KnownMiss).count(),
        bias_frac: mean(&by_frac),
        spread_frac: spread(&by_frac),
        bias_own_unit: mean(&by_unit),
        spread_own_unit: spread(&by_unit),
        worst: worst.map(|row| row.id.clone()).unwrap_or_default(),
    }
}

fn deviations(rows: &[&Row], wanted: impl Fn(Measure) -> bool) -> Vec<f64> {
    let chosen = rows.iter().filter(|row| wanted(row.measure) && row.deviation.is_finite());
    chosen.map(|row| row.deviation).collect()
}

fn mean(values: &[f64]) -> Option<f64> {
    (!values.is_empty()).then(|| values.iter().sum::<f64>() / values.len() as f64)
}

fn spread(values: &[f64]) -> Option<f64> {
    let mean = mean(values)?;
    Some((values.iter().map(|v| (v - mean).powi(2)).sum::<f64>() / values.len() as f64).sqrt())
}

/// Fraction of published figures that 10 to 90 % ranges should contain.
const WANTED_FRAC: f64 = 0.8;

/// Coverage over the rows measured by their range.
pub fn coverage(rows: &[Row]) -> Coverage {
    let judged: Vec<&Row> =
        rows.iter().filter(|row| row.measure == Measure::Range && row.fitted == Fitted::Nothing).collect();
    let inside = judged.iter().filter(|row| row.verdict.is_near()).count();
    let span = |row: &&Row| row.predicted.high.zip(row.predicted.low).map(|(high, low)| high / low);
    let probability = |counts: RangeInclusive<usize>| counts.map(|k| binomial(judged.len(), k)).sum();
    Coverage {
        rows: judged.len(),
        inside,
        median_span: Quantiles::of(judged.iter().filter_map(span)).typical,
        chance_of_so_few: probability(0..=inside),
        chance_of_so_many: probability(inside..=judged.len()),
    }
}

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
