//! Exponentials of two numbers at once.

use wide::f64x2;

/// `e^x` of each number, within 1e-15 of it; NaN of what is not finite.
#[inline]
pub fn exp_pair(x: f64x2) -> f64x2 {
    // the library's own makes a number of NaN
    x.exp() + x * f64x2::ZERO
}

#[cfg(test)]
mod tests {
    use super::exp_pair;

    #[test]
    fn is_the_library_s_exponential() {
        for step in -70_000..=70_000 {
            let x = 0.01 * f64::from(step);
            for (found, x) in exp_pair([x, -0.5 * x].into()).to_array().into_iter().zip([x, -0.5 * x]) {
                approx::assert_relative_eq!(found, x.exp(), max_relative = 1e-15);
            }
        }
        assert_eq!(exp_pair([0.0, -1e5].into()).to_array(), [1.0, 0.0]);
        assert!(exp_pair([f64::NAN, 1.0].into()).to_array()[0].is_nan());
    }
}
