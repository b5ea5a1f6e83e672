//! Loads side by side on the same draws.
//!
//! # Main equations
//! Draw i of every load takes the same number for the same unknown, so that what is not known about food and machine
//! falls out of the ratio
//! ```text
//! r_i = B_i / A_i            B: a quantity of one load, A: of the one it is compared with
//! ```
//! whose spread is far narrower than that of A and B. B differs from A if nine in ten `r_i` lie beyond 2 % on the same
//! side of 1; there is no difference if neither side holds more than seven in ten of them; otherwise the draws do not decide.
//!
//! # Assumptions and limits
//! 2 % is four times the error of a run's default steps, and less than a kitchen's ruler can set. With independent draws
//! `r_i` are ratios of runs that share nothing: the same rule, far less sharp.

use std::num::NonZeroUsize;

use serde::Serialize;

use super::trouble::Trouble;
use crate::error::ModelError;
use crate::load::Load;
use crate::ranges::{Draws, Outcome, Point, Quantiles, by_index, most_failed};

/// Smallest difference that counts, as a ratio.
const TELLING: f64 = 1.02;
/// Share of the samples that must agree on a difference.
const AGREED: f64 = 0.9;
/// Share of the samples on one side from which that side is ahead.
const AHEAD: f64 = 0.7;
/// Chance of grave trouble that is still called safe.
pub const SAFE: f64 = 0.1;
/// Odd step from the seed of one load to the next where each is drawn on its own.
const NEXT_SEED: u32 = 0x85eb_ca6b;

/// A load with its drawn runs.
#[derive(Clone, Debug)]
pub struct Variant {
    /// The load, rough quantities at the middle of their distributions.
    pub load: Load,
    /// One per point, in their order; `None` where the draw failed.
    pub drawn: Vec<Option<Outcome>>,
}

/// What a batch gives or takes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Quantity {
    /// Until the food can be taken out, s.
    ReadyS,
    /// Electric energy, J.
    EnergyJ,
    /// Cost of it, in the tariff's currency; NaN without a price.
    Cost,
    /// Dried food per time of the whole run, kg/s; 0 if it never dries.
    DriedKgPerS,
    /// Dried food per electric energy, kg/J; 0 if it never dries.
    DriedKgPerJ,
    /// Dried food per cost; NaN without a price.
    DriedKgPerCost,
    /// Dried food, kg.
    DriedKg,
}

impl Quantity {
    /// Its value in one run.
    pub fn of(self, load: &Load, outcome: &Outcome) -> f64 {
        let energy_j = outcome.energy_j.total();
        let cost = || load.tariff.price_per_kwh.map_or(f64::NAN, |price| price * energy_j / J_PER_KWH);
        let dried_kg = if outcome.total_s.is_finite() { outcome.dried_kg } else { 0.0 };
        match self {
            Self::ReadyS => outcome.food_ready_s,
            Self::EnergyJ => energy_j,
            Self::Cost => cost(),
            Self::DriedKgPerS => dried_kg / outcome.total_s,
            Self::DriedKgPerJ => dried_kg / energy_j,
            Self::DriedKgPerCost => dried_kg / cost(),
            Self::DriedKg => dried_kg,
        }
    }
}

/// A tariff's price is per kWh.
const J_PER_KWH: f64 = 3.6e6;

impl Variant {
    /// 10, 50 and 90 % of a quantity.
    pub fn quantiles(&self, quantity: Quantity) -> Quantiles {
        Quantiles::of(self.outcomes().map(|o| quantity.of(&self.load, o)))
    }

    /// Chance of a trouble.
    pub fn chance(&self, trouble: Trouble) -> f64 {
        self.share(|o| trouble.is_in(&self.load, o))
    }

    /// Chance that the batch is spoilt or the machine harmed.
    pub fn grave_chance(&self) -> f64 {
        self.share(|o| Trouble::ALL.iter().any(|t| t.is_grave() && t.is_in(&self.load, o)))
    }

    /// Whether grave trouble comes at most one time in ten.
    pub fn is_safe(&self) -> bool {
        self.grave_chance() <= SAFE
    }

    /// Whether a tray is half frozen when the pump starts at most one time in ten: else it is no plan at all, however soon
    /// it is ready.
    pub fn is_frozen(&self) -> bool {
        self.chance(Trouble::NotFrozen) <= SAFE
    }

    /// The tray that is dry last in most samples, by its place in the load, and in which share of them; `None` without a
    /// draw. Of trays that never get dry the wettest is the last.
    pub fn last_tray(&self) -> Option<(usize, f64)> {
        let mut counts = vec![0_usize; self.load.trays.len()];
        for outcome in self.outcomes() {
            let last = outcome.trays.iter().enumerate().max_by(|(_, a), (_, b)| {
                a.dry_at_s.total_cmp(&b.dry_at_s).then(a.wettest_wet_frac.total_cmp(&b.wettest_wet_frac))
            });
            if let Some(count) = last.and_then(|(tray, _)| counts.get_mut(tray)) {
                *count += 1;
            }
        }
        let all: usize = counts.iter().sum();
        let (tray, count) = counts.into_iter().enumerate().max_by_key(|(_, count)| *count)?;
        (all > 0).then(|| (tray, count as f64 / all as f64))
    }

    /// Draws that failed and are left out.
    pub fn refused(&self) -> usize {
        self.drawn.iter().filter(|one| one.is_none()).count()
    }

    fn outcomes(&self) -> impl Iterator<Item = &Outcome> {
        self.drawn.iter().flatten()
    }

