//! Desorption of one front's dried part within a step.
//!
//! Rates are formed at the temperatures of the start of the step and follow those of its end to first order, so that
//! heat taken by desorption and the temperature that drives it are found together: with the rates held, long steps
//! would swing.

use crate::batch::state::{DEPTHS, HELD, PASSED};
use crate::constants::GAS_CONSTANT_J_PER_MOL_K;
use crate::food::DriedMatrix;

/// Water given off in one step, linear in the temperatures of front and surface.
#[derive(Clone, Copy, Debug)]
pub(super) struct Desorption {
    heat_j_per_kg: f64,
    front_k: f64,
    top_k: f64,
    /// Place of each depth between surface (0) and front (1).
    place: [f64; DEPTHS],
    /// Held after the step at those temperatures, kg.
    held_kg: [f64; DEPTHS],
    /// Less held for each kelvin more, kg/K.
    per_k: [f64; DEPTHS],
    /// Sums over depths of rate and slope, weighted with powers of the place: kg/s and kg/(s K).
    rate: [f64; 2],
    slope: [f64; 3],
}

/// Vapour and heat of desorption at given temperatures, with slopes.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Desorbing {
    /// Vapour, kg/s.
    pub(super) rate_kg_per_s: f64,
    /// Heat taken at the front and at the surface, W; slopes of each against its own temperature and the other, W/K.
    pub(super) front_w: f64,
    pub(super) top_w: f64,
    pub(super) front_per_front_k: f64,
    pub(super) top_per_top_k: f64,
    pub(super) across_per_k: f64,
}

/// Where desorption starts from.
pub(super) struct Start<'a> {
    pub(super) matrix: &'a DriedMatrix,
    /// The body's numbers in the state.
    pub(super) old: &'a [f64],
    pub(super) dry_kg: f64,
    pub(super) front_k: f64,
    pub(super) top_k: f64,
    /// Vapour pressure in the chamber and at the front, Pa.
    pub(super) vapour_pa: f64,
    pub(super) front_pa: f64,
    pub(super) h_s: f64,
}

impl Desorption {
    /// From the state at the start of a step; `place` tells the place of a depth, given its number and its middle as a
    /// share of all dry matter (`None`: passed as a whole).
    pub(super) fn new(start: &Start<'_>, place: impl Fn(usize, Option<f64>) -> f64) -> Self {
        let (matrix, old, h_s) = (start.matrix, start.old, start.h_s);
        let mut out = Self {
            heat_j_per_kg: matrix.heat_of_desorption_j_per_kg,
            front_k: start.front_k,
            top_k: start.top_k,
            place: [0.0; DEPTHS],
            held_kg: [0.0; DEPTHS],
            per_k: [0.0; DEPTHS],
            rate: [0.0; 2],
            slope: [0.0; 3],
        };
        let cell_kg = start.dry_kg / DEPTHS as f64;
        for k in 0..DEPTHS {
            let held = old[HELD + k];
            let dry = (old[PASSED] - k as f64 * cell_kg).clamp(0.0, cell_kg);
            out.held_kg[k] = held;
            if held <= 0.0 || dry <= 1e-12 * cell_kg {
                continue;
            }
            let middle = (k as f64 * cell_kg + 0.5 * dry) / start.dry_kg;
            let place = place(k, (dry < cell_kg).then_some(middle));
            let here_k = start.top_k + place * (start.front_k - start.top_k);
            // the front's vapour fills the pores on its way out
            let here_pa = start.vapour_pa + place * (start.front_pa - start.vapour_pa);
            let floor = matrix.equilibrium_water_per_dry(here_k, here_pa) * dry;
            if held <= floor {
                continue;
            }
            let rate_per_s = matrix.desorption_rate_per_s(here_k, held / dry);
            let stays = (held - floor) * (-rate_per_s * h_s).exp();
            let activation_per_k =
                matrix.desorption_activation_j_per_mol / (GAS_CONSTANT_J_PER_MOL_K * here_k * here_k);
            out.place[k] = place;
            out.held_kg[k] = floor + stays;
            out.per_k[k] = stays * rate_per_s * h_s * activation_per_k;
            let (rate, slope) = ((held - out.held_kg[k]) / h_s, out.per_k[k] / h_s);
            out.rate[0] += rate;
            out.rate[1] += rate * place;
            out.slope[0] += slope;
            out.slope[1] += slope * place;
            out.slope[2] += slope * place * place;
        }
        out
    }

    /// At the temperatures of front and surface.
    pub(super) fn at(&self, front_k: f64, top_k: f64) -> Desorbing {
        let (front, top) = (front_k - self.front_k, top_k - self.top_k);
        let [s0, s1, s2] = self.slope;
        let heat = self.heat_j_per_kg;
        let rate = self.rate[0] + s1 * front + (s0 - s1) * top;
        let front_kg_per_s = self.rate[1] + s2 * front + (s1 - s2) * top;
        Desorbing {
            rate_kg_per_s: rate,
            front_w: heat * front_kg_per_s,
            top_w: heat * (rate - front_kg_per_s),
            front_per_front_k: heat * s2,
            top_per_top_k: heat * (s0 - 2.0 * s1 + s2),
            across_per_k: heat * (s1 - s2),
        }
    }

    /// Slopes of the vapour against front and surface, kg/(s K).
    pub(super) fn rate_slopes(&self) -> (f64, f64) {
        (self.slope[1], self.slope[0] - self.slope[1])
    }

    /// Water held at depth `k` at the end of the step, kg.
    pub(super) fn held_kg(&self, k: usize, front_k: f64, top_k: f64) -> f64 {
        let (front, top) = (front_k - self.front_k, top_k - self.top_k);
        self.held_kg[k] - self.per_k[k] * (top + self.place[k] * (front - top))
    }
}
