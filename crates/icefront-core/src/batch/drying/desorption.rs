//! Desorption of one front's dried part within a step.
//!
//! Rates are formed at the temperatures of the start of the step and follow those of its end to first order, so that
//! heat taken by desorption and the temperature that drives it are found together: with the rates held, long steps
//! would swing.
//!
//! The heat that desorption takes bends the profile between front and surface below the straight line:
//! ```text
//! T(z) = T_s + z (T_i - T_s) - (G/k) sum q_j g(z, z_j)        g(z, y) = z (1 - y) for z < y, y (1 - z) for z > y
//! ```
//! with `z` the place between surface (0) and front (1), `q_j` the heat taken at depth `j`, W, and `G/k` the thermal resistance of
//! the dried layer, K/W: the steady profile between two temperatures. Even desorption leaves the middle `Q G/(8 k)` colder. What
//! is colder gives off less, so the sum follows from `Q = Q_0 exp(-c Q)`, with `Q_0` on the straight line and `c` the mean
//! slope of the rates against `Q`.

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
    /// Thermal resistance of the dried layer, K/W.
    pub(super) resistance_k_per_w: f64,
}

/// A profile that bends by less than this is straight, K.
const STRAIGHT_K: f64 = 0.02;

/// The root `w` of `w e^w = x` for `x >= 0` (Lambert's function), within 1e-6: from a logarithm by two Newton steps.
fn lambert(x: f64) -> f64 {
    let log = libm::log1p(x);
    let mut w = log * (1.0 - libm::log1p(log) / (2.0 + log));
    for _ in 0..2 {
        let at = x * libm::exp(-w);
        w = at * (1.0 + w) / (1.0 + at);
    }
    w
}

impl Depths {
    /// Rates and floors at the temperatures of a straight profile less `below_line_k`.
    fn rates(&mut self, start: &Start<'_>, dry_kg: &[f64; DEPTHS], below_line_k: &[f64; DEPTHS]) {
        let matrix = start.matrix;
        let (mut ln_rate, mut ln_saturation) = ([0.0; DEPTHS], [0.0; DEPTHS]);
        for k in 0..DEPTHS {
            if dry_kg[k] > 0.0 {
                let here_k = start.top_k + self.place[k] * (start.front_k - start.top_k) - below_line_k[k];
                (ln_rate[k], self.activation_per_k[k]) =
                    matrix.desorption_ln_rate(here_k, self.sorbed_before_kg[k] / dry_kg[k]);
                ln_saturation[k] = saturation_ln(here_k);
            }
        }
        let (growth, saturation) = (exp_each(&ln_rate), exp_each(&ln_saturation));
        for k in 0..DEPTHS {
            (self.equilibrium_kg[k], self.rate_per_s[k]) = (0.0, 0.0);
            // the front's vapour fills the pores on its way out
            let here_pa = start.vapour_pa + self.place[k] * (start.front_pa - start.vapour_pa);
            let activity = here_pa / (SATURATION_0C_PA * saturation[k]);
            let equilibrium_kg = matrix.isotherm.water_per_dry(activity) * dry_kg[k];
            if dry_kg[k] > 0.0 && self.sorbed_before_kg[k] > equilibrium_kg {
                self.equilibrium_kg[k] = equilibrium_kg;
                self.rate_per_s[k] = matrix.desorption_rate_40c_per_s * growth[k];
            }
        }
    }

    /// How far the profile bends below the straight line at each depth, K, from the rates on that line; `k_s_per_kg`
    /// is the fall of temperature for each kg/s that has to be heated across the whole dried layer.
    fn below_the_line_k(&self, k_s_per_kg: f64) -> [f64; DEPTHS] {
        let leaving: [f64; DEPTHS] =
            std::array::from_fn(|k| self.rate_per_s[k] * (self.sorbed_before_kg[k] - self.equilibrium_kg[k]));
        let total: f64 = leaving.iter().sum();
        if total * k_s_per_kg <= STRAIGHT_K {
            return [0.0; DEPTHS];
        }
        // sums of g over the depths above and below each one
        let (mut above, mut shape) = (0.0, [0.0; DEPTHS]);
        for k in 0..DEPTHS {
            let z = self.place[k];
            above += leaving[k] * z;
            shape[k] = (1.0 - z) * above;
        }
        let (mut below, mut under) = (0.0, 1.0);
        for k in (0..DEPTHS).rev() {
            let z = self.place[k];
            // a depth's own heat is spread over its thickness
            let over = if k > 0 { 0.5 * (z + self.place[k - 1]) } else { 0.0 };
            let thickness = (under - over).clamp(0.0, 1.0);
            shape[k] = (shape[k] + z * below - leaving[k] * thickness / 8.0) / total;
            below += leaving[k] * (1.0 - z);
            under = over;
        }
        let slope = (0..DEPTHS).map(|k| leaving[k] * self.activation_per_k[k] * shape[k]).sum::<f64>() / total;
        let slope_s_per_kg = slope * k_s_per_kg;
        let leaving_kg_per_s =
            if slope_s_per_kg > 0.0 { lambert(slope_s_per_kg * total) / slope_s_per_kg } else { total };
        shape.map(|share| (share * leaving_kg_per_s * k_s_per_kg).max(0.0))
    }
}

impl Desorption {
    /// Rates at the start of a step; `place` is the place of a depth, given its number and its middle as a share of all dry
    /// matter (`None`: passed as a whole).
    pub(super) fn start(&mut self, start: &Start<'_>, place: impl Fn(usize, Option<f64>) -> f64) {
        let element = start.element;
        self.heat_j_per_kg = start.matrix.heat_of_desorption_j_per_kg;
        self.front_k = start.front_k;
        self.top_k = start.top_k;
        self.h_s = 0.0;
        let cell_kg = start.dry_kg / DEPTHS as f64;
        self.depths = Depths::default();
        let d = &mut self.depths;
        d.sorbed_before_kg = element.sorbed_kg;
        let mut dry_kg = [0.0; DEPTHS];
        for (k, dry_kg) in dry_kg.iter_mut().enumerate() {
            let passed_kg = (element.passed_kg - k as f64 * cell_kg).clamp(0.0, cell_kg);
            if d.sorbed_before_kg[k] > 0.0 && passed_kg > 1e-12 * cell_kg {
                *dry_kg = passed_kg;
                let middle = (k as f64 * cell_kg + 0.5 * passed_kg) / start.dry_kg;
                d.place[k] = place(k, (passed_kg < cell_kg).then_some(middle));
            }
        }
        d.rates(start, &dry_kg, &[0.0; DEPTHS]);
        let below_line_k = d.below_the_line_k(start.resistance_k_per_w * self.heat_j_per_kg);
        if below_line_k.iter().any(|k| *k > STRAIGHT_K) {
            d.rates(start, &dry_kg, &below_line_k);
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
