//! Which reading is wrong, if one is: transposed digits, another tray's weight, a number from the wrong line.
//!
//! # Main equations
//! With readings y, a line `level + slopes z` and covariance `V = slopes slopes^T + rest + errors`, each reading is predicted
//! from all others:
//! ```text
//! off_i = [V^-1 (y - level)]_i / sqrt([V^-1]_ii)                     standard normal if all is right
//! chance_i = sum over sizes k of w_k,-i 2 (1 - Phi(|off_i,k|)),      w_k,-i: weight of a size of the model error by the others
//! ```
//! A reading is taken for wrong where the smallest chance times the number of readings is below [`SUSPICIOUS`] (Bonferroni),
//! or where a slip of the pen explains it better than chance: with y' what it would be with two digits swapped,
//! ```text
//! odds_i = (1/20) mean over y' of p(y'; the others) / p(y_i; the others)    above 1
//! ```
//! The others are judged again without it.
//!
//! # References
//! Cook and Weisberg 1982, Residuals and Influence in Regression, Sect. 2.2 (from memory).

use statrs::distribution::{Continuous, ContinuousCDF, Normal};

use super::discrepancy::ReadingErrors;
use super::regression::Near;
use super::{Reading, log_sum};
use crate::numerics::linear::{Column, Matrix, Whitener};

/// Chance below which a reading is taken for wrong, all readings together.
pub(super) const SUSPICIOUS: f64 = 0.05;
/// How often a number is written down wrongly, over how often it is not (`common practice, no source`).
const SLIPS: f64 = 1.0 / 20.0;
/// At most one reading in so many is set aside, and always one.
const ONE_IN: usize = 4;

/// A reading that does not go with the others.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Wrong {
    /// Its place in the list of readings.
    pub place: usize,
    /// What the others say it should be, SI.
    pub expected: f64,
    /// Standard deviation of that, SI.
    pub deviation: f64,
    /// Chance of a reading as far off among so many.
    pub chance: f64,
    /// What it should be if two digits were swapped, where that is likelier than that it is right, SI.
    pub slip: Option<Slip>,
}

/// Two digits swapped.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Slip {
    /// The number with the digits in the right order, SI.
    pub meant: f64,
    /// How much likelier it is than the number as written, above 1.
    pub odds: f64,
}

impl Wrong {
    /// Whether it is to be left out: its chance is below a limit, or digits were swapped.
    pub(super) fn is_beyond(&self, chance: f64) -> bool {
        self.chance < chance || self.slip.is_some()
    }

    /// How wrong it is, to tell the worst of some; larger is worse.
    fn badness(&self) -> f64 {
        self.slip.map_or(0.0, |slip| slip.odds).max(SUSPICIOUS / self.chance.max(f64::MIN_POSITIVE))
    }
}

/// The reading that goes worst with the others. `slips`: what each would be with two digits swapped, SI.
pub(super) fn worst(readings: &[Reading], slips: &[&[f64]], near: &Near, errors: &ReadingErrors) -> Option<Wrong> {
    let n = readings.len();
    if n < 2 {
        return None;
    }
    let apart = Column::from_iterator(n, readings.iter().map(|r| r.value)) - &near.level;
    let spread = near.spread();
    let sizes: Vec<BySize> = errors.with(&spread).filter_map(|(w, v)| BySize::of(w, &v, &apart)).collect();
    let one = |place: usize| {
        let others = Others::of(&sizes, place, readings[place].value);
        let chance = (others.chance() * n as f64).min(1.0);
        let slip = slips.get(place).and_then(|meant| others.slip(meant));
        Wrong { place, expected: others.expected(), deviation: others.deviation(), chance, slip }
    };
    (0..n).map(one).max_by(|a, b| a.badness().total_cmp(&b.badness()).then(b.place.cmp(&a.place)))
}

/// What the other readings say of one, for each size and length of the model error: weight, expected, standard deviation.
struct Others {
    value: f64,
    each: Vec<(f64, f64, f64)>,
}

impl Others {
    fn of(sizes: &[BySize], place: usize, value: f64) -> Self {
        let logs: Vec<f64> = sizes.iter().map(|s| s.log_without(place)).collect();
        let total = log_sum(&logs);
        let one =
            |(size, log): (&BySize, f64)| (libm::exp(log - total), value - size.off[place], size.deviation[place]);
        Self { value, each: sizes.iter().zip(logs).map(one).collect() }
    }

    fn mean(&self, of: impl Fn(f64, f64) -> f64) -> f64 {
        self.each.iter().map(|&(weight, expected, deviation)| weight * of(expected, deviation)).sum()
    }

    fn expected(&self) -> f64 {
        self.mean(|expected, _| expected)
    }

    fn deviation(&self) -> f64 {
        self.mean(|_, deviation| deviation)
    }

    /// Chance of a reading as far off.
    fn chance(&self) -> f64 {
        let normal = Normal::standard();
        self.mean(|expected, deviation| 2.0 * normal.sf(((self.value - expected) / deviation).abs()))
    }

    fn density(&self, value: f64) -> f64 {
        let normal = Normal::standard();
        self.mean(|expected, deviation| normal.pdf((value - expected) / deviation) / deviation)
    }

    /// Swapped digits, where they are likelier than the number as written.
    fn slip(&self, meant: &[f64]) -> Option<Slip> {
        let densities = meant.iter().map(|value| (self.density(*value), *value));
        let likeliest = densities.clone().max_by(|a, b| a.0.total_cmp(&b.0))?.1;
        let mean = densities.map(|(density, _)| density).sum::<f64>() / meant.len() as f64;
        let odds = SLIPS * mean / self.density(self.value).max(f64::MIN_POSITIVE);
        (odds > 1.0).then_some(Slip { meant: likeliest, odds })
    }
}

/// How many of some readings may be set aside.
pub(super) fn most(readings: usize) -> usize {
    (readings / ONE_IN).max(usize::from(readings > 2))
}

/// Readings predicted from all others, for one size and length of the model error.
struct BySize {
    /// Logarithm of the size's chance and of the density of all readings.
    log: f64,
    /// How far each reading is from what the others say.
    off: Vec<f64>,
    /// Standard deviation of that.
    deviation: Vec<f64>,
}

impl BySize {
    fn of(weight: f64, covariance: &Matrix, apart: &Column) -> Option<Self> {
        let n = apart.len();
        let whitener = Whitener::of(covariance)?;
        let root = whitener.whiten(&Matrix::identity(n, n))?;
        let white = whitener.whiten(&Matrix::from_column_slice(n, 1, apart.as_slice()))?;
        let inverse_apart = root.tr_mul(&white);
        let inverse_diagonal = |i: usize| root.column(i).norm_squared();
        let log = libm::log(weight) - whitener.log_determinant() - 0.5 * white.norm_squared();
        Some(Self {
            log,
            off: (0..n).map(|i| inverse_apart[i] / inverse_diagonal(i)).collect(),
            deviation: (0..n).map(|i| 1.0 / inverse_diagonal(i).sqrt()).collect(),
        })
    }

    /// Logarithm of the size's chance and of the density of the other readings.
    fn log_without(&self, place: usize) -> f64 {
        let sd = self.deviation[place];
        self.log + 0.5 * (self.off[place] / sd).powi(2) + libm::log(sd)
    }
}
