//! Draws of what a publication does not tell: a Latin hypercube, seeded, the same on every machine.
//!
//! Each of the numbers a run draws is cut into as many equal parts as there are draws; every draw takes one part of
//! each number, in an order shuffled by a fixed seed. So even a few hundred draws cover each number evenly.

use std::cell::Cell;

use icefront_core::food::Band;

/// Draws per run.
pub const DRAWS: usize = 256;
/// Numbers that one draw can hand out.
const DIMENSIONS: usize = 40;
/// Any number would do; this one is fixed.
const SEED: u64 = 20_260_401;

/// All draws as quantiles, 0 to 1.
pub struct Draws {
    columns: Vec<Vec<f64>>,
}

impl Draws {
    /// The same draws for every run.
    pub fn new() -> Self {
        let mut random = SplitMix(SEED);
        let column = |random: &mut SplitMix| {
            let mut column: Vec<f64> = (0..DRAWS).map(|i| (i as f64 + 0.5) / DRAWS as f64).collect();
            for last in (1..DRAWS).rev() {
                column.swap(last, (random.next() % (last as u64 + 1)) as usize);
            }
            column
        };
        Self { columns: (0..DIMENSIONS).map(|_| column(&mut random)).collect() }
    }

    /// One draw after the other.
    pub fn picks(&self) -> impl Iterator<Item = Pick<'_>> {
        (0..DRAWS).map(|draw| Pick { columns: &self.columns, draw, next: Cell::new(0) })
    }
}

/// Hands out the numbers of one draw in the order they are asked for.
pub struct Pick<'a> {
    columns: &'a [Vec<f64>],
    draw: usize,
    next: Cell<usize>,
}

impl Pick<'_> {
    /// The middle of everything.
    pub fn typical() -> Self {
        Self { columns: &[], draw: 0, next: Cell::new(0) }
    }

    fn quantile(&self) -> f64 {
        let at = self.next.get();
        self.next.set(at + 1);
        self.columns.get(at).map_or(0.5, |column| column[self.draw])
    }

    /// Evenly between two numbers.
    pub fn even(&self, low: f64, high: f64) -> f64 {
        low + (high - low) * self.quantile()
    }

    /// From a band whose ends are the 10 and 90 % points: a logistic distribution of the logarithm on each side.
    pub fn band(&self, band: Band) -> f64 {
        let quantile = self.quantile();
        if band.typical <= 0.0 {
            return band.typical;
        }
        let steps = (quantile / (1.0 - quantile)).ln() / NINTH_DECILE_LOGIT;
        let end = if steps < 0.0 { band.typical / band.low } else { band.high / band.typical };
        band.typical * end.powf(steps)
    }

    /// One of some things, all alike.
    pub fn one_of<'t, T>(&self, things: &'t [T]) -> Option<&'t T> {
        let at = (self.quantile() * things.len() as f64) as usize;
        things.get(at.min(things.len().saturating_sub(1)))
    }
}

/// ln(0.9/0.1).
const NINTH_DECILE_LOGIT: f64 = 2.197_224_577_336_219;

/// SplitMix64 (Steele, Lea and Flood 2014): small, and good enough to shuffle with.
struct SplitMix(u64);

impl SplitMix {
    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^ (z >> 31)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_tenth_of_the_draws_lies_outside_each_end_of_a_band() {
        let (draws, band) = (Draws::new(), Band::new(1.0, 2.0, 8.0));
        let values: Vec<f64> = draws.picks().map(|pick| pick.band(band)).collect();
        let below = |end: f64| values.iter().filter(|value| **value < end).count();
        assert_eq!((below(1.0), below(2.0), below(8.0)), (26, 128, 230));
        assert_eq!(Pick::typical().band(band), 2.0);
    }

    #[test]
    fn numbers_of_a_draw_are_not_tied_to_each_other() {
        let draws = Draws::new();
        let product: f64 = draws.picks().map(|pick| pick.even(-1.0, 1.0) * pick.even(-1.0, 1.0)).sum();
        assert!((product / DRAWS as f64).abs() < 0.05, "{product}");
    }
}
