//! Bracketed root finding: regula falsi with the Illinois rule, bisection when it stalls.

use crate::error::ModelError;

const MOST_STEPS: usize = 100;

/// Root of `f` between `low` and `high`, where `f` has opposite signs, to `tolerance` in x.
///
/// # Errors
/// [`ModelError::NotConverged`] if the bracket holds no sign change or the step limit is reached.
pub fn bracketed(
    what: &'static str,
    low: f64,
    high: f64,
    tolerance: f64,
    mut f: impl FnMut(f64) -> f64,
) -> Result<f64, ModelError> {
    let (mut a, mut b) = (low, high);
    let (mut fa, mut fb) = (f(a), f(b));
    if fa == 0.0 {
        return Ok(a);
    }
    if fb == 0.0 {
        return Ok(b);
    }
    if fa.is_nan() || fb.is_nan() || fa * fb > 0.0 {
        return Err(ModelError::NotConverged { what, at_s: 0.0, residual: fa.abs().min(fb.abs()), limit: 0.0 });
    }
    for step in 0..MOST_STEPS {
        let x = if step % 8 == 7 { 0.5 * (a + b) } else { (a * fb - b * fa) / (fb - fa) };
        let fx = f(x);
        if fx == 0.0 || (b - a).abs() < tolerance {
            return Ok(x);
        }
        if fx * fb < 0.0 {
            (a, fa) = (b, fb);
        } else {
            fa *= 0.5;
        }
        if (x - b).abs() < tolerance && fx.abs() < fb.abs() && (fx * fa) < 0.0 {
            return Ok(x);
        }
        (b, fb) = (x, fx);
    }
    Err(ModelError::NotConverged { what, at_s: 0.0, residual: fb.abs(), limit: tolerance })
}

#[cfg(test)]
mod tests {
    use super::bracketed;

    #[test]
    fn finds_a_root_and_refuses_a_bracket_without_one() {
        let x = bracketed("cosine", 1.0, 2.0, 1e-12, f64::cos).unwrap();
        approx::assert_abs_diff_eq!(x, std::f64::consts::FRAC_PI_2, epsilon = 1e-11);
        assert!(bracketed("no root", 1.0, 2.0, 1e-9, |x| x * x).is_err());
        assert!(bracketed("NaN", 1.0, 2.0, 1e-9, |_| f64::NAN).is_err());
    }
}
