//! Desorption of one front's dried part within a step.
//!
//! Rates are formed at the temperatures of the start of the step and follow those of its end to first order, so that
//! heat taken by desorption and the temperature that drives it are found together: with the rates held, long steps
//! would swing.

use crate::batch::state::{DEPTHS, HELD, PASSED};
use crate::food::DriedMatrix;

/// One depth: how its water leaves at the temperatures of the start, and what one step makes of it.
#[derive(Clone, Copy, Debug, Default)]
struct Depth {
    /// Between surface (0) and front (1).
    place: f64,
    /// Held before the step, and what is left of it in equilibrium, kg.
    held_kg: f64,
    floor_kg: f64,
    /// Rate constant, 1/s, and its relative slope against temperature, 1/K.
    rate_per_s: f64,
    activation_per_k: f64,
    /// Share of what is above the floor that stays over the step.
    stays: f64,
    /// Held after the step at those temperatures, kg; less for each kelvin more, kg/K.
    left_kg: f64,
    per_k: f64,
}

/// Water given off in one step, linear in the temperatures of front and surface.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Desorption {
    heat_j_per_kg: f64,
    front_k: f64,
    top_k: f64,
    depths: [Depth; DEPTHS],
    /// Length of the step, s.
    h_s: f64,
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
}

impl Desorption {
    /// Rates at the start of a step; `place` tells the place of a depth, given its number and its middle as a share of
    /// all dry matter (`None`: passed as a whole).
    pub(super) fn start(&mut self, start: &Start<'_>, place: impl Fn(usize, Option<f64>) -> f64) {
        let (matrix, old) = (start.matrix, start.old);
        self.heat_j_per_kg = matrix.heat_of_desorption_j_per_kg;
        self.front_k = start.front_k;
        self.top_k = start.top_k;
        self.h_s = 0.0;
        let cell_kg = start.dry_kg / DEPTHS as f64;
        for (k, depth) in self.depths.iter_mut().enumerate() {
            let held_kg = old[HELD + k];
            let dry_kg = (old[PASSED] - k as f64 * cell_kg).clamp(0.0, cell_kg);
            *depth = Depth { held_kg, ..Depth::default() };
            if held_kg <= 0.0 || dry_kg <= 1e-12 * cell_kg {
                continue;
            }
            let middle = (k as f64 * cell_kg + 0.5 * dry_kg) / start.dry_kg;
            let place = place(k, (dry_kg < cell_kg).then_some(middle));
            let here_k = start.top_k + place * (start.front_k - start.top_k);
            // the front's vapour fills the pores on its way out
            let here_pa = start.vapour_pa + place * (start.front_pa - start.vapour_pa);
            let floor_kg = matrix.equilibrium_water_per_dry(here_k, here_pa) * dry_kg;
            if held_kg <= floor_kg {
                continue;
            }
            depth.place = place;
            depth.floor_kg = floor_kg;
            (depth.rate_per_s, depth.activation_per_k) = matrix.desorption_rate_and_slope(here_k, held_kg / dry_kg);
        }
    }

    /// What a step of this length gives off.
    pub(super) fn over(&mut self, h_s: f64) {
        // after a whole step its first half is asked for from the same start: a root is cheaper than an exponential
        let halved = h_s == 0.5 * self.h_s;
        self.h_s = h_s;
        let (mut rate, mut slope) = ([0.0; 2], [0.0; 3]);
        for depth in &mut self.depths {
            if depth.rate_per_s == 0.0 {
                depth.left_kg = depth.held_kg;
                continue;
            }
            depth.stays = if halved { depth.stays.sqrt() } else { (-depth.rate_per_s * h_s).exp() };
            let stays_kg = (depth.held_kg - depth.floor_kg) * depth.stays;
            depth.left_kg = depth.floor_kg + stays_kg;
            depth.per_k = stays_kg * depth.rate_per_s * h_s * depth.activation_per_k;
            let (lost_kg, place) = (depth.held_kg - depth.left_kg, depth.place);
            rate[0] += lost_kg;
            rate[1] += lost_kg * place;
            slope[0] += depth.per_k;
            slope[1] += depth.per_k * place;
            slope[2] += depth.per_k * place * place;
        }
        let per_s = 1.0 / h_s;
        self.rate = rate.map(|kg| kg * per_s);
        self.slope = slope.map(|kg_per_k| kg_per_k * per_s);
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

    /// Water held at each depth at the end of the step, kg.
    pub(super) fn left_kg(&self, front_k: f64, top_k: f64) -> impl Iterator<Item = f64> + '_ {
        let (front, top) = (front_k - self.front_k, top_k - self.top_k);
        self.depths.iter().map(move |d| d.left_kg - d.per_k * (top + d.place * (front - top)))
    }
}
