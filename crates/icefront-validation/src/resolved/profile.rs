//! Profiles in the two parts at a given front: tridiagonal solves.

use crate::ideal::VAPOUR_J_PER_KG_K;
use icefront_core::constants::ZERO_CELSIUS_K;
use icefront_core::food::FreezingCurve;
use icefront_core::numerics::tridiagonal::{self, Row};

/// Heats of vapour are counted from here, K.
pub(super) const REFERENCE_K: f64 = ZERO_CELSIUS_K;

/// `x/(e^x - 1)`.
fn bernoulli(x: f64) -> f64 {
    if x.abs() < 1e-6 { 1.0 - 0.5 * x } else { x / x.exp_m1() }
}

/// Solves for the cells.
fn take(rows: &mut [Row<f64>], cells: &mut [f64]) {
    tridiagonal::solve(rows);
    for (cell, row) in cells.iter_mut().zip(rows) {
        *cell = row.rhs;
    }
}

/// Dried part in one step; per area.
pub(super) struct Dried<'a> {
    pub(super) h_s: f64,
    /// Thickness before and after, m.
    pub(super) old_m: f64,
    pub(super) new_m: f64,
    /// Heat capacity, J/(m3 K), and conductivity, W/(m K).
    pub(super) capacity: f64,
    pub(super) conductivity: f64,
    /// Heat in the cells before, J/m2.
    pub(super) old_j: &'a [f64],
    /// Vapour up through the faces from the surface (first) to the front (last), kg/(m2 s).
    pub(super) flow: &'a [f64],
    /// Heat of desorption, J/kg.
    pub(super) heat_of_desorption: f64,
    /// Desorption by cell.
    pub(super) desorption: &'a Desorption,
    /// From above: coefficient, W/(m2 K), and temperature, K.
    pub(super) above: (f64, f64),
}

/// Desorption by cell in one round, linear in temperature around `at_k`.
pub(super) struct Desorption {
    /// Rate constant, 1/s.
    pub(super) rates: Vec<f64>,
    /// Water that stays, kg/kg dry.
    pub(super) floors: Vec<f64>,
    /// Vapour, kg/(m2 s), and its slope, kg/(m2 s K).
    pub(super) desorbing: Vec<f64>,
    pub(super) per_k: Vec<f64>,
    pub(super) at_k: Vec<f64>,
}

/// Heat at the ends of the dried part, W/m2, and its surface.
pub(super) struct DriedHeat {
    pub(super) surface_k: f64,
    pub(super) to_front_w: f64,
    pub(super) in_w: f64,
    /// Carried out by vapour at the surface's temperature, counted from the reference.
    pub(super) out_w: f64,
    /// Spent on desorption, less what its vapour carries.
    pub(super) desorbing_w: f64,
}

impl Dried<'_> {
    /// Temperatures of the cells at the end of the step for a front temperature.
    pub(super) fn solve(&self, front_k: f64, cells: &mut [f64]) -> DriedHeat {
        let n = cells.len();
        let front = front_k - REFERENCE_K;
        let (h_above, above) = (self.above.0, self.above.1 - REFERENCE_K);
        let (width, grown) = (self.new_m / n as f64, self.new_m - self.old_m);
        // exponential flux up through face j: a_j T_below - b_j T_above
        let flux = |j: usize| {
            let distance = if j == 0 || j == n { 0.5 * width } else { width };
            let peclet = self.flow[j] * VAPOUR_J_PER_KG_K * distance / self.conductivity;
            let g = self.conductivity / distance;
            (g * bernoulli(-peclet), g * bernoulli(peclet))
        };
        let sweep = |j: usize| self.capacity * grown * j as f64 / n as f64 / self.h_s;
        // surface: a_0 T_0 - b_0 T_s + h (T_a - T_s) = N_0 c_v T_s
        let (a_0, b_0) = flux(0);
        let carried = self.flow[0] * VAPOUR_J_PER_KG_K;
        let below_surface = b_0 + h_above + carried;
        let mut rows = vec![Row::<f64>::default(); n];
        for (j, row) in rows.iter_mut().enumerate() {
            let (a_up, b_up) = flux(j);
            let (a_down, b_down) = flux(j + 1);
            let (s_up, s_down) = (sweep(j), sweep(j + 1));
            let (desorbing, per_k) = (self.desorption.desorbing[j], self.desorption.per_k[j] * self.heat_of_desorption);
            row.diagonal = self.capacity * width / self.h_s + a_up + b_down + per_k - desorbing * VAPOUR_J_PER_KG_K;
            row.rhs = self.old_j[j] / self.h_s - desorbing * self.heat_of_desorption
                + per_k * (self.desorption.at_k[j] - REFERENCE_K);
            if j == 0 {
                row.diagonal -= a_0 * b_0 / below_surface;
                row.rhs += b_0 * h_above * above / below_surface;
            } else {
                row.lower = -b_up + 0.5 * s_up;
                row.diagonal += 0.5 * s_up;
            }
            if j + 1 < n {
                row.upper = -a_down - 0.5 * s_down;
                row.diagonal -= 0.5 * s_down;
            } else {
                row.rhs += (a_down + s_down) * front;
            }
        }
        take(&mut rows, cells);
        let surface = (a_0 * cells[0] + h_above * above) / below_surface;
        let (a_n, b_n) = flux(n);
        let up_from_front = a_n * front - b_n * cells[n - 1];
        let d = self.desorption;
        let desorbing_w = (0..n).map(|j| {
            d.desorbing[j] * (self.heat_of_desorption - VAPOUR_J_PER_KG_K * cells[j])
                + d.per_k[j] * self.heat_of_desorption * (cells[j] + REFERENCE_K - d.at_k[j])
        });
        let desorbing_w = desorbing_w.sum();
        for cell in cells.iter_mut() {
            *cell += REFERENCE_K;
        }
        DriedHeat {
            surface_k: surface + REFERENCE_K,
            to_front_w: self.flow[n] * VAPOUR_J_PER_KG_K * front - up_from_front,
            in_w: h_above * (above - surface),
            out_w: carried * surface,
            desorbing_w,
        }
    }

    /// Water held by the cells at the end of the step, kg/kg dry, from that before, kg/m2; `entering` is left behind
    /// by the front, kg/kg dry. `dry` is dry matter, kg/m3.
    pub(super) fn held(&self, old_kg: &[f64], dry: f64, entering: f64, cells: &mut [f64]) {
        let (rates, floors) = (&self.desorption.rates, &self.desorption.floors);
        let n = cells.len();
        let (mass, grown) = (dry * self.new_m / n as f64, dry * (self.new_m - self.old_m));
        let mut rows = vec![Row::<f64>::default(); n];
        for j in 0..n {
            let (s_up, s_down) = (grown * j as f64 / n as f64, grown * (j + 1) as f64 / n as f64);
            rows[j].diagonal = mass * (1.0 + rates[j] * self.h_s);
            rows[j].rhs = old_kg[j] + mass * rates[j] * self.h_s * floors[j];
            if j > 0 {
                rows[j].lower = 0.5 * s_up;
                rows[j].diagonal += 0.5 * s_up;
            }
            if j + 1 < n {
                rows[j].upper = -0.5 * s_down;
                rows[j].diagonal -= 0.5 * s_down;
            } else {
                rows[j].rhs += s_down * entering;
            }
        }
        take(&mut rows, cells);
    }
}

