//! Readings of a run so far reweigh the draws; where too few of them count, new ones are drawn where the weight lies.
//!
//! # Main equations
//! Adaptive multiple importance sampling, in coordinates z in which the prior is standard normal:
//! ```text
//! weight of a draw   w ~ L(y | z) p(z) / sum over rounds k of a_k q_k(z),    a_k: share of the draws of round k
//! effective sample   n = (sum w)^2 / sum w^2
//! ```
//! Round 0 draws from the prior. While n is poor, the next round draws from the normal distribution that the readings give by
//! a straight line through the runs so far (`regression.rs`), the runs near the readings counting most. Where it draws is only
//! a guide: the weights correct for it, so thresholds and curves count, and all rounds are used together. The same seed gives
//! the same bytes on any number of threads.
//!
//! There is always an answer. A reading that does not go with the others (`wrong.rs`) is left out and named. Where still too
//! few draws count, the weights are flattened, `w^power` with the largest power below 1 that lets [`FEWEST`] count, which widens
//! the answer; [`Updated::power`] says so.
//!
//! # Assumptions and limits
//! Errors of tools and model are known up to the size of the model's ([`Errors`]). Whether the readings can be right:
//! [`misfit`]. Checked in `tests/learning_study.rs` against a long Markov chain and on truths that are not the model.
//!
//! [`misfit`]: super::misfit

use std::num::NonZeroUsize;

use statrs::distribution::{ContinuousCDF, Normal};

use super::discrepancy::{ErrorDensity, ReadingErrors};
use super::regression::Near;
use super::wrong::{self, Wrong};
use super::{Belief, Errors, Reading, log_sum, weighted_chance, weighted_quantiles};
use crate::error::ModelError;
use crate::load::Load;
use crate::numerics::linear::{Column, Matrix, Whitener};
use crate::ranges::{Measurement, OWN_FIRST, Outcome, Point, Quantiles, by_index, most_failed};
use crate::result::BatchResult;

/// A run with readings.
pub struct Question<'a> {
    /// Number of unknowns of a point that are shared by trays.
    pub unknowns: usize,
    /// Number of trays, each with an unknown of its own.
    pub trays: usize,
    /// The load of a point.
    pub build: &'a (dyn Fn(&Point) -> Result<Load, ModelError> + Sync),
    /// Readings so far.
    pub readings: &'a [Reading],
    /// What each of them would be if two digits next to each other had been swapped, SI; shorter or empty where unknown.
    pub slips: &'a [Vec<f64>],
    /// Their errors.
    pub errors: &'a Errors,
    /// The run of the typical load: how much water there is, and how long it takes.
    pub typical: &'a BatchResult,
    /// What could be read next.
    pub measurements: &'a [Measurement],
}

/// How much to compute.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Effort {
    /// Draws of the prior; each further round has half as many.
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
        Self { draws: 256, refreshes: 5, wanted: 100, seed: 1, threads: None }
    }
}

