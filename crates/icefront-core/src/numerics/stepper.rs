//! Implicit Euler with Richardson extrapolation: one full step, two half steps, their difference estimates the error.
//!
//! ```text
//! y = 2 y_half - y_full        second order; e = |y_half - y_full|
//! ```
//! Implicit Euler is stable however stiff the system is (shelves, condenser coil, heater control), so the step size
//! follows the slow ice front. Sums that every implicit step conserves (mass, heat) are conserved by the combination too,
//! since it is linear.
//!
//! # References
//! Hairer and Wanner 1996, Solving Ordinary Differential Equations II, section IV.9 (extrapolated implicit Euler).

use super::components::Components;
use crate::error::ModelError;

/// A system that can take one implicit Euler step.
pub trait ImplicitEuler {
    /// The numbers that are integrated.
    type State: Components;
    /// Computes the coefficients that depend only on the old state; steps of several lengths may follow.
    fn start(&mut self, _t_s: f64, _old: &Self::State) {}
    /// Advances `old` from time `t_s` by `h_s`; `new` holds the initial iterate on entry. After an error the stepper tries
    /// a smaller step.
    fn step(&mut self, t_s: f64, h_s: f64, old: &Self::State, new: &mut Self::State) -> Result<(), ModelError>;
    /// Norm of the difference between two results for the same time, 1 at the tolerance.
    fn error_norm(&self, full: &Self::State, half: &Self::State) -> f64;
    /// Projects an extrapolated state back onto the admissible ones without changing any conserved sum; `half` is the
    /// result of the half steps.
    fn project(&self, _half: &Self::State, _state: &mut Self::State) {}
    /// Whether an extrapolated state can follow `old` (no negative mass, no energy given back).
    fn admissible(&self, old: &Self::State, state: &Self::State) -> bool;
}

/// Buffers and step control.
#[derive(Clone, Debug)]
pub struct Stepper<S> {
    full: S,
    middle: S,
    half: S,
    /// State before the last accepted step, and its length: the initial iterate of the next step extrapolates from there.
    before: S,
    last_s: f64,
    next_s: f64,
    longest_s: f64,
    tolerance: f64,
    attempts: usize,
    most_attempts: usize,
}

/// Shortest step, s: a system whose error does not fall with the step size is refused.
const SHORTEST_S: f64 = 1e-3;
/// Default limit on the number of attempted steps.
const MOST_ATTEMPTS: usize = 20_000;
/// Step sizes aim at half the tolerance; a step whose error is at most this is accepted, because repeating it costs more
/// than it gains.
const ACCEPTED: f64 = 1.5;
/// Safety factors on the step size: after an accepted step, and after a rejected one.
const SAFETY: f64 = 0.75;
const SAFETY_REJECTED: f64 = 0.85;
const MOST_GROWTH: f64 = 6.0;
/// The initial iterate extrapolates the last step by at most this fraction of it.
const MOST_EXTRAPOLATION: f64 = 0.5;
const MOST_SHRINK: f64 = 0.2;

impl<S: Components + Clone> Stepper<S> {
    /// A stepper for states of the same shape as `state`; first step `first_s`, no step longer than `longest_s`.
    pub fn new(state: &S, first_s: f64, longest_s: f64) -> Self {
        Self {
            full: state.clone(),
            middle: state.clone(),
            half: state.clone(),
            before: state.clone(),
            last_s: 0.0,
            next_s: first_s,
            longest_s,
            tolerance: 1.0,
            attempts: 0,
            most_attempts: MOST_ATTEMPTS,
        }
    }

    /// The same with the system's tolerance multiplied by `factor`.
    pub fn with_tolerance(self, factor: f64) -> Self {
        Self { tolerance: factor, ..self }
    }

    /// The same with another limit on attempted steps, accepted or not.
    pub fn with_most_attempts(self, most_attempts: usize) -> Self {
        Self { most_attempts, ..self }
    }

    /// Takes one step that meets the tolerance, at most `limit_s` long; returns its length.
    ///
    /// # Errors
    /// The system's own error if even a step of a millisecond fails; [`ModelError::NotConverged`] if such a step misses the
    /// tolerance, or after too many attempts.
    pub fn advance(
        &mut self,
        system: &mut impl ImplicitEuler<State = S>,
        t_s: f64,
        limit_s: f64,
        state: &mut S,
    ) -> Result<f64, ModelError> {
        let mut h_s = self.next_s.min(limit_s).min(self.longest_s);
        loop {
            self.attempts += 1;
            if self.attempts > self.most_attempts {
                let (residual, limit) = (self.attempts as f64, self.most_attempts as f64);
                return Err(ModelError::NotConverged { what: "the number of time steps", at_s: t_s, residual, limit });
            }
            let shorter_s = match self.attempt(system, t_s, h_s, state) {
                Ok(error) if error <= ACCEPTED => {
                    self.full.combine(&self.half, &self.half, |full, half, _| 2.0 * half - full);
                    system.project(&self.half, &mut self.full);
                    let best = if system.admissible(state, &self.full) { &self.full } else { &self.half };
                    self.before.copy_from(state);
                    self.last_s = h_s;
                    state.copy_from(best);
                    self.next_s = h_s * (SAFETY / error.max(1e-6).sqrt()).clamp(MOST_SHRINK, MOST_GROWTH);
                    return Ok(h_s);
                }
                Ok(error) if h_s <= SHORTEST_S => {
                    let what = "the shortest time step";
                    return Err(ModelError::NotConverged { what, at_s: t_s, residual: error, limit: ACCEPTED });
                }
                Ok(error) => h_s * (SAFETY_REJECTED / error.sqrt()).clamp(MOST_SHRINK, 0.7),
                Err(problem) if h_s <= SHORTEST_S => return Err(problem),
                Err(_) => 0.25 * h_s,
            };
            h_s = shorter_s.max(SHORTEST_S);
            self.next_s = h_s;
        }
    }

