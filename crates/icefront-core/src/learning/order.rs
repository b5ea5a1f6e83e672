//! What only falls or only grows during a run: weights, water lost, the plug meter. Readings that go the other way cannot all
//! be right.
//!
//! Of the readings of one quantity the largest set is kept in which none goes back by more than three standard deviations of
//! a difference. Where several sets are as large, the one nearest to the typical run is kept: of two readings that contradict
//! each other, the later is not always the wrong one.

use super::{Errors, Quantity, Reading};
use crate::load::Load;
use crate::result::BatchResult;

/// Two readings in the order of time that cannot both be right.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Backwards {
    /// Place of the reading that is not kept.
    pub place: usize,
    /// Place of a kept reading that it contradicts.
    pub against: usize,
}

/// Standard deviations that a difference of two readings may be off.
const DEVIATIONS: f64 = 3.0;

/// Readings, in the order of time, that go back where only forward is possible.
pub fn backwards(readings: &[Reading], load: &Load, typical: &BatchResult, errors: &Errors) -> Vec<Backwards> {
    let mut quantities: Vec<Quantity> = Vec::new();
    for reading in readings.iter().filter(|r| sign(r.quantity) != 0.0) {
        if !quantities.contains(&reading.quantity) {
            quantities.push(reading.quantity);
        }
    }
    let mut found: Vec<Backwards> = Vec::new();
    for quantity in quantities {
        let places: Vec<usize> = (0..readings.len()).filter(|&i| readings[i].quantity == quantity).collect();
        let slack = DEVIATIONS * std::f64::consts::SQRT_2 * slack_of(quantity, errors);
        let value = |place: usize| sign(quantity) * readings[place].value;
        let away = |place: usize| (readings[place].value - readings[place].predicted(load, typical)).abs();
        let kept = longest(&places, value, slack, away);
        let goes_on = |a: usize, b: usize| value(b) >= value(a) - slack;
        for &place in places.iter().filter(|place| !kept.contains(place)) {
            let contradicts = |k: &&usize| if **k < place { !goes_on(**k, place) } else { !goes_on(place, **k) };
            if let Some(&against) = kept.iter().find(contradicts) {
                found.push(Backwards { place, against });
            }
        }
    }
    found.sort_by_key(|b| b.place);
    found
}

/// 1 for what only grows, -1 for what only falls, 0 for the rest.
fn sign(quantity: Quantity) -> f64 {
    match quantity {
        Quantity::WaterLost { .. } | Quantity::Energy | Quantity::Drained => 1.0,
        Quantity::Weight { .. } => -1.0,
        _ => 0.0,
    }
}

/// Standard deviation of one reading against another of the same tool, SI. A meter's sum never goes back at all.
fn slack_of(quantity: Quantity, errors: &Errors) -> f64 {
    if quantity == Quantity::Energy { 0.0 } else { errors.of(quantity).own }
}

/// A chain of readings that go on from each other.
#[derive(Clone, Copy)]
struct Chain {
    length: usize,
    /// How far its readings are from the typical run, together.
    away: f64,
    /// Its largest value: small steps back must not add up.
    furthest: f64,
    /// The end of the chain without its last reading.
    before: Option<usize>,
}

impl Chain {
    fn order(&self, other: &Self) -> std::cmp::Ordering {
        self.length.cmp(&other.length).then(other.away.total_cmp(&self.away))
    }
}

/// The longest chain of places whose values grow, up to the slack; of chains as long, the one least away in all.
fn longest(places: &[usize], value: impl Fn(usize) -> f64, slack: f64, away: impl Fn(usize) -> f64) -> Vec<usize> {
    // the best chain that ends at each place
    let mut best: Vec<Chain> = Vec::with_capacity(places.len());
    for &place in places {
        let here = value(place);
        let goes_on = |j: &usize| here >= best[*j].furthest - slack;
        let before = (0..best.len()).filter(goes_on).max_by(|&i, &j| best[i].order(&best[j]));
        let (length, total, furthest) =
            before.map_or((0, 0.0, here), |j| (best[j].length, best[j].away, best[j].furthest.max(here)));
        best.push(Chain { length: length + 1, away: total + away(place), furthest, before });
    }
    let end = (0..best.len()).max_by(|&i, &j| best[i].order(&best[j]));
    let mut kept: Vec<usize> = std::iter::successors(end, |&k| best[k].before).map(|k| places[k]).collect();
    kept.reverse();
    kept
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Places that are kept of values that should grow, with a slack of 1.
    fn kept(values: &[f64], typical: &[f64]) -> Vec<usize> {
        let places: Vec<usize> = (0..values.len()).collect();
        longest(&places, |i| values[i], 1.0, |i| (values[i] - typical[i]).abs())
    }

    #[test]
    fn one_number_too_high_does_not_condemn_those_after_it() {
        assert_eq!(kept(&[100.0, 640.0, 300.0, 400.0, 500.0], &[100.0, 200.0, 300.0, 400.0, 500.0]), [0, 2, 3, 4]);
        assert_eq!(kept(&[100.0, 200.0, 30.0, 400.0], &[100.0, 200.0, 300.0, 400.0]), [0, 1, 3]);
    }

    #[test]
    fn of_two_the_one_nearer_to_the_typical_run_is_kept() {
        assert_eq!(kept(&[640.0, 300.0], &[250.0, 310.0]), [1]);
        assert_eq!(kept(&[240.0, 30.0], &[250.0, 310.0]), [0]);
    }

    #[test]
    fn small_steps_back_do_not_add_up() {
        assert_eq!(kept(&[10.0, 9.5, 9.0, 8.5, 8.0], &[10.0; 5]).len(), 3);
    }
}