/// One run of the model.
#[derive(Clone, Debug)]
pub struct Draw {
    /// Its unknowns, the shared ones and one for each tray; standard normal before anything is read.
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
    /// Power that the weights were raised to, 1 where enough draws count without.
    pub power: f64,
    /// Readings that were used, by their places.
    pub used: Vec<usize>,
    /// Readings that were left out because they do not go with the others, the worst first.
    pub wrong: Vec<Wrong>,
    /// How the used readings depend on the unknowns, and their errors; `None` without readings.
    pub(super) near: Option<(Near, ReadingErrors)>,
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
/// Effective runs for each unknown that a line is drawn through.
const RUNS_PER_UNKNOWN: f64 = 2.5;
/// With fewer effective draws than this a range means nothing: the weights are flattened until so many count.
pub const FEWEST: f64 = 24.0;
/// A reading whose chance is below this by the draws of the prior is left out before anything is drawn anew.
const GROSS: f64 = 1e-3;

/// Runs the draws of the prior.
///
/// # Errors
/// The first failure if more than half of the draws fail.
pub fn prior(question: &Question<'_>, effort: &Effort) -> Result<Vec<Draw>, ModelError> {
    run(
        question,
        effort,
        &Round { seed: effort.seed, count: effort.draws, belief: Belief::prior(question.unknowns + question.trays) },
    )
}

/// Draws that are made together.
struct Round {
    seed: u32,
    count: usize,
    belief: Belief,
}

/// Draws from a belief, runs them, and leaves out those the model refuses.
fn run(question: &Question<'_>, effort: &Effort, round: &Round) -> Result<Vec<Draw>, ModelError> {
    let normal = Normal::standard();
    let one = |index: usize| {
        let point = Point::new(index, round.seed);
        let shared = 0..question.unknowns;
        let own = OWN_FIRST..OWN_FIRST + question.trays;
        let standard: Vec<f64> = shared.chain(own).map(|k| normal.inverse_cdf(point.unit(k))).collect();
        let unknowns = round.belief.draw(&standard);
        // draws of the prior are those of a plan, bit for bit
        let drawn = if round.belief.directions.is_empty() {
            point
        } else {
            let units: Vec<f64> = unknowns.iter().map(|z| normal.cdf(*z)).collect();
            Point::of_trays(&units[..question.unknowns], &units[question.unknowns..])
        };
        let load = (question.build)(&drawn)?;
        let result = crate::plan(&load)?;
        let predicted = question.readings.iter().map(|r| r.predicted(&load, &result)).collect();
        Ok(Draw { unknowns, outcome: Outcome::of(&load, &result, question.measurements), predicted })
    };
    let all = by_index(round.count, effort.threads, one);
    let refused = all.iter().filter(|d| d.is_err()).count();
    if refused > most_failed(round.count) {
        return all.into_iter().collect();
    }
    Ok(all.into_iter().filter_map(Result::ok).collect())
}

/// Logarithm of the likelihood of each draw, up to a constant; minus infinity where a reading cannot be predicted.
///
/// # Errors
/// [`ModelError::Empty`] where a tool has no error.
pub fn log_likelihood(
    readings: &[Reading],
    errors: &Errors,
    typical: &BatchResult,
    draws: &[Draw],
) -> Result<Vec<f64>, ModelError> {
    let seen = Seen::all(readings, &[], ReadingErrors::of(readings, errors, typical))?;
    Ok(draws.iter().map(|draw| seen.log_likelihood(draw)).collect())
}

/// Weighs the draws of the prior by the readings, and draws anew where too few count.
///
/// # Errors
/// As [`prior`]; [`ModelError::Empty`] without draws or where a tool has no error.
pub fn update(question: &Question<'_>, effort: &Effort, prior: Vec<Draw>) -> Result<Updated, ModelError> {
    let errors = ReadingErrors::of(question.readings, question.errors, question.typical);
    let mut seen = Seen::all(question.readings, question.slips, errors)?;
    let of_prior = prior.len();
    let mut draws = prior;
    let mut refused = effort.draws.saturating_sub(of_prior);
    let mut rounds = vec![(Belief::prior(question.unknowns + question.trays), of_prior)];
    while let Some(near) = seen.line(&draws, &vec![0.0; of_prior])
        && seen.leave_out_worst(&near, GROSS)?
    {}
    let mut effective_at_first = None;
    loop {
        let log_weights = seen.log_weights(&draws, &rounds);
        let effective = effective(&normalised(&log_weights, 1.0));
        let at_first = *effective_at_first.get_or_insert(effective);
        let near = seen.line(&draws, &log_weights);
        let enough = effective >= effort.wanted as f64;
        if let Some(near) = near.as_ref().filter(|_| enough || rounds.len() > 1)
            && seen.leave_out_worst(near, wrong::SUSPICIOUS)?
        {
            continue;
        }
        let belief = near.as_ref().filter(|_| !enough && rounds.len() <= effort.refreshes).and_then(|n| seen.belief(n));
        let Some(belief) = belief else {
            let power = seen.power(&log_weights);
            let weights = normalised(&log_weights, power);
            return Ok(Updated {
                effective: self::effective(&weights),
                draws,
                of_prior,
                weights,
                effective_at_first: at_first,
                refreshed: rounds.len() - 1,
                refused,
                power,
                near: near.map(|near| (near, seen.errors.some(&seen.used))),
                used: seen.used,
                wrong: seen.wrong,
            });
        };
        let seed = effort.seed.wrapping_add(0x0bad_cafe_u32.wrapping_mul(rounds.len() as u32));
        let round = Round { seed, count: effort.draws.div_ceil(2), belief: belief.widened(WIDENED) };
        let fresh = run(question, effort, &round)?;
        refused += round.count.saturating_sub(fresh.len());
        rounds.push((round.belief, fresh.len()));
        draws.extend(fresh);
    }
}

/// Readings of a run, those in use, and those left out because they do not go with the others.
struct Seen<'a> {
    all: &'a [Reading],
    slips: &'a [Vec<f64>],
    errors: ReadingErrors,
    used: Vec<usize>,
    density: ErrorDensity,
    wrong: Vec<Wrong>,
}

