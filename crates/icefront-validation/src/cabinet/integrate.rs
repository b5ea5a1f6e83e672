//! One span of time by the explicit method of Dormand and Prince (`ode_solvers`), with its continuous output.
//!
//! Faults of `ode_solvers` 0.6.2 that are kept away from here: evenly spaced output takes its last row from an earlier
//! step (the continuous output model is right); the stop callback locates no event (events are bracketed on the
//! continuous output); its test for stiffness gives up where stability, not accuracy, sets the step (switched off); all
//! failures look alike (spans and numbers are checked first).

use nalgebra::DVector;
use ode_solvers::continuous_output_model::ContinuousOutputModel;
use ode_solvers::{Dopri5, OutputType, System};

use super::CabinetError;

/// Step control as the method's authors propose it: Hairer, Norsett and Wanner 1993, Solving Ordinary Differential
/// Equations I, section II.4 (code DOPRI5).
const SAFETY: f64 = 0.9;
const BETA: f64 = 0.04;
const MOST_SHRINK: f64 = 0.2;
const MOST_GROWTH: f64 = 10.0;
const MOST_STEPS: u32 = 2_000_000;

/// Span, tolerance and first step.
#[derive(Clone, Copy, Debug)]
pub struct Span {
    /// Length, s.
    pub length_s: f64,
    /// Relative and absolute tolerance of the scaled state.
    pub tolerance: f64,
    /// First step, s.
    pub first_step_s: f64,
}

/// Solution over a span.
#[derive(Debug)]
pub struct Solution {
    output: ContinuousOutputModel<f64, DVector<f64>>,
    length_s: f64,
    /// Steps taken.
    pub steps: u32,
    /// Right-hand sides formed.
    pub evaluations: u32,
}

impl Solution {
    /// State at a time within the span; its end for times beyond.
    pub fn at(&self, time_s: f64) -> DVector<f64> {
        let (low, high) = self.output.bounds();
        // bounds lie on the model, so that there is a value
        self.output.evaluate(time_s.clamp(low, high)).unwrap_or_default()
    }

    /// State at the end.
    pub fn end(&self) -> DVector<f64> {
        self.at(self.length_s)
    }
}

/// Integrates `rates` (time, state, rates out) over a span from time 0.
///
/// # Errors
/// [`CabinetError::NotIntegrated`] for an empty span, numbers that are not finite, or a solver that gives up.
pub fn integrate(
    start: &DVector<f64>,
    span: Span,
    rates: impl Fn(f64, &[f64], &mut [f64]),
) -> Result<Solution, CabinetError> {
    let failed = |at_s: f64| CabinetError::NotIntegrated { at_s };
    if !(span.length_s > 0.0 && span.length_s.is_finite() && start.iter().all(|x| x.is_finite())) {
        return Err(failed(0.0));
    }
    let mut solver = Dopri5::from_param(
        RightSide(rates),
        0.0,
        span.length_s,
        span.length_s,
        start.clone(),
        span.tolerance,
        span.tolerance,
        SAFETY,
        BETA,
        MOST_SHRINK,
        MOST_GROWTH,
        span.length_s,
        span.first_step_s.min(span.length_s),
        MOST_STEPS,
        u32::MAX,
        OutputType::Continuous,
    );
    let mut output = ContinuousOutputModel::new();
    let stats = solver.integrate_with_continuous_output_model(&mut output).map_err(|_| failed(span.length_s))?;
    let solution =
        Solution { output, length_s: span.length_s, steps: stats.accepted_steps, evaluations: stats.num_eval };
    let end = solution.end();
    if end.len() == start.len() && end.iter().all(|x| x.is_finite()) {
        Ok(solution)
    } else {
        Err(failed(span.length_s))
    }
}

struct RightSide<F>(F);

impl<F: Fn(f64, &[f64], &mut [f64])> System<f64, DVector<f64>> for RightSide<F> {
    fn system(&self, t: f64, y: &DVector<f64>, dy: &mut DVector<f64>) {
        (self.0)(t, y.as_slice(), dy.as_mut_slice());
    }
}

#[cfg(test)]
mod tests {
    use nalgebra::DVector;

    use super::{Span, integrate};

    #[test]
    fn the_end_and_the_way_there_follow_the_tolerance() {
        let start = DVector::from_vec(vec![1.0, 0.0]);
        let span = Span { length_s: 20.0, tolerance: 1e-9, first_step_s: 1e-3 };
        let swing = integrate(&start, span, |_, y, dy| (dy[0], dy[1]) = (y[1], -y[0])).unwrap();
        for time_s in [0.0_f64, 3.3, 19.99, 20.0] {
            approx::assert_abs_diff_eq!(swing.at(time_s)[0], time_s.cos(), epsilon = 1e-6);
        }
        assert!(integrate(&start, Span { length_s: 0.0, ..span }, |_, _, _| {}).is_err());
        assert!(integrate(&start, span, |_, _, dy| dy.fill(f64::NAN)).is_err());
    }

    #[test]
    fn a_fast_component_only_shortens_the_steps() {
        let start = DVector::from_vec(vec![1.0, 1.0]);
        let span = Span { length_s: 50.0, tolerance: 1e-6, first_step_s: 1e-3 };
        let decay = integrate(&start, span, |_, y, dy| (dy[0], dy[1]) = (-0.01 * y[0], -50.0 * y[1])).unwrap();
        approx::assert_relative_eq!(decay.end()[0], (-0.5f64).exp(), max_relative = 1e-6);
        // explicit steps are held to about 3.3 time constants: 50 x 50/3.3
        assert!(decay.steps > 700 && decay.steps < 3_000, "{}", decay.steps);
    }
}
