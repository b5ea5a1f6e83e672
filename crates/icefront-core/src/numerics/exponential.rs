//! Exponentials of several numbers at once.

use wide::f64x2;

/// `e^x` of each number, within 1e-15 of it, two at a time; NaN of what is not finite.
pub fn exp_each<const N: usize>(x: &[f64; N]) -> [f64; N] {
    let mut all = *x;
    for pair in all.chunks_mut(2) {
        let second = pair.get(1).copied().unwrap_or(0.0);
        let x = f64x2::new([pair[0], second]);
        // the library's own makes a number of NaN
        let exp = (x.exp() + x * f64x2::ZERO).to_array();
        pair.copy_from_slice(&exp[..pair.len()]);
    }
    all
}

#[cfg(test)]
mod tests {
    use super::exp_each;

    #[test]
    fn is_the_library_s_exponential() {
        for step in -70_000..=70_000 {
            let x = 0.01 * f64::from(step);
            let [a, b, c] = exp_each(&[x, -x, 0.5 * x]);
            for (found, x) in [(a, x), (b, -x), (c, 0.5 * x)] {
                approx::assert_relative_eq!(found, x.exp(), max_relative = 1e-15);
            }
        }
        assert_eq!(exp_each(&[0.0]), [1.0]);
        assert_eq!(exp_each(&[-1e5]), [0.0]);
        assert!(exp_each(&[f64::NAN, 1.0])[0].is_nan());
    }
}
