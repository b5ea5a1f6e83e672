//! The implicit step: Newton until it settles; how two results of a step are compared and put right.

use super::corners::LARGEST_MOVE_K;
use super::{Drying, Prescription};
use crate::batch::state::{
    BODY, DEPOSIT_RATE, DEPTHS, FRONT, HEATERS, HELD, LIMITED, PACE, PASSED, PRESSURE, TOP, VAPOUR, WALL, has_ice,
};
use crate::error::ModelError;
use crate::numerics::stepper::ImplicitEuler;

const MOST_ITERATIONS: usize = 20;
/// What sums may gain or lose by round-off, over the dry matter.
const ROUND_OFF: f64 = 1e-12;
/// From this iteration on fronts begin or cease to sublime one at a time: at the start of a run, when the pressure of
/// all of them is about to come, they would switch each other on and off.
const ONE_BY_ONE: usize = 5;
/// After so many iterations as many take only half of each correction, and so on: what swings between two sides of a
/// corner settles.
const SWINGING: usize = 8;
/// Below this move, K, corrections are whole again.
const NEARLY_SETTLED_K: f64 = 1e-4;
/// A step has settled when no temperature moves more than this, K, at the stepper's tolerance: Newton leaves about a
/// twentieth of its square, and heat and water are moved by fluxes that close whatever is left.
const SETTLED_K: f64 = 0.3;
/// Less held back than this, K, counts as a correction taken whole.
const ALL_TAKEN_K: f64 = 1e-3;
/// Share of a front's dry matter that may be wrong per step, 1 at the stepper's tolerance.
const PASSED_TOLERANCE: f64 = 4e-3;
/// Share of the water held at a depth behind the front that may be wrong per step; less than `LITTLE_HELD`, kg/kg dry,
/// counts as that much. The wettest depth ends the run, and its error counts in time as a share of what it holds.
const HELD_TOLERANCE: f64 = 0.1;
const LITTLE_HELD: f64 = 5e-3;
/// The same for temperatures of shelves and wall, K.
const METAL_TOLERANCE_K: f64 = 4.0;

impl ImplicitEuler for Drying<'_> {
    fn start(&mut self, t_s: f64, old: &[f64]) {
        self.prepare(old, self.prescribed(t_s));
    }

    fn step(&mut self, t_s: f64, h_s: f64, old: &[f64], new: &mut [f64]) -> Result<(), ModelError> {
        let prescribed = self.prescribed(t_s + h_s);
        for (b, step) in self.steps.iter_mut().enumerate() {
            let at = self.layout.body(b);
            step.over(&self.stack.trays[step.tray].parts[step.part], &old[at..at + BODY], h_s);
        }
        self.guess(old, new, prescribed);
        let mut open_k = self.settle(h_s, old, prescribed, ONE_BY_ONE);
        for one_by_one in [0, MOST_ITERATIONS] {
            if open_k > 0.0 {
                self.guess(old, old, prescribed);
                open_k = self.settle(h_s, old, prescribed, one_by_one);
            }
        }
        if open_k > 0.0 {
            return Err(ModelError::NotConverged {
                what: "drying step",
                at_s: t_s,
                residual: open_k,
                limit: SETTLED_K * self.stack.tolerance.min(1.0),
            });
        }
        self.finish(h_s, old, new, prescribed);
        Ok(())
    }

    fn difference(&self, full: &[f64], half: &[f64]) -> f64 {
        let mut worst: f64 = 0.0;
        for (b, step) in self.steps.iter().enumerate() {
            let at = self.layout.body(b);
            let passed = (full[at + PASSED] - half[at + PASSED]).abs() / step.dry_kg;
            worst = worst.max(step.slowing * passed / PASSED_TOLERANCE);
            let cell_kg = step.dry_kg / DEPTHS as f64;
            let behind = (full[at + PASSED].min(half[at + PASSED]) * (1.0 + ROUND_OFF) / cell_kg) as usize;
            for k in (at + HELD..at + BODY).take(behind) {
                let least_kg = LITTLE_HELD * cell_kg;
                worst = worst.max((full[k] - half[k]).abs() / (HELD_TOLERANCE * (half[k].max(0.0) + least_kg)));
            }
        }
        for s in 0..self.layout.shelves {
            let at = self.layout.shelf(s);
            worst = worst.max((full[at] - half[at]).abs() / METAL_TOLERANCE_K);
        }
        let at = self.layout.machine() + WALL;
        worst.max((full[at] - half[at]).abs() / METAL_TOLERANCE_K)
    }

    fn mend(&self, half: &[f64], state: &mut [f64]) {
        for (b, step) in self.steps.iter().enumerate() {
            // where the full step alone took the last ice, its front is that of dry food: no temperature of the ice follows
            let (at, dry_kg) = (self.layout.body(b), step.dry_kg);
            let full_passed = 2.0 * half[at + PASSED] - state[at + PASSED];
            if full_passed >= dry_kg * (1.0 - ROUND_OFF) && has_ice(&half[at..], dry_kg) {
                state[at + FRONT] = half[at + FRONT];
                state[at + TOP] = half[at + TOP];
            }
            // a front that lost its last ice in the step has no pace that could be continued
            for rate in [PACE, VAPOUR] {
                let rate = &mut state[self.layout.body(b) + rate];
                *rate = rate.max(0.0);
            }
            // the full step may reach a depth that the half steps do not: its water belongs to the depth before
            let held = &mut state[self.layout.body(b) + HELD..self.layout.body(b) + BODY];
            for k in (1..DEPTHS).rev() {
                if held[k] < 0.0 {
                    held[k - 1] += held[k];
                    held[k] = 0.0;
                }
            }
            // no water at all, to round-off
            if held[0] < 0.0 && held[0] > -ROUND_OFF * self.steps[b].dry_kg {
                held[0] = 0.0;
            }
        }
    }

    fn admissible(&self, old: &[f64], state: &[f64]) -> bool {
        let m = self.layout.machine();
        self.steps.iter().enumerate().all(|(b, step)| {
            let at = self.layout.body(b);
            let held = |s: &[f64]| s[at + HELD..at + BODY].iter().sum::<f64>();
            state[at + PASSED] >= old[at + PASSED]
                && state[at + PASSED] <= step.dry_kg * (1.0 + ROUND_OFF)
                && (at + HELD..at + BODY).all(|k| state[k] >= 0.0)
                // food takes up no water: held water grows by what the front leaves behind at most
                && held(state) - held(old)
                    <= (state[at + PASSED] - old[at + PASSED]) * self.models[b].water_per_dry() + ROUND_OFF * step.dry_kg
        }) && state[m + DEPOSIT_RATE] >= 0.0
            && state[m + PRESSURE] >= 0.0
            && state[m + HEATERS] >= old[m + HEATERS]
            && state[m + LIMITED] >= old[m + LIMITED]
            && state.iter().all(|x| x.is_finite())
    }
}

