//! Implicit Euler with extrapolation: one full step, two half steps, their difference is the error.
//!
//! ```text
//! y = 2 y_half - y_full        second order; e = |y_half - y_full|
//! ```
//! Implicit Euler is stable however fast the shelf, the wall and the heater band are, so the step follows the slow
//! ice front. Sums that every implicit step keeps (mass, heat) are kept by the combination too, since it is linear.

use crate::error::ModelError;

/// A system that can take one implicit Euler step.
pub trait ImplicitEuler {
    /// Prepares what hangs on the state alone; steps of several lengths may follow from it.
    fn start(&mut self, _t_s: f64, _old: &[f64]) {}
    /// Advances `old` at time `t_s` by `h_s` into `new`, which comes in as a first guess. An error makes the stepper try
    /// a smaller step.
    fn step(&mut self, t_s: f64, h_s: f64, old: &[f64], new: &mut [f64]) -> Result<(), ModelError>;
    /// Difference between two results of the same step, 1 at the tolerance.
    fn difference(&self, full: &[f64], half: &[f64]) -> f64;
    /// Puts right what extrapolation may do to parts of a sum (the sum itself it keeps). `half` is the result of the half
    /// steps, `state` the extrapolated one.
    fn mend(&self, _half: &[f64], _state: &mut [f64]) {}
    /// Whether an extrapolated state is one that can follow `old` (no negative mass, no energy given back).
    fn admissible(&self, old: &[f64], state: &[f64]) -> bool;
}

/// Buffers and step control.
#[derive(Clone, Debug)]
pub struct Stepper {
    full: Vec<f64>,
    middle: Vec<f64>,
    half: Vec<f64>,
    /// Before the last step taken, and its length: what changed then is the first guess of the next step.
    before: Vec<f64>,
    last_s: f64,
    next_s: f64,
    longest_s: f64,
    tolerance: f64,
    attempts: usize,
    most_attempts: usize,
}

/// No step is tried shorter than this, s: a system whose error does not fall with the step is refused, not crawled through.
const SHORTEST_S: f64 = 1e-3;
/// Steps tried in all before a system is refused, unless told otherwise.
const MOST_ATTEMPTS: usize = 20_000;
/// Steps are aimed at half the tolerance; one that is no worse than this over the tolerance is kept, since taking it
/// again costs more than it brings.
const PASSABLE: f64 = 1.5;
/// Share of the step that the error would allow: after one that was good enough, and after one that was not.
const SAFETY: f64 = 0.75;
const SAFETY_AGAIN: f64 = 0.85;
const MOST_GROWTH: f64 = 6.0;
/// The first guess goes on for no more than this share of the last step: beyond, what it holds may be over.
const MOST_AHEAD: f64 = 0.5;
const MOST_SHRINK: f64 = 0.2;

impl Stepper {
    /// A stepper for states of `len` numbers, first step `first_s`, no step longer than `longest_s`.
    pub fn new(len: usize, first_s: f64, longest_s: f64) -> Self {
        let zeros = || vec![0.0; len];
        Self {
            full: zeros(),
            middle: zeros(),
            half: zeros(),
            before: zeros(),
            last_s: 0.0,
            next_s: first_s,
            longest_s,
            tolerance: 1.0,
            attempts: 0,
            most_attempts: MOST_ATTEMPTS,
        }
    }

    /// The same with the system's tolerance times a factor: below 1 is finer.
    pub fn with_tolerance(self, factor: f64) -> Self {
        Self { tolerance: factor, ..self }
    }

    /// The same with another limit to the steps it tries in all, good or not.
    pub fn with_most_attempts(self, most_attempts: usize) -> Self {
        Self { most_attempts, ..self }
    }

