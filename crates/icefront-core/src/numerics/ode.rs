//! Smooth initial-value problems by the explicit method of Dormand and Prince: the one place that calls `ode_solvers`.
//!
//! `Dopri5` only, dense output off, spans and numbers checked first: its even spacing extrapolates the last row, its
//! stop callback has no event location, and it names every failure a step-size underflow.

use nalgebra::SVector;
use ode_solvers::{Dopri5, OVector, System};

use crate::error::ModelError;

/// Relative and absolute tolerance of a solve.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Tolerance {
    /// Relative.
    pub relative: f64,
    /// Absolute; scale the state to order one.
    pub absolute: f64,
}

struct Rates<F>(F);

impl<F: Fn(f64, &SVector<f64, N>) -> SVector<f64, N>, const N: usize> System<f64, SVector<f64, N>> for Rates<F> {
    fn system(&self, t: f64, y: &SVector<f64, N>, dy: &mut SVector<f64, N>) {
        *dy = (self.0)(t, y);
    }
}

/// State at `end` of `dy/dt = rates(t, y)` from `start` at time 0.
///
/// # Errors
/// [`ModelError::NotConverged`] for an empty span, numbers that are not finite, or a solver that gives up.
pub fn integrate<const N: usize>(
    what: &'static str,
    start: SVector<f64, N>,
    end: f64,
    tolerance: Tolerance,
    rates: impl Fn(f64, &SVector<f64, N>) -> SVector<f64, N>,
) -> Result<SVector<f64, N>, ModelError>
where
    OVector<f64, nalgebra::Const<N>>: Sized,
{
    let failed = |at_s: f64| ModelError::NotConverged { what, at_s, residual: f64::NAN, limit: tolerance.relative };
    if !(end > 0.0 && end.is_finite()) || start.iter().any(|x| !x.is_finite()) {
        return Err(failed(0.0));
    }
    if rates(0.0, &start).iter().any(|x| !x.is_finite()) {
        return Err(failed(0.0));
    }
    let mut solver =
        Dopri5::new(Rates(rates), 0.0, end, end, start, tolerance.relative, tolerance.absolute);
    solver.integrate().map_err(|_| failed(end))?;
    match solver.y_out().last() {
        Some(y) if y.iter().all(|x| x.is_finite()) => Ok(*y),
        _ => Err(failed(end)),
    }
}
