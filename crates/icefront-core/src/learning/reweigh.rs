//! Readings of a run so far reweigh the draws; where too few of them count, new ones are drawn where the weight lies.
//!
//! # Main equations
//! Adaptive multiple importance sampling, in coordinates z in which the prior is standard normal:
//! ```text
//! weight of a draw   w ~ L(y | z) p(z) / sum over rounds k of a_k q_k(z),    a_k: share of the draws of round k
//! effective sample   n = (sum w)^2 / sum w^2
//! ```
//! Round 0 draws from the prior. While n is poor, the next round draws from a normal distribution near where the weight lies:
//! first the one that the readings give at their best explanation ([`super::learn`] of this one run), then that one adapted
//! to the mean and covariance of the weighted draws in the directions that were learned. Where it draws is only a guide:
//! the weights correct for it, so thresholds and curves count, and all rounds are used together. The same seed gives the
//! same bytes on any number of threads.
//!
//! # Assumptions and limits
//! Errors are normal and known ([`Errors`]); beyond them the model is taken to be right. Whether it can be: [`misfit`].
//! Checked on synthetic truth in `tests/learning_study.rs`.
//!
//! [`misfit`]: super::misfit

use std::num::NonZeroUsize;

use statrs::distribution::{ContinuousCDF, Normal};

use super::fit::{Logged, Near, nearest};
use super::{Belief, Errors, Reading, weighted_chance, weighted_quantiles};
use crate::error::ModelError;
use crate::load::Load;
use crate::numerics::linear::{Column, Whitener};
use crate::ranges::{Measurement, Outcome, Point, Quantiles, by_index, most_failed};

/// A run with readings.
pub struct Question<'a> {
    /// Number of unknowns of a point.
    pub unknowns: usize,
    /// The load of a point.
    pub build: &'a (dyn Fn(&Point) -> Result<Load, ModelError> + Sync),
    /// Readings so far.
    pub readings: &'a [Reading],
    /// Their errors.
    pub errors: &'a Errors,
    /// What could be read next.
    pub measurements: &'a [Measurement],
}

/// How much to compute.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Effort {
    /// Draws of a round.
    pub draws: usize,
    /// Most rounds after the first.
    pub refreshes: usize,
    /// Effective draws wanted.
    pub wanted: usize,
    /// Seed.
    pub seed: u32,
    /// Threads; `None`: one per core.
    pub threads: Option<NonZeroUsize>,
}

impl Default for Effort {
    fn default() -> Self {
        Self { draws: 256, refreshes: 3, wanted: 200, seed: 1, threads: None }
    }
}

/// One run of the model.
#[derive(Clone, Debug)]
pub struct Draw {
    /// Its unknowns; standard normal before anything is read.
    pub unknowns: Vec<f64>,
    /// What came out.
    pub outcome: Outcome,
    /// What each reading would have been.
    pub predicted: Vec<f64>,
}

/// Draws with their weights.
#[derive(Clone, Debug)]
pub struct Updated {
    /// All draws, those of the prior first.
    pub draws: Vec<Draw>,
    /// How many of them are of the prior.
    pub of_prior: usize,
    /// Weights; they sum to 1.
    pub weights: Vec<f64>,
    /// Effective number of draws.
    pub effective: f64,
    /// Effective number before any were drawn anew.
    pub effective_at_first: f64,
    /// How often draws were refreshed.
    pub refreshed: usize,
    /// Draws left out: the model refused them, or a step did not settle.
    pub refused: usize,
    /// How the readings depend on the unknowns near their best explanation; `None` without readings.
    pub near: Option<Near>,
}

impl Updated {
    /// Quantiles of a number before the readings.
    pub fn before(&self, of: impl Fn(&Outcome) -> f64) -> Quantiles {
        Quantiles::of(self.draws[..self.of_prior].iter().map(|d| of(&d.outcome)))
    }

    /// Quantiles of a number after the readings.
    pub fn after(&self, of: impl Fn(&Outcome) -> f64) -> Quantiles {
        let values: Vec<f64> = self.draws.iter().map(|d| of(&d.outcome)).collect();
        weighted_quantiles(&values, &self.weights)
    }

    /// Chance that something holds, after the readings.
    pub fn chance(&self, that: impl Fn(&Outcome) -> bool) -> f64 {
        weighted_chance(&self.draws, &self.weights, |d| that(&d.outcome))
    }

