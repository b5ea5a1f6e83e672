//! How a brick freezes from all its faces, with all the heat it stores.
//!
//! # Main equations
//! ```text
//! m dH_i/dt = sum over faces (A/d)(theta_j - theta_i) + (air - T_i) A/[d/(2 k_i) + 1/h] at outer faces
//! theta(T)  = integral from the freezing point of k dT        k(T) = k_u + (k_f - k_u)(1 - t_f/t) below it
//! ```
//! Explicit in time, cubes of equal size on an octant, `T` and `theta` from a table of 4000 enthalpies.
//!
//! # Assumptions
//! The same coefficient and air at all faces; the food's own freezing curve; nothing evaporates.

use icefront_core::constants::ZERO_CELSIUS_K;
use icefront_core::food::FoodModel;

use super::exact::Ratios;
use super::octant::Octant;

/// A brick of one food, warm all through, in cold air.
#[derive(Clone, Debug)]
pub struct Freezing<'a> {
    /// Food.
    pub model: &'a FoodModel,
    /// Its edges over the least.
    pub ratios: Ratios,
    /// Half the least edge, m.
    pub half_m: f64,
    /// Coefficient at its surface, W/(m2 K).
    pub surface_w_per_m2_k: f64,
    /// Air, K.
    pub air_k: f64,
    /// Food at the start, K.
    pub start_k: f64,
    /// Food at the end, K.
    pub end_k: f64,
}

/// When a brick is cold.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Times {
    /// Its middle at the end's temperature, s.
    pub middle_s: f64,
    /// Its heat that of food all at that temperature, s.
    pub mean_s: f64,
}

/// Rows of the table of states.
const STATES: usize = 4_000;
/// Of the longest stable step.
const STEP_SHARE: f64 = 0.9;

/// Temperature and integral of the conductivity at equal steps of enthalpy.
struct States {
    from: f64,
    step: f64,
    /// K, W/m, W/(m K).
    rows: Vec<(f64, f64, f64)>,
}

impl States {
    fn new(model: &FoodModel, cold_k: f64, warm_k: f64) -> Self {
        let from = model.curve.enthalpy_j_per_kg(cold_k - 1.0);
        let step = (model.curve.enthalpy_j_per_kg(warm_k + 1.0) - from) / (STATES - 1) as f64;
        let (k_u, k_f) = (model.conductivity_unfrozen_w_per_m_k, model.conductivity_frozen_w_per_m_k);
        let t_f = model.curve.freezing_point_k - ZERO_CELSIUS_K;
        let row = |i: usize| {
            let kelvin = model.curve.temperature_k(from + i as f64 * step);
            let t = kelvin - ZERO_CELSIUS_K;
            if t >= t_f {
                return (kelvin, k_u * (t - t_f), k_u);
            }
            let bend = if t_f < 0.0 { (k_f - k_u) * t_f * (t_f / t).ln() } else { 0.0 };
            (kelvin, k_f * (t - t_f) + bend, k_f - (k_f - k_u) * t_f / t)
        };
        Self { from, step, rows: (0..STATES).map(row).collect() }
    }

    fn at(&self, enthalpy: f64) -> (f64, f64, f64) {
        let x = ((enthalpy - self.from) / self.step).clamp(0.0, (STATES - 2) as f64);
        let (i, part) = (x as usize, x.fract());
        let (a, b) = (self.rows[i], self.rows[i + 1]);
        (a.0 + part * (b.0 - a.0), a.1 + part * (b.1 - a.1), a.2 + part * (b.2 - a.2))
    }

    /// Largest slope of the integral against enthalpy, W/m per J/kg.
    fn steepest(&self) -> f64 {
        self.rows.windows(2).map(|pair| (pair[1].1 - pair[0].1) / self.step).fold(0.0, f64::max)
    }
}

impl Freezing<'_> {
    /// Times with this many cells in half the least edge.
    pub fn times(&self, across: usize) -> Times {
        let octant = Octant::new(self.ratios, across);
        let states = States::new(self.model, self.air_k, self.start_k);
        let curve = &self.model.curve;
        let (end, start) = (curve.enthalpy_j_per_kg(self.end_k), curve.enthalpy_j_per_kg(self.start_k));
        let edge_m = octant.edge * self.half_m;
        let per_mass = 1.0 / (self.model.density_kg_per_m3 * edge_m * edge_m);
        // six faces, of which the outer three of a corner count double at most
        let step_s = STEP_SHARE / (9.0 * per_mass * states.steepest());
        let mut enthalpy = vec![start; octant.count()];
        let mut now: Vec<(f64, f64, f64)> = enthalpy.iter().map(|h| states.at(*h)).collect();
        let (mut t, mut times) = (0.0, Times { middle_s: f64::NAN, mean_s: f64::NAN });
        let (mut middle, mut mean) = (start, start);
        let crossing = |t: f64, before: f64, after: f64| t + step_s * (before - end) / (before - after);
        while middle > end {
            octant.visit(|i, near, faces| {
                let (kelvin, integral, k) = now[i];
                let mut flow = near.iter().map(|n| now[*n].1).sum::<f64>() - near.len() as f64 * integral;
                if faces > 0 {
                    let through = edge_m / (edge_m / (2.0 * k) + 1.0 / self.surface_w_per_m2_k);
                    flow += faces as f64 * through * (self.air_k - kelvin);
                }
                enthalpy[i] += step_s * per_mass * flow;
            });
            let (middle_before, mean_before) = (middle, mean);
            let mut sum = 0.0;
            for (state, h) in now.iter_mut().zip(&enthalpy) {
                *state = states.at(*h);
                sum += h;
            }
            (middle, mean) = (enthalpy[0], sum / enthalpy.len() as f64);
            if mean_before > end && mean <= end {
                times.mean_s = crossing(t, mean_before, mean);
            }
            if middle <= end {
                times.middle_s = crossing(t, middle_before, middle);
            }
            t += step_s;
        }
        times
    }
}

#[cfg(test)]
mod tests {
    use icefront_core::constants::ZERO_CELSIUS_K;

    use super::Freezing;
    use crate::brick::exact::{Ratios, mode};
    use crate::brick::table::lean;

    /// Cooling of a brick that does not freeze: the product of three slabs (Newman 1936), summed here.
    #[test]
    fn a_brick_cools_as_three_slabs() {
        let model = lean().unwrap();
        let (half_m, surface_w_per_m2_k) = (0.02, 30.0);
        let biot = surface_w_per_m2_k * half_m / model.conductivity_unfrozen_w_per_m_k;
        let kelvin = |t: f64| ZERO_CELSIUS_K + t;
        let (air_k, start_k, end_k) = (kelvin(1.0), kelvin(21.0), kelvin(7.0));
        let brick = |ratios| Freezing { model: &model, ratios, half_m, surface_w_per_m2_k, air_k, start_k, end_k };
        for (b1, b2) in [(1.0, 1.0), (1.0, 2.0)] {
            let seconds = brick(Ratios { b1, b2 }).times(10).middle_s;
            let capacity = model.density_kg_per_m3 * model.curve.heat_capacity_unfrozen_j_per_kg_k;
            let fourier = seconds * model.conductivity_unfrozen_w_per_m_k / (capacity * half_m * half_m);
            let slab =
                |b: f64| (0..40).map(|m| mode(m, b, biot)).map(|(k, c)| c * (-k * k * fourier).exp()).sum::<f64>();
            // the middle of the first cell is not that of the brick
            approx::assert_relative_eq!(slab(1.0) * slab(b1) * slab(b2), 0.3, max_relative = 0.01);
        }
    }
}
