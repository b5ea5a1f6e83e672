//! The implicit step: Newton until it settles; how two results of a step are compared and put right.

use super::kinks::LARGEST_MOVE_K;
use super::{Drying, Prescription};
use crate::batch::cabinet::Drive;
use crate::batch::state::{DEPTHS, DryingState};
use crate::error::ModelError;
use crate::numerics::components::Components;
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
/// twentieth of its square, and heat and water are moved by fluxes that balance exactly, however far Newton got.
const SETTLED_K: f64 = 0.3;
/// Less held back than this, K, counts as a correction taken whole.
const ALL_TAKEN_K: f64 = 1e-3;
/// Two results of a step whose temperatures differ by more than this, K, differ by more than a small error.
const FAR_APART_K: f64 = 40.0;
/// Share of a front's dry matter that may be wrong per step, 1 at the stepper's tolerance.
const PASSED_TOLERANCE: f64 = 5e-3;
/// Share of the water sorbed at a depth behind the front that may be wrong per step; less than `LEAST_SORBED`, kg/kg dry,
/// counts as that much. The wettest depth ends the run, and its error counts in time as a share of what it holds.
const SORBED_TOLERANCE: f64 = 0.2;
const LEAST_SORBED: f64 = 5e-3;
/// The same for temperatures of shelves and wall, K.
const METAL_TOLERANCE_K: f64 = 6.0;
/// Food takes up no water; where it cools a lot within a step, desorption that is linear in temperature may give back a
/// little, but not more than this, kg/kg dry.
const MOST_UPTAKE_PER_DRY: f64 = 5e-4;