    /// Mean and standard deviation of each unknown after the readings.
    pub fn unknowns(&self) -> Vec<(f64, f64)> {
        let count = self.draws.first().map_or(0, |d| d.unknowns.len());
        let mean =
            |of: &dyn Fn(&Draw) -> f64| self.draws.iter().zip(&self.weights).map(|(d, w)| w * of(d)).sum::<f64>();
        (0..count)
            .map(|i| {
                let middle = mean(&|d| d.unknowns[i]);
                (middle, mean(&|d| (d.unknowns[i] - middle).powi(2)).sqrt())
            })
            .collect()
    }
}

/// Where to draw is taken a little wider than found: its tails must cover those of the truth.
const WIDENED: f64 = 1.15;
/// Effective draws for each direction that a covariance is taken of.
const DRAWS_PER_DIRECTION: f64 = 4.0;

/// Runs the draws of the prior.
///
/// # Errors
/// The first failure if more than half of the draws fail.
pub fn prior(question: &Question<'_>, effort: &Effort) -> Result<Vec<Draw>, ModelError> {
    run(question, effort, effort.seed, &Belief::prior(question.unknowns))
}

/// Draws from a belief, runs them, and leaves out those the model refuses.
fn run(question: &Question<'_>, effort: &Effort, seed: u32, belief: &Belief) -> Result<Vec<Draw>, ModelError> {
    let normal = Normal::standard();
    let one = |index: usize| {
        let point = Point::new(index, seed);
        let standard: Vec<f64> = (0..question.unknowns).map(|k| normal.inverse_cdf(point.unit(k))).collect();
        let unknowns = belief.draw(&standard);
        let units: Vec<f64> = unknowns.iter().map(|z| normal.cdf(*z)).collect();
        let load = (question.build)(&Point::given(units))?;
        let result = crate::plan(&load)?;
        let predicted = question.readings.iter().map(|r| r.predicted(&load, &result)).collect();
        Ok(Draw { unknowns, outcome: Outcome::of(&load, &result, question.measurements), predicted })
    };
    let all = by_index(effort.draws, effort.threads, one);
    let refused = all.iter().filter(|d| d.is_err()).count();
    if refused > most_failed(effort.draws) {
        return all.into_iter().collect();
    }
    Ok(all.into_iter().filter_map(Result::ok).collect())
}

/// Weights of draws of the prior by the readings alone, nothing drawn anew; they sum to 1.
///
/// # Errors
/// [`ModelError::Empty`] where a tool has no error.
pub fn weighed(readings: &[Reading], errors: &Errors, draws: &[Draw]) -> Result<Vec<f64>, ModelError> {
    let unknowns = draws.first().map_or(0, |d| d.unknowns.len());
    let rounds = [(Belief::prior(unknowns), draws.len())];
    Ok(normalised(&log_weights(readings, &errors.whitener(readings)?, draws, &rounds), 1.0))
}

/// Weighs the draws of the prior by the readings, and draws anew where too few count.
///
/// # Errors
/// As [`prior`]; [`ModelError::Empty`] without draws or where a tool has no error.
pub fn update(question: &Question<'_>, effort: &Effort, prior: Vec<Draw>) -> Result<Updated, ModelError> {
    let errors = question.errors.whitener(question.readings)?;
    let near = if question.readings.is_empty() { None } else { Some(near(question, effort)?) };
    let of_prior = prior.len();
    let mut refused = effort.draws.saturating_sub(of_prior);
    let mut draws = prior;
    let mut rounds = vec![(Belief::prior(question.unknowns), of_prior)];
    let mut effective_at_first = None;
    loop {
        let log_weights = log_weights(question.readings, &errors, &draws, &rounds);
        let weights = normalised(&log_weights, 1.0);
        let effective = effective(&weights);
        effective_at_first.get_or_insert(effective);
        let refreshed = rounds.len() - 1;
        let belief = match (&near, rounds.last()) {
            _ if effective >= effort.wanted as f64 || refreshed >= effort.refreshes => None,
            (Some(near), _) if refreshed == 0 => Some(near.belief.clone()),
            (Some(_), Some((last, _))) => Some(adapted(last, &draws, &log_weights)),
            _ => None,
        };
        let Some(belief) = belief else {
            let effective_at_first = effective_at_first.unwrap_or(effective);
            return Ok(Updated { draws, of_prior, weights, effective, effective_at_first, refreshed, refused, near });
        };
        let belief = belief.widened(WIDENED);
        let seed = effort.seed.wrapping_add(0x0bad_cafe_u32.wrapping_mul(rounds.len() as u32));
        let fresh = run(question, effort, seed, &belief)?;
        refused += effort.draws.saturating_sub(fresh.len());
        rounds.push((belief, fresh.len()));
        draws.extend(fresh);
    }
}

