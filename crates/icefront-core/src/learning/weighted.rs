//! Quantiles and chances of draws that do not all count the same.

use crate::ranges::{Point, Quantiles};

/// Quantiles of weighted values, linear between the middles of the weights; infinite ones count as the largest.
///
/// They are stated for the next draw (type 6 of Hyndman and Fan 1996, by the effective number n of values): one in ten of
/// the *next* draws lies below the low one, whatever n.
/// ```text
/// share' = (share (n + 1) - 1/2) / n
/// ```
pub fn weighted_quantiles(values: &[f64], weights: &[f64]) -> Quantiles {
    let mut sorted: Vec<(f64, f64)> =
        values.iter().copied().zip(weights.iter().copied()).filter(|(_, w)| *w > 0.0).collect();
    sorted.sort_by(|a, b| a.0.total_cmp(&b.0));
    let total: f64 = sorted.iter().map(|(_, w)| w).sum();
    let effective = total * total / sorted.iter().map(|(_, w)| w * w).sum::<f64>();
    let at = |share: f64| {
        let share = ((share * (effective + 1.0) - 0.5) / effective).clamp(0.0, 1.0);
        let (mut below, mut last) = (0.0, None::<(f64, f64)>);
        for (value, weight) in &sorted {
            let middle = below + 0.5 * weight;
            if middle >= share * total {
                return match last {
                    Some((before, at)) if *value > before && value.is_finite() => {
                        before + (share * total - at) / (middle - at) * (value - before)
                    }
                    _ => *value,
                };
            }
            last = Some((*value, middle));
            below += weight;
        }
        last.map_or(f64::NAN, |(value, _)| value)
    };
    Quantiles { low: at(0.1), typical: at(0.5), high: at(0.9) }
}

/// Share of the weight for which something holds.
pub fn weighted_chance<T>(draws: &[T], weights: &[f64], that: impl Fn(&T) -> bool) -> f64 {
    let total: f64 = weights.iter().sum();
    draws.iter().zip(weights).filter(|(d, _)| that(d)).map(|(_, w)| w).sum::<f64>() / total
}

/// Places of `count` draws picked by weight, evenly spaced (systematic resampling).
pub fn resampled(weights: &[f64], count: usize, seed: u32) -> Vec<usize> {
    let total: f64 = weights.iter().sum();
    let offset = Point::new(0, seed).unit(0);
    let mut picked = Vec::with_capacity(count);
    let (mut upto, mut place) = (0.0, 0);
    for k in 0..count {
        let wanted = (k as f64 + offset) / count as f64 * total;
        while place + 1 < weights.len() && upto + weights[place] < wanted {
            upto += weights[place];
            place += 1;
        }
        picked.push(place);
    }
    picked
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn equal_weights_give_plain_quantiles_and_weights_count_as_copies() {
        let values: Vec<f64> = (0..1000).map(f64::from).collect();
        let q = weighted_quantiles(&values, &[1.0; 1000]);
        // the 1001 gaps between and around them are as likely: a tenth of them lies below the 100.1st value
        assert!((q.low - 99.1).abs() < 1e-9 && (q.typical - 499.5).abs() < 1e-9 && (q.high - 899.9).abs() < 1e-9);
        // the upper half thrice as heavy: 2000^2/5000 = 800 values count, so that low is at (0.1 x 801 - 1/2)/800 of the
        // weight, 199.0 of 2000, and the middle at half, 1000 of 2000
        let weights: Vec<f64> = (0..1000).map(|i| if i < 500 { 1.0 } else { 3.0 }).collect();
        let q = weighted_quantiles(&values, &weights);
        assert!((q.low - 198.5).abs() < 1e-9 && (q.typical - (500.0 + 498.5 / 3.0)).abs() < 1e-9, "{q:?}");
        let picked = resampled(&weights, 2000, 3);
        assert!(picked.iter().filter(|i| **i >= 500).count().abs_diff(1500) <= 1);
    }

    #[test]
    fn an_endless_run_is_the_longest() {
        let q = weighted_quantiles(&[1.0, f64::INFINITY, 2.0], &[1.0, 0.5, 1.0]);
        assert!(q.high.is_infinite() && q.typical.is_finite());
    }
}