impl ImplicitEuler for Drying<'_> {
    type State = DryingState;

    fn start(&mut self, t_s: f64, old: &DryingState) {
        self.prepare(old, self.prescribed(t_s));
    }

    fn step(&mut self, t_s: f64, h_s: f64, old: &DryingState, new: &mut DryingState) -> Result<(), ModelError> {
        let prescribed = self.prescribed(t_s + h_s);
        if let Drive::Machine { heater, .. } = &self.stack.drive {
            self.set_point_k = heater.set_point.at(t_s + h_s);
        }
        for (step, element) in self.steps.iter_mut().zip(&old.elements) {
            step.over(&self.stack.trays[step.tray].parts[step.part], element, h_s);
        }
        self.start_from(old, new, prescribed);
        let mut open_k = self.converge(h_s, old, prescribed, ONE_BY_ONE);
        for one_by_one in [0, MOST_ITERATIONS] {
            if open_k > 0.0 {
                self.start_from(old, old, prescribed);
                open_k = self.converge(h_s, old, prescribed, one_by_one);
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
        self.commit_step(h_s, old, new, prescribed);
        let uptake_per_dry = self.uptake_per_dry(old, new);
        if uptake_per_dry > MOST_UPTAKE_PER_DRY {
            return Err(ModelError::NotConverged {
                what: "water held by the food",
                at_s: t_s,
                residual: uptake_per_dry,
                limit: MOST_UPTAKE_PER_DRY,
            });
        }
        Ok(())
    }

    fn error_norm(&self, full: &DryingState, half: &DryingState) -> f64 {
        let mut worst: f64 = 0.0;
        for ((step, full), half) in self.steps.iter().zip(&full.elements).zip(&half.elements) {
            let passed = (full.passed_kg - half.passed_kg).abs() / step.dry_kg;
            worst = worst.max(step.error_weight * passed / PASSED_TOLERANCE);
            let depth_kg = step.dry_kg / DEPTHS as f64;
            let behind = (full.passed_kg.min(half.passed_kg) * (1.0 + ROUND_OFF) / depth_kg) as usize;
            for (full_kg, half_kg) in full.sorbed_kg.iter().zip(&half.sorbed_kg).take(behind) {
                let least_kg = LEAST_SORBED * depth_kg;
                worst = worst.max((full_kg - half_kg).abs() / (SORBED_TOLERANCE * (half_kg.max(0.0) + least_kg)));
            }
        }
        for (full_k, half_k) in full.shelf_k.iter().zip(&half.shelf_k) {
            worst = worst.max((full_k - half_k).abs() / METAL_TOLERANCE_K);
        }
        worst.max((full.machine.coil_k - half.machine.coil_k).abs() / METAL_TOLERANCE_K)
    }

    fn project(&self, half: &DryingState, state: &mut DryingState) {
        for ((step, half), element) in self.steps.iter().zip(&half.elements).zip(&mut state.elements) {
            // Front and surface temperatures adjust at once. Where the two results lie far apart, as where only the full step
            // took the last ice, their difference is no small error and must not be extrapolated.
            let full_passed = 2.0 * half.passed_kg - element.passed_kg;
            let only_full_finished = full_passed >= step.dry_kg * (1.0 - ROUND_OFF) && half.has_ice(step.dry_kg);
            for (temperature_k, half_k) in
                [(&mut element.front_k, half.front_k), (&mut element.surface_k, half.surface_k)]
            {
                if only_full_finished || (*temperature_k - half_k).abs() > FAR_APART_K {
                    *temperature_k = half_k;
                }
            }
            // a front that lost its last ice in the step has no rate to extrapolate
            element.front_rate_kg_per_s = element.front_rate_kg_per_s.max(0.0);
            element.sublimation_kg_per_s = element.sublimation_kg_per_s.max(0.0);
            // the full step may reach a depth that the half steps do not: its water belongs to the depth before
            let sorbed_kg = &mut element.sorbed_kg;
            for k in (1..DEPTHS).rev() {
                if sorbed_kg[k] < 0.0 {
                    sorbed_kg[k - 1] += sorbed_kg[k];
                    sorbed_kg[k] = 0.0;
                }
            }
            // no water at all, to round-off
            if sorbed_kg[0] < 0.0 && sorbed_kg[0] > -ROUND_OFF * step.dry_kg {
                sorbed_kg[0] = 0.0;
            }
        }
    }

    fn admissible(&self, old: &DryingState, state: &DryingState) -> bool {
        let elements = old.elements.iter().zip(&state.elements);
        elements.zip(&self.steps).all(|((old, new), step)| {
            new.passed_kg >= old.passed_kg
                && new.passed_kg <= step.dry_kg * (1.0 + ROUND_OFF)
                && new.sorbed_kg.iter().all(|&kg| kg >= 0.0)
        }) && self.uptake_per_dry(old, state) <= ROUND_OFF
            && state.machine.deposition_kg_per_s >= 0.0
            && state.machine.vapour_pa >= 0.0
            && state.machine.heaters_j >= old.machine.heaters_j
            && state.machine.limited_s >= old.machine.limited_s
            && state.all_finite()
    }
}

impl Drying<'_> {
    /// Most water that the dry matter of any front took up in a step, kg/kg dry: sorbed water grows by at most what the
    /// front leaves behind.
    fn uptake_per_dry(&self, old: &DryingState, new: &DryingState) -> f64 {
        let elements = old.elements.iter().zip(&new.elements).zip(self.steps.iter().zip(&self.models));
        let uptakes = elements.map(|((old, new), (step, model))| {
            let left_behind_kg = (new.passed_kg - old.passed_kg) * model.water_per_dry();
            (new.total_sorbed_kg() - old.total_sorbed_kg() - left_behind_kg) / step.dry_kg
        });
        uptakes.fold(0.0, f64::max)
    }

    /// Newton from where `now` stands until nothing moves; returns the move that is left, K, 0 once it has settled. From
    /// the iteration `one_by_one` on fronts begin or cease to sublime one at a time.
    fn converge(&mut self, h_s: f64, old: &DryingState, prescribed: Option<Prescription>, one_by_one: usize) -> f64 {
        let tolerance = self.stack.tolerance.min(1.0);
        let mut largest_k = f64::INFINITY;
        let mut chamber = self.chamber(self.now.deposition_kg_per_s, self.now.coil_k, prescribed);
        for iteration in 0..MOST_ITERATIONS {
            let sums = self.iterate(h_s, old, prescribed, &chamber);
            let border = self.border(h_s, old, &chamber, &sums);
            let mut share = self.damping_to_band(&border, &chamber);
            if iteration >= one_by_one && prescribed.is_none() {
                share = self.damping_to_frost(&border, &chamber, share);
            }
            if (iteration / SWINGING) % 2 == 1 && largest_k > NEARLY_SETTLED_K {
                share *= 0.5;
            }
            let moved;
            (chamber, moved) = self.apply_update(&border, &chamber, prescribed, share);
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

    /// Sets the initial iterate, limited to what lies near the old state.
    fn start_from(&mut self, old: &DryingState, initial: &DryingState, prescribed: Option<Prescription>) {
        let near = |initial_k: f64, old_k: f64| initial_k.clamp(old_k - LARGEST_MOVE_K, old_k + LARGEST_MOVE_K);
        for ((row, initial), old) in self.rows.iter_mut().zip(&initial.elements).zip(&old.elements) {
            row.front_k = near(initial.front_k, old.front_k);
            row.top_k = near(initial.surface_k, old.surface_k);
        }
        let shelves = self.now.shelf_k.iter_mut().zip(&initial.shelf_k).zip(&old.shelf_k).enumerate();
        for (shelf, ((shelf_k, initial_k), old_k)) in shelves {
            *shelf_k = prescribed.map_or_else(|| near(*initial_k, *old_k), |n| n.surface_k(shelf));
        }
        self.now.deposition_kg_per_s = initial.machine.deposition_kg_per_s.max(0.0);
        self.now.coil_k = near(initial.machine.coil_k, old.machine.coil_k);
    }
}