/// The best explanation of the readings by one run, as learning from one batch.
fn near(question: &Question<'_>, effort: &Effort) -> Result<Near, ModelError> {
    let run = Logged {
        name: String::new(),
        sheet: "",
        own: 0,
        shared: (0..question.unknowns).map(|k| format!("{k:06}")).collect(),
        build: Box::new(|point: &Point| (question.build)(point)),
        readings: question.readings.to_vec(),
    };
    nearest(&run, question.errors, effort.threads)
}

/// Where to draw next: the last place, adapted to the weighted draws, tempered until enough of them count.
fn adapted(last: &Belief, draws: &[Draw], log_weights: &[f64]) -> Belief {
    let wanted = (DRAWS_PER_DIRECTION * last.directions.len() as f64).min(0.5 * draws.len() as f64);
    let (mut low, mut high) = (0.0, 1.0);
    if effective(&normalised(log_weights, 1.0)) >= wanted {
        low = 1.0;
    } else {
        for _ in 0..30 {
            let power = 0.5 * (low + high);
            if effective(&normalised(log_weights, power)) < wanted { high = power } else { low = power }
        }
    }
    let unknowns: Vec<&[f64]> = draws.iter().map(|d| d.unknowns.as_slice()).collect();
    last.adapted(&unknowns, &normalised(log_weights, low))
}

/// Likelihood times prior over the mixture that all draws came from.
fn log_weights(readings: &[Reading], errors: &Whitener, draws: &[Draw], rounds: &[(Belief, usize)]) -> Vec<f64> {
    let total: usize = rounds.iter().map(|(_, count)| count).sum();
    let one = |draw: &Draw| {
        let apart = readings.iter().zip(&draw.predicted).map(|(r, p)| r.value - p);
        let apart = Column::from_iterator(readings.len(), apart);
        let log_likelihood = -0.5 * errors.squared_length(&apart);
        let log_shares = rounds
            .iter()
            .map(|(belief, count)| (*count as f64 / total as f64).ln() + belief.log_density_over_prior(&draw.unknowns));
        let log_mixture = log_sum(&log_shares.collect::<Vec<_>>());
        if log_likelihood.is_nan() { f64::NEG_INFINITY } else { log_likelihood - log_mixture }
    };
    draws.iter().map(one).collect()
}

/// Logarithm of the sum of numbers given by their logarithms, which may be beyond what a number holds.
fn log_sum(logs: &[f64]) -> f64 {
    let highest = logs.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    highest + logs.iter().map(|log| (log - highest).exp()).sum::<f64>().ln()
}

/// Weights that sum to 1, tempered by a power from 0 to 1; what is impossible weighs nothing at any power.
fn normalised(log_weights: &[f64], power: f64) -> Vec<f64> {
    let highest = log_weights.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    if highest == f64::NEG_INFINITY {
        return vec![1.0 / log_weights.len().max(1) as f64; log_weights.len()];
    }
    let tempered = |w: &f64| if *w == f64::NEG_INFINITY { 0.0 } else { (power * (w - highest)).exp() };
    let raw: Vec<f64> = log_weights.iter().map(tempered).collect();
    let sum: f64 = raw.iter().sum();
    raw.iter().map(|w| w / sum).collect()
}

fn effective(weights: &[f64]) -> f64 {
    1.0 / weights.iter().map(|w| w * w).sum::<f64>()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_impossible_weighs_nothing_at_any_power() {
        for power in [0.0, 0.5, 1.0] {
            let weights = normalised(&[-1.0, f64::NEG_INFINITY, -1.0], power);
            assert_eq!(weights, [0.5, 0.0, 0.5], "power {power}");
        }
        assert_eq!(normalised(&[f64::NEG_INFINITY; 2], 0.0), [0.5, 0.5]);
    }

    #[test]
    fn a_sum_of_numbers_too_large_to_hold_has_a_logarithm() {
        approx::assert_relative_eq!(log_sum(&[2_000.0, 2_000.0]), 2_000.0 + 2.0_f64.ln(), max_relative = 1e-15);
        approx::assert_relative_eq!(log_sum(&[0.0, f64::NEG_INFINITY]), 0.0);
    }
}
