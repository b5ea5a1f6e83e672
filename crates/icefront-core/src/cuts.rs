//! Cuts: a layer parted into square portions before it dries, down to the tray. Vapour leaves through the cuts too.
//!
//! # Main equations
//! In `docs/model.md`: S7 to S13. A cut is a slot between two drying walls, open at its top:
//! ```text
//! G_s p'' = (2 K/d_0)(p - p_i)                          vapour from both walls goes up the slot
//! G_s = w^3 p M/(12 mu R T) (1 + 6 lambda/w)            conductance per metre of cut, kg/(s Pa)
//! e   = tanh(m)/m      m^2 = 2 K L^2/(d_0 G_s)          share of what an open wall would give
//! 1/a = 1/a_0 - 1/S                                     the tray's own walls are no cuts
//! ```
//! with `a_0` the edge of a portion, `S` that of the tray, `w` the width of a cut, `L` the depth, `d_0` half of what is
//! dried at the end. The ice has one temperature, so its front goes down by `d = u L` and in from each wall by `sqrt(e) d`:
//! ```text
//! 1 - f = (1 - q u)^2 (1 - u)                           q = 2 sqrt(e) L/a
//! 1/G   = (A/d)[(1 - q u) + (4 sqrt(e) L/a) sqrt((1 - q u)(1 - u))]      vapour: top and walls
//! 1/G_h = (A/d)(1 - q u)                                heat from above, while there is ice: top alone
//! l     = min(L (1 - u), a (1 - q u)/4)/(1 - q u)^2     frozen path of the heat from below, over the whole floor
//! ```
//!
//! # Assumptions and limits
//! Heat from below reaches the frozen block whole: the tray's metal leads it there (1 mm of steel over 24 mm, more than
//! the depth of most layers). A cut's walls get no heat from outside; their vapour is warmed as that of the top. Cuts take
//! no food away (`w` much less than `a`) and keep their width, though food grows as it freezes; `e` is that of 50 Pa and
//! -20 degC in the slot. Closed cuts (`w` to 0) and portions as wide as the tray give the plain layer. Frozen as a plain
//! layer. No published run of a cut layer was found to hold this against.
//!
//! # References
//! Slot: flow between parallel plates with first-order slip, a textbook formula `from memory`. `tanh(m)/m`: a straight
//! fin, as in any handbook of heat transfer.

use serde::{Deserialize, Serialize};

use crate::constants::{GAS_CONSTANT_J_PER_MOL_K, WATER_MOLAR_MASS_KG_PER_MOL};
use crate::food::DriedMatrix;
use crate::water;

/// Where the slot's conductance is reckoned: pressure and temperature in it.
const SLOT_PA: f64 = 50.0;
const SLOT_K: f64 = 253.15;
/// The last of the ice is rounded off: `1 - u` and `1 - q u` go no lower.
const SMALLEST: f64 = 0.02;
/// The same for the block that heat goes through, share of a portion's width.
const NARROWEST: f64 = 0.08;

/// Cuts through a layer.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Cuts {
    /// Edge of a portion, m.
    pub edge_m: f64,
    /// Width of a cut, m.
    pub width_m: f64,
}

impl Cuts {
    /// Share of what open walls would give that gets out of the cuts, 0 to 1, of a layer `depth_m` deep.
    pub fn open_share(&self, depth_m: f64, matrix: &DriedMatrix) -> f64 {
        let density = SLOT_PA * WATER_MOLAR_MASS_KG_PER_MOL / (GAS_CONSTANT_J_PER_MOL_K * SLOT_K);
        let slip = 1.0 + 6.0 * water::mean_free_path_m(SLOT_K, SLOT_PA) / self.width_m;
        let slot = self.width_m.powi(3) * density / (12.0 * water::vapour_viscosity_pa_s(SLOT_K)) * slip;
        let dried_m = 0.5 * depth_m.min(0.5 * self.edge_m);
        let m = depth_m * (2.0 * matrix.permeability_kg_per_m_s_pa / (dried_m * slot)).sqrt();
        if m > 1e-6 { libm::tanh(m) / m } else { 1.0 }
    }
}

/// Front of a cut layer: one for all its portions.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CutFront {
    depth_m: f64,
    floor_m2: f64,
    /// Way of the front in from a wall over its way down from the top, `sqrt(e)`.
    pace: f64,
    /// `q`: share of a portion's half width that the front has come in once it is at the floor.
    inward: f64,
}