    fn share(&self, that: impl Fn(&Outcome) -> bool) -> f64 {
        let (held, all) = self.outcomes().fold((0, 0), |(held, all), o| (held + usize::from(that(o)), all + 1));
        held as f64 / all.max(1) as f64
    }
}

/// How the loads are drawn.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Pairing {
    /// Samples of each load.
    pub draws: Draws,
    /// Each load takes points of its own instead of common ones.
    pub independent: bool,
}

/// Draws all loads; `build` makes one of them at a point.
///
/// # Errors
/// The first failure if of one load more than half of the samples fail.
pub fn draw(
    pairing: &Pairing,
    loads: &[Load],
    build: impl Fn(usize, &Point) -> Result<Load, ModelError> + Sync,
) -> Result<Vec<Variant>, ModelError> {
    let Draws { count, seed, threads } = pairing.draws;
    let own = |which: usize| if pairing.independent { (which as u32).wrapping_mul(NEXT_SEED) } else { 0 };
    let one = |number: usize| {
        let (index, which) = (number / loads.len(), number % loads.len());
        let load = build(which, &Point::new(index, seed.wrapping_add(own(which))))?;
        Ok(Outcome::of(&load, &crate::plan(&load)?, &[]))
    };
    let runs = by_index(count * loads.len(), threads, one);
    let mut variants: Vec<Variant> =
        loads.iter().map(|load| Variant { load: load.clone(), drawn: Vec::with_capacity(count) }).collect();
    let mut refusals: Vec<Vec<ModelError>> = vec![Vec::new(); loads.len()];
    for (number, run) in runs.into_iter().enumerate() {
        let which = number % loads.len();
        variants[which].drawn.push(run.map_err(|refusal| refusals[which].push(refusal)).ok());
    }
    let too_many = refusals.into_iter().find(|refusals| refusals.len() > most_failed(count));
    too_many.and_then(|refusals| refusals.into_iter().next()).map_or(Ok(variants), Err)
}

/// Runs the loads as they stand, on their typical numbers.
///
/// # Errors
/// The first refusal of the model.
pub fn typical(loads: &[Load], threads: Option<NonZeroUsize>) -> Result<Vec<Variant>, ModelError> {
    let pairing = Pairing { draws: Draws { count: 1, seed: 0, threads }, independent: false };
    draw(&pairing, loads, |which, _| Ok(loads[which].clone()))
}

/// What can be said of a difference.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Verdict {
    /// Nine in ten draws are more than 2 % higher.
    Higher,
    /// Nine in ten draws are more than 2 % lower.
    Lower,
    /// Neither is ahead in more than seven of ten draws.
    #[serde(rename = "no difference")]
    NoDifference,
    /// Anything between.
    #[serde(rename = "can't tell")]
    CantTell,
}

/// One load against another.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Difference {
    /// Ratio of a quantity, this load over the other: 10, 50 and 90 % over the samples.
    pub ratio: Quantiles,
    /// The conclusion from it.
    pub verdict: Verdict,
}

/// How a quantity of one load differs from that of another.
pub fn difference(one: &Variant, other: &Variant, quantity: Quantity) -> Difference {
    let pairs = one.drawn.iter().zip(&other.drawn).filter_map(|(a, b)| Some((a.as_ref()?, b.as_ref()?)));
    let ratios: Vec<f64> = pairs.map(|(a, b)| ratio(quantity.of(&one.load, a), quantity.of(&other.load, b))).collect();
    let share = |that: fn(f64) -> bool| ratios.iter().filter(|r| that(**r)).count() as f64 / ratios.len().max(1) as f64;
    let verdict = if share(|r| r > TELLING) >= AGREED {
        Verdict::Higher
    } else if share(|r| r < 1.0 / TELLING) >= AGREED {
        Verdict::Lower
    } else if share(|r| r > 1.0).max(share(|r| r < 1.0)) <= AHEAD {
        Verdict::NoDifference
    } else {
        Verdict::CantTell
    };
    Difference { ratio: Quantiles::of(ratios), verdict }
}

/// Two runs that never end are alike.
fn ratio(one: f64, other: f64) -> f64 {
    if one == other { 1.0 } else { one / other }
}

/// The best of some loads.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Best {
    /// Which one.
    pub which: usize,
    /// The next best and how the best differs from it; `None` if there is no other.
    pub next: Option<(usize, Difference)>,
}

/// The load with the highest middle value of a quantity, among all that go in frozen or those that are safe; `None` if none
/// is or the quantity is not known.
pub fn best(variants: &[Variant], quantity: Quantity, safe_only: bool) -> Option<Best> {
    let mut order: Vec<(usize, f64)> = variants
        .iter()
        .enumerate()
        .filter(|(_, v)| v.is_frozen() && (!safe_only || v.is_safe()))
        .map(|(i, v)| (i, v.quantiles(quantity).typical))
        .filter(|(_, value)| value.is_finite())
        .collect();
    order.sort_by(|a, b| b.1.total_cmp(&a.1));
    let (which, _) = *order.first()?;
    let next = order.get(1).map(|&(next, _)| (next, difference(&variants[which], &variants[next], quantity)));
    Some(Best { which, next })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn runs_that_never_end_are_alike() {
        assert_eq!(ratio(f64::INFINITY, f64::INFINITY), 1.0);
        assert_eq!(ratio(f64::INFINITY, 1.0), f64::INFINITY);
        assert_eq!(ratio(1.0, f64::INFINITY), 0.0);
    }
}