impl Drying<'_> {
    /// Newton from where `now` stands until nothing moves; returns the move that is left, K, 0 once it has settled. From
    /// the iteration `one_by_one` on fronts begin or cease to sublime one at a time.
    fn settle(&mut self, h_s: f64, old: &[f64], prescribed: Option<Prescription>, one_by_one: usize) -> f64 {
        let tolerance = self.stack.tolerance.min(1.0);
        let mut largest_k = f64::INFINITY;
        let mut chamber = self.chamber(self.now.deposit, self.now.wall_k, prescribed);
        for iteration in 0..MOST_ITERATIONS {
            let sums = self.iterate(h_s, old, prescribed, &chamber);
            let border = self.border(h_s, old, &chamber, &sums);
            let mut share = self.share_to_band(&border, &chamber);
            if iteration >= one_by_one && prescribed.is_none() {
                share = self.share_to_frost(&border, &chamber, share);
            }
            if (iteration / SWINGING) % 2 == 1 && largest_k > NEARLY_SETTLED_K {
                share *= 0.5;
            }
            let moved;
            (chamber, moved) = self.take(&border, &chamber, prescribed, share);
            largest_k = moved.largest_k;
            if !largest_k.is_finite() {
                break;
            }
            // a correction that was not taken whole leaves its part of the balance open
            if largest_k < SETTLED_K * tolerance && moved.held_back_k < ALL_TAKEN_K * tolerance {
                return 0.0;
            }
        }
        // it gets no nearer: sums close all the same, and the next step takes up what is open
        if one_by_one != ONE_BY_ONE && largest_k < SETTLED_K * tolerance { 0.0 } else { largest_k }
    }

    /// Where the iteration begins: the guess, as far as it does not lead too far away.
    fn guess(&mut self, old: &[f64], guess: &[f64], prescribed: Option<Prescription>) {
        let near = |k: usize| guess[k].clamp(old[k] - LARGEST_MOVE_K, old[k] + LARGEST_MOVE_K);
        let m = self.layout.machine();
        for b in 0..self.layout.bodies {
            let at = self.layout.body(b);
            self.rows[b].front_k = near(at + FRONT);
            self.rows[b].top_k = near(at + TOP);
        }
        for s in 0..self.layout.shelves {
            self.now.shelf_k[s] = prescribed.map_or_else(|| near(self.layout.shelf(s)), |n| n.shelf_k);
        }
        self.now.deposit = guess[m + DEPOSIT_RATE].max(0.0);
        self.now.wall_k = near(m + WALL);
    }
}
