//! A proper score of drawn predictions: wide draws that hold everything score no better than narrow ones that are off.
//!
//! # Main equation
//! The continuous ranked probability score of the draws `x_i` of the logarithm against the published logarithm `y`:
//! ```text
//! CRPS = mean|x_i - y| - 1/2 mean|x_i - x_j|        0: all draws on the figure; of a single draw: |x - y|
//! sum_ij |x_i - x_j| = 2 sum_i (2 i - n - 1) x_(i)    sorted, i from 1
//! ```
//! A logarithm, so that half and twice a time are equally far off. In units of the logarithm: 0.1 is about 10 % off.
//!
//! # References
//! Gneiting and Raftery 2007, J. Am. Stat. Assoc. 102, 359 (energy form of the score).

/// The score of positive draws against a positive figure; `None` where either is not positive.
///
/// A draw that never gets there counts as twice the largest that does.
pub fn crps_of_logarithm(draws: &[f64], published: f64) -> Option<f64> {
    let largest = draws.iter().copied().filter(|x| x.is_finite()).max_by(f64::total_cmp)?;
    let mut logs: Vec<f64> = draws.iter().map(|x| if x.is_finite() { x.ln() } else { (2.0 * largest).ln() }).collect();
    logs.sort_by(f64::total_cmp);
    let score = crps(&logs, published.ln());
    score.is_finite().then_some(score)
}

/// The score of sorted draws.
fn crps(sorted: &[f64], y: f64) -> f64 {
    let n = sorted.len() as f64;
    let off = sorted.iter().map(|x| (x - y).abs()).sum::<f64>() / n;
    let pairs: f64 = sorted.iter().enumerate().map(|(i, x)| (2.0 * (i as f64 + 1.0) - n - 1.0) * x).sum();
    off - pairs / (n * n)
}

#[cfg(test)]
mod tests {
    use approx::assert_relative_eq;

    use super::*;

    #[test]
    fn pairs_in_order_are_all_pairs() {
        let sorted = [-1.3, 0.2, 0.25, 2.0, 7.5];
        let pairs = sorted.iter().flat_map(|a| sorted.iter().map(move |b| f64::abs(a - b))).sum::<f64>() / 25.0;
        let off = sorted.iter().map(|x| f64::abs(x - 1.0)).sum::<f64>() / 5.0;
        assert_relative_eq!(crps(&sorted, 1.0), off - 0.5 * pairs, max_relative = 1e-12);
    }

    /// Even between 0 and 1: `y^2 - y + 1/3` inside, `y - 2/3` above (Jordan, Krueger and Lerch 2019, J. Stat. Softw. 90).
    #[test]
    fn even_draws_have_the_score_of_the_even_distribution() {
        let n = 20_000;
        let even: Vec<f64> = (0..n).map(|i| (f64::from(i) + 0.5) / f64::from(n)).collect();
        for (y, exact) in [(0.5, 1.0 / 12.0), (0.2, 0.04 - 0.2 + 1.0 / 3.0), (2.0, 4.0 / 3.0)] {
            assert_relative_eq!(crps(&even, y), exact, max_relative = 1e-4);
        }
    }

    #[test]
    fn one_draw_is_judged_by_its_distance_and_never_by_infinity() {
        assert_relative_eq!(crps_of_logarithm(&[2.0], 1.0).unwrap(), 2.0_f64.ln(), max_relative = 1e-12);
        let with_never = crps_of_logarithm(&[1.0, 2.0, f64::INFINITY], 2.0);
        assert_eq!(with_never, crps_of_logarithm(&[1.0, 2.0, 4.0], 2.0));
        assert_eq!((crps_of_logarithm(&[1.0, -1.0], 1.0), crps_of_logarithm(&[1.0], -1.0)), (None, None));
    }
}
