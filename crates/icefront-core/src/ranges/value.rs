//! Value of a measurement: how much narrower the range of an answer would be, on average, once it is made.
//!
//! # Main equations
//! For each draw i a reading `y_i = m_i + e_i` is simulated with the tool's error. The answers of the draws whose
//! readings lie nearest to `y_i` show what would still be unknown after reading `y_i`; a straight line through them
//! takes out what the reading itself explains within that window:
//! ```text
//! width after = mean over i of [q90 - q10 of (T_j - line(y_j)), j among the k nearest readings]
//! narrowing   = 1 - width after / width before
//! ```
//! Each measurement is valued by the mean over four draws of its errors. The whole cloud is used, not a slope at one point, so thresholds and curved answers count.
//!
//! # Assumptions and limits
//! One measurement at a time; `k` is a sixth of the draws, at least 24: below 100 draws the figure is rough. Checked
//! against the exact linear-Gaussian answer `sqrt(1 - rho^2)` in `tests/ranges.rs`.
//!
//! # References
//! Expected value of sample information by nearest-neighbour regression: Strong, Oakley and Brennan 2014.

use statrs::distribution::{ContinuousCDF, Normal};

use super::outcome::at;
use super::{Cloud, Measurement, Outcome, Point};

/// What one measurement is worth.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Narrowing {
    /// The measurement.
    pub measurement: Measurement,
    /// Expected share by which the range gets narrower, 0 to 1.
    pub share: f64,
}

/// Less than this share cannot be distinguished from nothing with a few hundred draws.
const WORTH_TELLING: f64 = 0.03;
/// Seed of the tools' errors, apart from that of the samples.
const ERROR_SEED: u32 = 0x5eed_0001;
/// How often the tools' errors are drawn: the figure is the mean.
const REPEATS: usize = 4;
const FEWEST_NEAR: usize = 24;

/// Ranks measurements by how much each would narrow the range of an answer; those worth nothing are left out.
pub fn expected_narrowing(cloud: &Cloud, measurements: &[Measurement], of: impl Fn(&Outcome) -> f64) -> Vec<Narrowing> {
    let answers: Vec<f64> = cloud.outcomes.iter().map(of).collect();
    let mut all: Vec<Narrowing> = measurements
        .iter()
        .enumerate()
        .filter_map(|(k, measurement)| {
            let readings: Vec<f64> = cloud.outcomes.iter().map(|o| o.readings[k]).collect();
            let seeds = (0..REPEATS).map(|repeat| ERROR_SEED + (repeat * measurements.len() + k) as u32);
            let shares: Option<Vec<f64>> =
                seeds.map(|seed| narrowing_of(&answers, &readings, measurement.error, seed)).collect();
            let share = shares?.iter().sum::<f64>() / REPEATS as f64;
            (share > WORTH_TELLING).then_some(Narrowing { measurement: *measurement, share })
        })
        .collect();
    all.sort_by(|a, b| b.share.total_cmp(&a.share));
    all
}

/// Expected narrowing of `answers` by `readings` taken with a normal error; `None` where there is nothing to compare.
pub fn narrowing_of(answers: &[f64], readings: &[f64], error: f64, seed: u32) -> Option<f64> {
    let standard = Normal::standard();
    let mut pairs: Vec<(f64, f64)> = answers
        .iter()
        .zip(readings)
        .enumerate()
        .filter(|(_, (t, m))| t.is_finite() && m.is_finite())
        .map(|(i, (t, m))| (m + error * standard.inverse_cdf(Point::new(i, seed).unit(0)), *t))
        .collect();
    let n = pairs.len();
    let near = (n / 6).max(FEWEST_NEAR);
    if n < 2 * near {
        return None;
    }
    pairs.sort_by(|a, b| a.0.total_cmp(&b.0));
    let before = width(pairs.iter().map(|p| p.1));
    if before <= 0.0 || pairs[n - 1].0 - pairs[0].0 <= 0.0 {
        return None;
    }
    // windows step by a quarter of their length: neighbours say nearly the same
    let step = (near / 4).max(1);
    let (mut sum, mut weight) = (0.0, 0.0);
    for middle in (0..n).step_by(step) {
        let first = middle.saturating_sub(near / 2).min(n - near);
        let window = &pairs[first..first + near];
        let (slope, level) = line(window);
        // two numbers of the line were taken from the window itself
        let fair = (near as f64 / (near as f64 - 2.0)).sqrt();
        sum += fair * width(window.iter().map(|(y, t)| t - slope * y - level));
        weight += 1.0;
    }
    Some((1.0 - sum / weight / before).clamp(0.0, 1.0))
}

fn width(values: impl Iterator<Item = f64>) -> f64 {
    let mut sorted: Vec<f64> = values.collect();
    sorted.sort_by(f64::total_cmp);
    at(&sorted, 0.9) - at(&sorted, 0.1)
}

/// Least-squares line through (y, t).
fn line(window: &[(f64, f64)]) -> (f64, f64) {
    let n = window.len() as f64;
    let (mean_y, mean_t) = (window.iter().map(|p| p.0).sum::<f64>() / n, window.iter().map(|p| p.1).sum::<f64>() / n);
    let (mut yy, mut yt) = (0.0, 0.0);
    for (y, t) in window {
        yy += (y - mean_y) * (y - mean_y);
        yt += (y - mean_y) * (t - mean_t);
    }
    let slope = if yy > 0.0 { yt / yy } else { 0.0 };
    (slope, mean_t - slope * mean_y)
}
