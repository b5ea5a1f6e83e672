//! Desorption of one front's dried part within a step.
//!
//! Rates are formed at the temperatures of the start of the step and follow those of its end to first order, so that
//! heat taken by desorption and the temperature that drives it are found together: with the rates held, long steps
//! would swing.

use crate::batch::state::{DEPTHS, ElementState};
use crate::food::DriedMatrix;
use crate::numerics::exponential::exp_each;
use crate::secondary::{SATURATION_0C_PA, saturation_ln};

/// How the water of each depth leaves at the temperatures of the start, and what one step makes of it. A depth from which
/// none leaves has rate and floor zero.
#[derive(Clone, Copy, Debug, Default)]
struct Depths {
    /// Between surface (0) and front (1).
    place: [f64; DEPTHS],
    /// Held before the step, and what is left of it in equilibrium, kg.
    sorbed_before_kg: [f64; DEPTHS],
    equilibrium_kg: [f64; DEPTHS],
    /// Rate constant, 1/s, and its relative slope against temperature, 1/K.
    rate_per_s: [f64; DEPTHS],
    activation_per_k: [f64; DEPTHS],
    /// Share of what is above equilibrium that stays over the step.
    retained_frac: [f64; DEPTHS],
    /// Held after the step at those temperatures, kg; less for each kelvin more, kg/K.
    left_kg: [f64; DEPTHS],
    per_k: [f64; DEPTHS],
}

/// Water given off in one step, linear in the temperatures of front and surface.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Desorption {
    heat_j_per_kg: f64,
    front_k: f64,
    top_k: f64,
    depths: Depths,
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
    /// State of the drying element.
    pub(super) element: &'a ElementState,
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
        let (matrix, element) = (start.matrix, start.element);
        self.heat_j_per_kg = matrix.heat_of_desorption_j_per_kg;
        self.front_k = start.front_k;
        self.top_k = start.top_k;
        self.h_s = 0.0;
        let cell_kg = start.dry_kg / DEPTHS as f64;
        self.depths = Depths::default();
        let d = &mut self.depths;
        let (mut dry_kg, mut here_pa) = ([0.0; DEPTHS], [0.0; DEPTHS]);
        let (mut ln_rate, mut ln_saturation) = ([0.0; DEPTHS], [0.0; DEPTHS]);
        for k in 0..DEPTHS {
            d.sorbed_before_kg[k] = element.sorbed_kg[k];
            dry_kg[k] = (element.passed_kg - k as f64 * cell_kg).clamp(0.0, cell_kg);
            if d.sorbed_before_kg[k] <= 0.0 || dry_kg[k] <= 1e-12 * cell_kg {
                dry_kg[k] = 0.0;
                continue;
            }
            let middle = (k as f64 * cell_kg + 0.5 * dry_kg[k]) / start.dry_kg;
            let place = place(k, (dry_kg[k] < cell_kg).then_some(middle));
            let here_k = start.top_k + place * (start.front_k - start.top_k);
            // the front's vapour fills the pores on its way out
            here_pa[k] = start.vapour_pa + place * (start.front_pa - start.vapour_pa);
            d.place[k] = place;
            (ln_rate[k], d.activation_per_k[k]) = matrix.desorption_ln_rate(here_k, d.sorbed_before_kg[k] / dry_kg[k]);
            ln_saturation[k] = saturation_ln(here_k);
        }
        let (growth, saturation) = (exp_each(&ln_rate), exp_each(&ln_saturation));
        for k in 0..DEPTHS {
            let activity = here_pa[k] / (SATURATION_0C_PA * saturation[k]);
            let equilibrium_kg = matrix.isotherm.water_per_dry(activity) * dry_kg[k];
            if dry_kg[k] > 0.0 && d.sorbed_before_kg[k] > equilibrium_kg {
                d.equilibrium_kg[k] = equilibrium_kg;
                d.rate_per_s[k] = matrix.desorption_rate_40c_per_s * growth[k];
            }
        }
    }

    /// What a step of this length gives off.
    pub(super) fn over(&mut self, h_s: f64) {
        // after a whole step its first half follows from the same start: a root is cheaper than an exponential
        let halved = h_s == 0.5 * self.h_s;
        self.h_s = h_s;
        let d = &mut self.depths;
        d.retained_frac =
            if halved { d.retained_frac.map(f64::sqrt) } else { exp_each(&d.rate_per_s.map(|rate| -rate * h_s)) };
        let (mut rate, mut slope) = ([0.0; 2], [0.0; 3]);
        for k in 0..DEPTHS {
            let retained_kg = (d.sorbed_before_kg[k] - d.equilibrium_kg[k]) * d.retained_frac[k];
            d.left_kg[k] = d.equilibrium_kg[k] + retained_kg;
            d.per_k[k] = retained_kg * d.rate_per_s[k] * h_s * d.activation_per_k[k];
            let (lost_kg, place) = (d.sorbed_before_kg[k] - d.left_kg[k], d.place[k]);
            rate[0] += lost_kg;
            rate[1] += lost_kg * place;
            slope[0] += d.per_k[k];
            slope[1] += d.per_k[k] * place;
            slope[2] += d.per_k[k] * place * place;
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
        let d = &self.depths;
        (0..DEPTHS).map(move |k| d.left_kg[k] - d.per_k[k] * (top + d.place[k] * (front - top)))
    }
}