/// Frozen part in one step; per area.
pub(super) struct Frozen<'a> {
    pub(super) h_s: f64,
    /// Thickness before and after, m.
    pub(super) old_m: f64,
    pub(super) new_m: f64,
    pub(super) density: f64,
    pub(super) conductivity: f64,
    pub(super) curve: &'a FreezingCurve,
    /// Heat in the cells before, J/m2.
    pub(super) old_j: &'a [f64],
    /// From below: coefficient, W/(m2 K), and temperature, K.
    pub(super) below: (f64, f64),
}

const SETTLED_J_PER_KG: f64 = 1e-6;
const MOST_ITERATIONS: usize = 50;

impl Frozen<'_> {
    /// Enthalpies of the cells at the end of the step (`cells`: a first guess), J/kg; heat to the front and heat in
    /// from below, W/m2. `None` if it does not settle.
    pub(super) fn solve(&self, front_k: f64, cells: &mut [f64]) -> Option<(f64, f64)> {
        let m = cells.len();
        let width = self.new_m / m as f64;
        let between = self.conductivity / width;
        let below = 1.0 / (1.0 / self.below.0 + 0.5 * width / self.conductivity);
        let mass = self.density * width / self.h_s;
        let lost = self.density * (self.old_m - self.new_m) / self.h_s;
        let sweep = |i: usize| lost * (m - i) as f64 / m as f64;
        let front_h = self.curve.enthalpy_j_per_kg(front_k);
        for _ in 0..MOST_ITERATIONS {
            let t: Vec<f64> = cells.iter().map(|&h| self.curve.temperature_k(h)).collect();
            let slope: Vec<f64> = cells.iter().map(|&h| self.curve.temperature_and_slope(h).1).collect();
            let mut rows = vec![Row::<f64>::default(); m];
            for i in 0..m {
                let (s_up, s_down) = (sweep(i), sweep(i + 1));
                let mut gain = self.old_j[i] / self.h_s - mass * cells[i];
                rows[i].diagonal = mass;
                if i == 0 {
                    gain += 2.0 * between * (front_k - t[i]) - s_up * front_h;
                    rows[i].diagonal += 2.0 * between * slope[i];
                } else {
                    gain += between * (t[i - 1] - t[i]) - 0.5 * s_up * (cells[i - 1] + cells[i]);
                    rows[i].diagonal += between * slope[i] + 0.5 * s_up;
                    rows[i].lower = -between * slope[i - 1] + 0.5 * s_up;
                }
                if i + 1 < m {
                    gain += between * (t[i + 1] - t[i]) + 0.5 * s_down * (cells[i] + cells[i + 1]);
                    rows[i].diagonal += between * slope[i] - 0.5 * s_down;
                    rows[i].upper = -between * slope[i + 1] - 0.5 * s_down;
                } else {
                    gain += below * (self.below.1 - t[i]);
                    rows[i].diagonal += below * slope[i];
                }
                rows[i].rhs = gain;
            }
            tridiagonal::solve(&mut rows);
            let mut largest: f64 = 0.0;
            for (cell, row) in cells.iter_mut().zip(&rows) {
                *cell += row.rhs;
                largest = largest.max(row.rhs.abs());
            }
            if largest < SETTLED_J_PER_KG {
                let (first, last) = (self.curve.temperature_k(cells[0]), self.curve.temperature_k(cells[m - 1]));
                return Some((2.0 * between * (first - front_k), below * (self.below.1 - last)));
            }
            if !largest.is_finite() {
                return None;
            }
        }
        None
    }
}