impl<'a> Seen<'a> {
    fn all(all: &'a [Reading], slips: &'a [Vec<f64>], errors: ReadingErrors) -> Result<Self, ModelError> {
        let (used, density) = ((0..all.len()).collect(), errors.density()?);
        Ok(Self { all, slips, errors, used, density, wrong: Vec::new() })
    }

    fn values(&self) -> Column {
        Column::from_iterator(self.used.len(), self.used.iter().map(|&i| self.all[i].value))
    }

    fn log_likelihood(&self, draw: &Draw) -> f64 {
        let apart = self.used.iter().map(|&i| self.all[i].value - draw.predicted[i]);
        self.density.log(&Column::from_iterator(self.used.len(), apart))
    }

    /// Likelihood times prior over the mixture that all draws came from.
    fn log_weights(&self, draws: &[Draw], rounds: &[(Belief, usize)]) -> Vec<f64> {
        let total: usize = rounds.iter().map(|(_, count)| count).sum();
        let one = |draw: &Draw| {
            let log_shares = rounds.iter().map(|(belief, count)| {
                libm::log(*count as f64 / total as f64) + belief.log_density_over_prior(&draw.unknowns)
            });
            let log_mixture = log_sum(&log_shares.collect::<Vec<_>>());
            if log_mixture.is_nan() { f64::NEG_INFINITY } else { self.log_likelihood(draw) - log_mixture }
        };
        draws.iter().map(one).collect()
    }

    /// The line through the draws, those near the readings counting most, but so many that it is known well enough.
    fn line(&self, draws: &[Draw], log_weights: &[f64]) -> Option<Near> {
        let unknowns = draws.first()?.unknowns.len();
        if self.used.is_empty() {
            return None;
        }
        let wanted = (RUNS_PER_UNKNOWN * unknowns as f64).clamp(FEWEST, (0.5 * draws.len() as f64).max(FEWEST));
        let weights = normalised(log_weights, power(log_weights, wanted));
        Near::through(draws, &weights, &self.used, effective(&weights))
    }

    /// What the readings say of the unknowns by a straight line.
    fn belief(&self, near: &Near) -> Option<Belief> {
        let apart = self.values() - &near.level;
        let errors = self.errors.some(&self.used).likeliest(&near.spread(), &apart)? + &near.rest;
        let whitener = Whitener::of(&errors)?;
        let target = whitener.whiten(&Matrix::from_column_slice(apart.len(), 1, apart.as_slice()))?;
        Some(Belief::after(&whitener.whiten(&near.slopes)?, &target.column(0).into_owned()))
    }

    /// Leaves out the reading that goes worst with the others, if its chance is that small; whether it did.
    fn leave_out_worst(&mut self, near: &Near, chance: f64) -> Result<bool, ModelError> {
        if self.wrong.len() >= wrong::most(self.all.len()) {
            return Ok(false);
        }
        let used: Vec<Reading> = self.used.iter().map(|&i| self.all[i]).collect();
        let slips: Vec<&[f64]> = self.used.iter().map(|&i| self.slips.get(i).map_or(&[][..], Vec::as_slice)).collect();
        let found = wrong::worst(&used, &slips, near, &self.errors.some(&self.used)).filter(|w| w.is_beyond(chance));
        let Some(found) = found else { return Ok(false) };
        let place = self.used.remove(found.place);
        self.wrong.push(Wrong { place, ..found });
        self.density = self.errors.some(&self.used).density()?;
        Ok(true)
    }

    /// The power at which enough draws count for an answer.
    fn power(&self, log_weights: &[f64]) -> f64 {
        power(log_weights, FEWEST.min(0.5 * log_weights.len() as f64))
    }
}

/// The largest power from 0 to 1 at which so many draws count; fewer count at every power where fewer are possible at all.
fn power(log_weights: &[f64], wanted: f64) -> f64 {
    let enough = |power: f64| effective(&normalised(log_weights, power)) >= wanted;
    if enough(1.0) {
        return 1.0;
    }
    let (mut low, mut high) = (0.0, 1.0);
    for _ in 0..30 {
        let middle = 0.5 * (low + high);
        if enough(middle) { low = middle } else { high = middle }
    }
    low
}

/// Weights that sum to 1, tempered by a power from 0 to 1; what is impossible weighs nothing at any power.
fn normalised(log_weights: &[f64], power: f64) -> Vec<f64> {
    let highest = log_weights.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    if highest == f64::NEG_INFINITY {
        return vec![1.0 / log_weights.len().max(1) as f64; log_weights.len()];
    }
    let tempered = |w: &f64| if *w == f64::NEG_INFINITY { 0.0 } else { libm::exp(power * (w - highest)) };
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
