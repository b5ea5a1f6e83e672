//! The implicit step: Newton until it settles; how two results of a step are compared and put right.

use super::corners::LARGEST_MOVE_K;
use super::newton::Border;
use super::{Drying, Node};
use crate::batch::cabinet::Drive;
use crate::batch::state::{BODY, DEPOSIT_RATE, DEPTHS, FRONT, HEATERS, HELD, LIMITED, PASSED, PRESSURE, TOP, WALL};
use crate::error::ModelError;
use crate::numerics::stepper::ImplicitEuler;

const MOST_ITERATIONS: usize = 50;
/// After so many iterations as many take only half of each correction, and so on: what swings between two sides of a
/// corner settles.
const SWINGING: usize = 10;
/// Below this move, K, corrections are whole again.
const NEARLY_SETTLED_K: f64 = 1e-4;
/// A step has settled when no temperature moves more than this, K: Newton leaves an error of about its square.
const SETTLED_K: f64 = 1e-6;
/// Less held back than this, K, counts as a correction taken whole.
const ALL_TAKEN_K: f64 = 1e-9;
/// Share of a front's dry matter that may be wrong per step, 1 at the stepper's tolerance.
const PASSED_TOLERANCE: f64 = 4e-3;
/// The same for water held, kg/kg dry.
const HELD_TOLERANCE: f64 = 1e-2;
/// The same for temperatures of shelves and wall, K.
const METAL_TOLERANCE_K: f64 = 8.0;

impl ImplicitEuler for Drying<'_> {
    fn step(&mut self, t_s: f64, h_s: f64, old: &[f64], new: &mut [f64]) -> Result<(), ModelError> {
        let now = self.now(t_s + h_s);
        self.prepare(h_s, old, now);
        let m = self.layout.machine();
        for i in 0..self.nodes.len() {
            self.temperature[i] = match self.nodes[i] {
                Node::Shelf(s) => now.map_or(old[self.layout.shelf(s)], |n| n.shelf_k),
                Node::Front(b) => old[self.layout.body(b) + FRONT],
                Node::Surface(b) => {
                    self.leaf[b] = old[self.layout.body(b) + FRONT];
                    old[self.layout.body(b) + TOP]
                }
            };
        }
        let (mut deposit, mut wall_k) = (old[m + DEPOSIT_RATE], old[m + WALL]);
        let mut largest = f64::INFINITY;
        for iteration in 0..MOST_ITERATIONS {
            let chamber = self.chamber(deposit, wall_k, now);
            let sums = self.iterate(h_s, old, now, wall_k, &chamber);
            let border = match &self.stack.drive {
                Drive::Machine { cabinet, .. } => self.border(cabinet, h_s, old, deposit, wall_k, &chamber, &sums),
                Drive::Rig(_) => Border { deposit: 0.0, wall_k: 0.0 },
            };
            let swings = (iteration / SWINGING) % 2 == 1 && largest > NEARLY_SETTLED_K;
            let whole = if swings { 0.5 } else { 1.0 };
            let share = whole * self.to_pressure_corner(&border, deposit, wall_k, now);
            let held_back;
            (largest, held_back) = self.apply(&border, &chamber, now, share);
            if !largest.is_finite() {
                break;
            }
            deposit = (deposit + share * border.deposit).max(0.0);
            wall_k += (share * border.wall_k).clamp(-LARGEST_MOVE_K, LARGEST_MOVE_K);
            // a correction that was not taken whole leaves its part of the balance open
            if largest < SETTLED_K && held_back < ALL_TAKEN_K {
                break;
            }
        }
        if largest > SETTLED_K {
            return Err(ModelError::NotConverged {
                what: "drying step",
                at_s: t_s,
                residual: largest,
                limit: SETTLED_K,
            });
        }
        self.finish(h_s, old, new, now, deposit, wall_k);
        Ok(())
    }

    fn difference(&self, full: &[f64], half: &[f64]) -> f64 {
        let mut worst: f64 = 0.0;
        for (b, step) in self.steps.iter().enumerate() {
            let at = self.layout.body(b);
            let passed = (full[at + PASSED] - half[at + PASSED]).abs() / step.dry_kg;
            let held = |s: &[f64]| s[at + HELD..at + BODY].iter().sum::<f64>();
            let held = (held(full) - held(half)).abs() / step.dry_kg;
            worst = worst.max(step.slowing * passed / PASSED_TOLERANCE).max((held - passed).abs() / HELD_TOLERANCE);
        }
        for s in 0..self.layout.shelves {
            let at = self.layout.shelf(s);
            worst = worst.max((full[at] - half[at]).abs() / METAL_TOLERANCE_K);
        }
        let at = self.layout.machine() + WALL;
        worst.max((full[at] - half[at]).abs() / METAL_TOLERANCE_K)
    }

    fn mend(&self, state: &mut [f64]) {
        // the full step may reach a depth that the half steps do not: its water belongs to the depth before
        for b in 0..self.layout.bodies {
            let held = &mut state[self.layout.body(b) + HELD..self.layout.body(b) + BODY];
            for k in (1..DEPTHS).rev() {
                if held[k] < 0.0 {
                    held[k - 1] += held[k];
                    held[k] = 0.0;
                }
            }
            // no water at all, to round-off
            if held[0] < 0.0 && held[0] > -1e-12 * self.steps[b].dry_kg {
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
                && state[at + PASSED] <= step.dry_kg * (1.0 + 1e-12)
                && (at + HELD..at + BODY).all(|k| state[k] >= 0.0)
                // where no front adds to it, held water only falls
                && (state[at + PASSED] > old[at + PASSED] || held(state) <= held(old))
        }) && state[m + DEPOSIT_RATE] >= 0.0
            && state[m + PRESSURE] >= 0.0
            && state[m + HEATERS] >= old[m + HEATERS]
            && state[m + LIMITED] >= old[m + LIMITED]
            && state.iter().all(|x| x.is_finite())
    }
}
