//! What a group of rows says taken together.

use icefront_core::ranges::Quantiles;
use serde::Serialize;

use crate::evidence::case::{Fitted, Measure};
use crate::evidence::row::{Row, Verdict};

/// Summary of a group. Bias and spread are over the rows measured alike: shares, or kelvin and the like.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Summary {
    /// Group.
    pub group: &'static str,
    /// Rows.
    pub rows: usize,
    /// Rows within their tolerance or range.
    pub near: usize,
    /// Rows that miss and are listed.
    pub known_misses: usize,
    /// Mean deviation of the rows measured by share.
    pub bias_frac: Option<f64>,
    /// Standard deviation of these.
    pub spread_frac: Option<f64>,
    /// Mean deviation of the rows measured in their own unit.
    pub bias_own_unit: Option<f64>,
    /// Standard deviation of these.
    pub spread_own_unit: Option<f64>,
    /// Row that lies furthest off, as a share of what it may.
    pub worst: String,
}

impl Summary {
    /// Of the rows of one group, which is not empty.
    pub fn of(group: &'static str, rows: &[&Row]) -> Self {
        let by_share: Vec<f64> = deviations(rows, |m| m != Measure::Absolute);
        let by_unit: Vec<f64> = deviations(rows, |m| m == Measure::Absolute);
        let strain = |row: &&&Row| row.deviation.abs() / row.allowed.unwrap_or(1.0);
        let worst = rows.iter().max_by(|a, b| strain(a).total_cmp(&strain(b)));
        Self {
            group,
            rows: rows.len(),
            near: rows.iter().filter(|row| row.verdict.is_near()).count(),
            known_misses: rows.iter().filter(|row| row.verdict == Verdict::KnownMiss).count(),
            bias_frac: mean(&by_share),
            spread_frac: spread(&by_share),
            bias_own_unit: mean(&by_unit),
            spread_own_unit: spread(&by_unit),
            worst: worst.map(|row| row.id.clone()).unwrap_or_default(),
        }
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

/// How often a published figure lay inside its predicted 10 to 90 % range, and whether 80 % can be believed.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Coverage {
    /// Rows judged by their range, without those a default was set on.
    pub rows: usize,
    /// Of these inside.
    pub inside: usize,
    /// High over low end of the middle one of the ranges.
    pub median_span: f64,
    /// Chance of so few or fewer inside if four in five were right (one-sided binomial).
    pub chance_of_so_few: f64,
    /// Chance of so many or more.
    pub chance_of_so_many: f64,
}

/// Share of published figures that a 10 to 90 % range should hold.
const WANTED: f64 = 0.8;
/// Below this chance the ranges are not believed.
pub const REJECTED_BELOW: f64 = 0.05;

impl Coverage {
    /// Over the rows measured by their range.
    pub fn of(rows: &[Row]) -> Self {
        let judged: Vec<&Row> =
            rows.iter().filter(|row| row.measure == Measure::Range && row.fitted == Fitted::Nothing).collect();
        let inside = judged.iter().filter(|row| row.verdict.is_near()).count();
        let span = |row: &&Row| row.predicted.high.zip(row.predicted.low).map(|(high, low)| high / low);
        let chance = |counts: std::ops::RangeInclusive<usize>| counts.map(|k| binomial(judged.len(), k)).sum();
        Self {
            rows: judged.len(),
            inside,
            median_span: Quantiles::of(judged.iter().filter_map(span)).typical,
            chance_of_so_few: chance(0..=inside),
            chance_of_so_many: chance(inside..=judged.len()),
        }
    }

    /// Whether the ranges pass at 5 %.
    pub fn is_believed(&self) -> bool {
        self.chance_of_so_few >= REJECTED_BELOW
    }
}

/// Chance of exactly `k` of `n`, each with chance [`WANTED`].
fn binomial(n: usize, k: usize) -> f64 {
    let ways: f64 = (0..k).map(|i| (n - i) as f64 / (k - i) as f64).product();
    ways * WANTED.powi(k as i32) * (1.0 - WANTED).powi((n - k) as i32)
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