impl CutFront {
    /// Of a layer over `floor_m2` of a tray whose edge is `tray_edge_m`; `None` where a portion is as large as the tray.
    pub fn new(cuts: &Cuts, depth_m: f64, floor_m2: f64, tray_edge_m: f64, matrix: &DriedMatrix) -> Option<Self> {
        let per_edge = 1.0 / cuts.edge_m - 1.0 / tray_edge_m;
        let pace = cuts.open_share(depth_m, matrix).sqrt();
        (per_edge > 0.0).then_some(Self { depth_m, floor_m2, pace, inward: 2.0 * pace * depth_m * per_edge })
    }

    /// Surface that lets vapour out, closed walls counted by what they give, m2.
    pub fn surface_m2(&self) -> f64 {
        self.floor_m2 * (1.0 + 2.0 * self.inward * self.pace)
    }

    /// Way of the front from the top as a share of the depth, `u`, once it has passed a share `f` of the dry matter.
    ///
    /// `(1 - q u)^2 (1 - u)` falls and bends upwards as far as its first root, so Newton goes there from 0 and never past.
    pub fn way(&self, passed: f64) -> f64 {
        let left = (1.0 - passed).max(0.0);
        let most = (1.0 - SMALLEST) / self.inward.max(1.0);
        let mut u = 0.0;
        for _ in 0..40 {
            let (side, top) = (1.0 - self.inward * u, 1.0 - u);
            let step = (side * side * top - left) / (side * (side + 2.0 * self.inward * top));
            u += step;
            if u >= most {
                return most;
            }
            if step < 1e-13 {
                break;
            }
        }
        u
    }

    /// Shape form for vapour and its slope against the share passed, 1/m.
    pub fn shell_per_m(&self, passed: f64) -> (f64, f64) {
        let u = self.way(passed);
        let q = self.inward;
        let (side, top) = (1.0 - q * u, 1.0 - u);
        let (walls, root) = (2.0 * q, (side * top).sqrt());
        let faces = side + walls * root;
        let faces_slope = -q - 0.5 * walls * (q * top + side) / root;
        let scale = self.depth_m / self.floor_m2;
        let passed_slope = side * (side + 2.0 * q * top);
        (scale * u / faces, scale * (faces - u * faces_slope) / (faces * faces) / passed_slope)
    }

    /// The same for heat, 1/m: it crosses the top alone, and the whole depth once there is no ice.
    pub fn heat_shell_per_m(&self, passed: f64, ice: bool) -> f64 {
        let plain = self.depth_m / self.floor_m2;
        if !ice {
            return plain;
        }
        let u = self.way(passed);
        plain * u / (1.0 - self.inward * u)
    }

    /// Way of the heat from below through what is frozen, as if over the whole floor, m.
    pub fn frozen_path_m(&self, passed: f64, ice: bool) -> f64 {
        if !ice {
            return 0.0;
        }
        let u = self.way(passed);
        let side = (1.0 - self.inward * u).max(NARROWEST);
        let quarter_m = 0.5 * self.pace * self.depth_m / self.inward * side;
        (self.depth_m * (1.0 - u)).min(quarter_m) / (side * side)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn front(pace: f64, inward: f64) -> CutFront {
        CutFront { depth_m: 0.02, floor_m2: 0.1, pace, inward }
    }

    #[test]
    fn what_is_left_is_what_is_frozen() {
        // volume of the block over that of the layer
        for inward in [0.0, 0.1, 0.8, 1.0, 2.5] {
            for passed in [0.0, 0.2, 0.5, 0.8, 0.95] {
                let u = front(0.8, inward).way(passed);
                approx::assert_relative_eq!((1.0 - inward * u).powi(2) * (1.0 - u), 1.0 - passed, epsilon = 1e-9);
            }
        }
    }

    #[test]
    fn without_walls_it_is_the_plain_layer() {
        for passed in [0.0, 0.3, 0.9] {
            let (shell, slope) = front(0.0, 0.0).shell_per_m(passed);
            approx::assert_relative_eq!(shell, passed * 0.2, epsilon = 1e-12);
            approx::assert_relative_eq!(slope, 0.2, max_relative = 1e-9);
            approx::assert_relative_eq!(front(0.0, 0.0).heat_shell_per_m(passed, true), passed * 0.2, epsilon = 1e-12);
        }
    }

    #[test]
    fn the_slope_is_that_of_the_shell() {
        for inward in [0.1, 0.8, 2.5] {
            let front = front(0.8, inward);
            for passed in [0.1, 0.5, 0.9] {
                let (_, slope) = front.shell_per_m(passed);
                let by = 1e-5;
                let secant = (front.shell_per_m(passed + by).0 - front.shell_per_m(passed - by).0) / (2.0 * by);
                approx::assert_relative_eq!(slope, secant, max_relative = 1e-5);
            }
        }
    }
}
