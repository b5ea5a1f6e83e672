//! Small smooth initial-value problems by the explicit method of Dormand and Prince (`ode_solvers`).
//!
//! `Dopri5` only. Output by steps, never evenly spaced: spaced output takes its last row from an early step,
//! extrapolated. Spans and numbers are checked first, since the solver calls every failure a step-size underflow.

use nalgebra::SVector;
use ode_solvers::{Dopri5, OVector, OutputType, System};

use icefront_core::error::ModelError;

/// Relative and absolute tolerance of a solve.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Tolerance {
    /// Relative.
    pub relative: f64,
    /// Absolute; scale the state to order one.
    pub absolute: f64,
}

struct Rates<F>(F);

impl<F: Fn(f64, &[f64; N]) -> [f64; N], const N: usize> System<f64, SVector<f64, N>> for Rates<F> {
    fn system(&self, t: f64, y: &SVector<f64, N>, dy: &mut SVector<f64, N>) {
        *dy = (self.0)(t, &(*y).into()).into();
    }
}

/// State at `end` of `dy/dt = rates(t, y)` from `start` at time 0.
///
/// # Errors
/// [`ModelError::NotConverged`] for an empty span, numbers that are not finite, or a solver that gives up.
pub fn integrate<const N: usize>(
    what: &'static str,
    start: [f64; N],
    end: f64,
    tolerance: Tolerance,
    rates: impl Fn(f64, &[f64; N]) -> [f64; N],
) -> Result<[f64; N], ModelError>
where
    OVector<f64, nalgebra::Const<N>>: Sized,
{
    let failed = |at_s: f64| ModelError::NotConverged { what, at_s, residual: f64::NAN, limit: tolerance.relative };
    let finite = |y: &[f64]| y.iter().all(|x| x.is_finite());
    if !(end > 0.0 && end.is_finite() && finite(&start) && finite(&rates(0.0, &start))) {
        return Err(failed(0.0));
    }
    let mut solver = Dopri5::new(Rates(rates), 0.0, end, end, start.into(), tolerance.relative, tolerance.absolute);
    solver.set_output(OutputType::Sparse);
    solver.integrate().map_err(|_| failed(end))?;
    match solver.y_out().last() {
        Some(y) if finite(y.as_slice()) => Ok((*y).into()),
        _ => Err(failed(end)),
    }
}

#[cfg(test)]
mod tests {
    use super::{Tolerance, integrate};

    /// Pendulum of small swing over four periods: many steps, known end.
    fn swing_error(tolerance: f64) -> f64 {
        let tolerance = Tolerance { relative: tolerance, absolute: tolerance };
        let y = integrate("swing", [1.0, 0.0], 8.0 * std::f64::consts::PI, tolerance, |_, y| [y[1], -y[0]]).unwrap();
        (y[0] - 1.0).hypot(y[1])
    }

    #[test]
    fn the_end_is_the_end_and_the_error_follows_the_tolerance() {
        let (coarse, fine) = (swing_error(1e-6), swing_error(1e-10));
        assert!(coarse < 1e-4 && fine < 1e-3 * coarse, "{coarse} {fine}");
        // time in the rates: y' = 7 t^6
        let tolerance = Tolerance { relative: 1e-8, absolute: 1e-8 };
        let [y] = integrate("power", [0.0], 1.0, tolerance, |t, _| [7.0 * t.powi(6)]).unwrap();
        approx::assert_abs_diff_eq!(y, 1.0, epsilon = 1e-7);
    }

    #[test]
    fn refuses_what_has_no_answer() {
        let tolerance = Tolerance { relative: 1e-6, absolute: 1e-6 };
        assert!(integrate("empty", [1.0], 0.0, tolerance, |_, y| *y).is_err());
        assert!(integrate("no number", [f64::NAN], 1.0, tolerance, |_, y| *y).is_err());
        assert!(integrate("singular", [1.0], 2.0, tolerance, |_, y| [y[0] * y[0]]).is_err());
    }
}