    /// Takes one step that meets the tolerance, at most `limit_s` long; returns its length.
    ///
    /// # Errors
    /// The system's own error if it does not settle even in a step of a millisecond; [`ModelError::NotConverged`] if such a
    /// step still misses the tolerance, or once too many steps have been tried.
    pub fn advance(
        &mut self,
        system: &mut impl ImplicitEuler,
        t_s: f64,
        limit_s: f64,
        state: &mut [f64],
    ) -> Result<f64, ModelError> {
        let mut h_s = self.next_s.min(limit_s).min(self.longest_s);
        loop {
            self.attempts += 1;
            if self.attempts > self.most_attempts {
                let (residual, limit) = (self.attempts as f64, self.most_attempts as f64);
                return Err(ModelError::NotConverged { what: "the number of time steps", at_s: t_s, residual, limit });
            }
            let shorter_s = match self.attempt(system, t_s, h_s, state) {
                Ok(error) if error <= PASSABLE => {
                    for (full, half) in self.full.iter_mut().zip(&self.half) {
                        *full = 2.0 * half - *full;
                    }
                    system.mend(&self.half, &mut self.full);
                    let better = if system.admissible(state, &self.full) { &self.full } else { &self.half };
                    self.before.copy_from_slice(state);
                    self.last_s = h_s;
                    state.copy_from_slice(better);
                    self.next_s = h_s * (SAFETY / error.max(1e-6).sqrt()).clamp(MOST_SHRINK, MOST_GROWTH);
                    return Ok(h_s);
                }
                Ok(error) if h_s <= SHORTEST_S => {
                    let what = "the shortest time step";
                    return Err(ModelError::NotConverged { what, at_s: t_s, residual: error, limit: PASSABLE });
                }
                Ok(error) => h_s * (SAFETY_AGAIN / error.sqrt()).clamp(MOST_SHRINK, 0.7),
                Err(problem) if h_s <= SHORTEST_S => return Err(problem),
                Err(_) => 0.25 * h_s,
            };
            h_s = shorter_s.max(SHORTEST_S);
            self.next_s = h_s;
        }
    }

    fn attempt(
        &mut self,
        system: &mut impl ImplicitEuler,
        t_s: f64,
        h_s: f64,
        state: &[f64],
    ) -> Result<f64, ModelError> {
        let on = if self.last_s > 0.0 { (h_s / self.last_s).min(MOST_AHEAD) } else { 0.0 };
        for ((guess, now), before) in self.full.iter_mut().zip(state).zip(&self.before) {
            *guess = now + on * (now - before);
        }
        system.start(t_s, state);
        system.step(t_s, h_s, state, &mut self.full)?;
        for ((guess, now), end) in self.middle.iter_mut().zip(state).zip(&self.full) {
            *guess = 0.5 * (now + end);
        }
        system.step(t_s, 0.5 * h_s, state, &mut self.middle)?;
        self.half.copy_from_slice(&self.full);
        system.start(t_s + 0.5 * h_s, &self.middle);
        system.step(t_s + 0.5 * h_s, 0.5 * h_s, &self.middle, &mut self.half)?;
        let error = system.difference(&self.full, &self.half) / self.tolerance;
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
        fn step(&mut self, _: f64, h_s: f64, old: &[f64], new: &mut [f64]) -> Result<(), ModelError> {
            new[0] = old[0] / (1.0 + h_s);
            new[1] = old[1] + h_s * new[0];
            Ok(())
        }
        fn difference(&self, full: &[f64], half: &[f64]) -> f64 {
            (full[0] - half[0]).abs() / self.tolerance
        }
        fn admissible(&self, _: &[f64], state: &[f64]) -> bool {
            state[0] >= 0.0
        }
    }

    /// A system whose two half steps never agree with the full one.
    struct Noise;

    impl ImplicitEuler for Noise {
        fn step(&mut self, t_s: f64, h_s: f64, _: &[f64], new: &mut [f64]) -> Result<(), ModelError> {
            new[0] = if h_s > 0.0 && t_s >= 0.0 { new[0] + 1.0 } else { 0.0 };
            Ok(())
        }
        fn difference(&self, full: &[f64], half: &[f64]) -> f64 {
            10.0 * (full[0] - half[0]).abs()
        }
        fn admissible(&self, _: &[f64], _: &[f64]) -> bool {
            true
        }
    }

    #[test]
    fn a_system_that_misses_the_tolerance_at_every_step_is_refused() {
        let (mut stepper, mut y) = (Stepper::new(1, 1.0, 10.0), vec![0.0]);
        let refused = stepper.advance(&mut Noise, 0.0, 1.0, &mut y);
        assert!(
            matches!(refused, Err(ModelError::NotConverged { residual, limit, .. }) if residual > limit && limit > 0.0),
            "{refused:?}"
        );
        assert_eq!(y, [0.0]);
    }

    #[test]
    fn no_more_steps_are_tried_than_allowed() {
        let mut stepper = Stepper::new(2, 1e-3, 1e-3).with_most_attempts(50);
        let (mut system, mut y, mut steps) = (Decay { tolerance: 1.0 }, vec![1.0, 0.0], 0);
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
        let (mut stepper, mut y, mut t) = (Stepper::new(2, 1e-3, 10.0), vec![1.0, 0.0], 0.0);
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