    fn attempt(
        &mut self,
        system: &mut impl ImplicitEuler<State = S>,
        t_s: f64,
        h_s: f64,
        state: &S,
    ) -> Result<f64, ModelError> {
        let ahead = if self.last_s > 0.0 { (h_s / self.last_s).min(MOST_EXTRAPOLATION) } else { 0.0 };
        self.full.combine(state, &self.before, |_, now, before| now + ahead * (now - before));
        system.start(t_s, state);
        system.step(t_s, h_s, state, &mut self.full)?;
        self.middle.combine(state, &self.full, |_, now, end| 0.5 * (now + end));
        system.step(t_s, 0.5 * h_s, state, &mut self.middle)?;
        self.half.copy_from(&self.full);
        system.start(t_s + 0.5 * h_s, &self.middle);
        system.step(t_s + 0.5 * h_s, 0.5 * h_s, &self.middle, &mut self.half)?;
        let error = system.error_norm(&self.full, &self.half) / self.tolerance;
        Ok(if error.is_finite() { error } else { f64::MAX })
    }
}

#[cfg(test)]
mod tests {
    use super::{ImplicitEuler, Stepper};
    use crate::error::ModelError;

    struct Decay {
        tolerance: f64,
    }

    impl ImplicitEuler for Decay {
        type State = [f64; 2];
        fn step(&mut self, _: f64, h_s: f64, old: &[f64; 2], new: &mut [f64; 2]) -> Result<(), ModelError> {
            new[0] = old[0] / (1.0 + h_s);
            new[1] = old[1] + h_s * new[0];
            Ok(())
        }
        fn error_norm(&self, full: &[f64; 2], half: &[f64; 2]) -> f64 {
            (full[0] - half[0]).abs() / self.tolerance
        }
        fn admissible(&self, _: &[f64; 2], state: &[f64; 2]) -> bool {
            state[0] >= 0.0
        }
    }

    /// A system whose two half steps never agree with the full one.
    struct Noise;

    impl ImplicitEuler for Noise {
        type State = [f64; 1];
        fn step(&mut self, t_s: f64, h_s: f64, _: &[f64; 1], new: &mut [f64; 1]) -> Result<(), ModelError> {
            new[0] = if h_s > 0.0 && t_s >= 0.0 { new[0] + 1.0 } else { 0.0 };
            Ok(())
        }
        fn error_norm(&self, full: &[f64; 1], half: &[f64; 1]) -> f64 {
            10.0 * (full[0] - half[0]).abs()
        }
        fn admissible(&self, _: &[f64; 1], _: &[f64; 1]) -> bool {
            true
        }
    }

    #[test]
    fn a_system_that_misses_the_tolerance_at_every_step_is_refused() {
        let (mut stepper, mut y) = (Stepper::new(&[0.0], 1.0, 10.0), [0.0]);
        let refused = stepper.advance(&mut Noise, 0.0, 1.0, &mut y);
        assert!(
            matches!(refused, Err(ModelError::NotConverged { residual, limit, .. }) if residual > limit && limit > 0.0),
            "{refused:?}"
        );
        assert_eq!(y, [0.0]);
    }

    #[test]
    fn no_more_steps_are_tried_than_allowed() {
        let mut stepper = Stepper::new(&[0.0; 2], 1e-3, 1e-3).with_most_attempts(50);
        let (mut system, mut y, mut steps) = (Decay { tolerance: 1.0 }, [1.0, 0.0], 0);
        let refused = loop {
            match stepper.advance(&mut system, 0.0, 1.0, &mut y) {
                Ok(_) => steps += 1,
                Err(problem) => break problem,
            }
        };
        assert!(matches!(refused, ModelError::NotConverged { what: "the number of time steps", .. }), "{refused:?}");
        assert_eq!(steps, 50);
    }

    fn error_at_one(tolerance: f64) -> f64 {
        let mut system = Decay { tolerance };
        let (mut stepper, mut y, mut t) = (Stepper::new(&[0.0; 2], 1e-3, 10.0), [1.0, 0.0], 0.0);
        while t < 1.0 {
            t += stepper.advance(&mut system, t, 1.0 - t, &mut y).unwrap();
        }
        approx::assert_relative_eq!(y[0] + y[1], 1.0, max_relative = 1e-13);
        (y[0] - (-1.0f64).exp()).abs()
    }

    #[test]
    fn error_falls_with_the_tolerance_and_sums_are_kept() {
        let (coarse, fine) = (error_at_one(1e-3), error_at_one(1e-5));
        // local error h^2, kept error h^3 per step: a hundredth of the tolerance is a tenth of the step
        assert!(coarse < 1e-3 && fine < 0.03 * coarse, "{coarse} {fine}");
    }
}
