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

use wide::{CmpGt, f64x2};

use crate::batch::state::{DEPTHS, ElementState};
use crate::food::DriedMatrix;
use crate::numerics::exponential::exp_pair;
use crate::secondary::{SATURATION_0C_PA, saturation_ln};

/// A number for each depth, two depths at a time.
type Pairs = [f64x2; DEPTHS / 2];
/// Lanes of a pair.
const LANES: usize = 2;
const _: () = assert!(DEPTHS.is_multiple_of(LANES), "depths come in pairs");

/// How the water of each depth leaves at the temperatures of the start, and what one step makes of it. A depth from which
/// none leaves has rate and floor zero.
#[derive(Clone, Copy, Debug, Default)]
struct Depths {
    /// Pairs that the front has reached: what lies further in is not looked at.
    reached: usize,
    /// Between surface (0) and front (1).
    place: Pairs,
    /// Dry matter that the front has passed, kg.
    dry_kg: Pairs,
    /// Held before the step, and what is left of it in equilibrium, kg.
    sorbed_before_kg: Pairs,
    equilibrium_kg: Pairs,
    /// Logarithm of how much faster loosely held water leaves.
    loose: Pairs,
    /// Rate constant, 1/s, and its relative slope against temperature, 1/K.
    rate_per_s: Pairs,
    activation_per_k: Pairs,
    /// Share of what is above equilibrium that stays over the step.
    retained_frac: Pairs,
    /// Held after the step at those temperatures, kg; less for each kelvin more, kg/K.
    left_kg: Pairs,
    per_k: Pairs,
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
const STRAIGHT_K: f64 = 0.1;

/// The root `w` of `w e^w = x` for `x >= 0` (Lambert's function), within 1e-6: two Newton steps from the Pade approximant of
/// its series `x - x^2 + 3/2 x^3 - ...` where that is near enough, from a logarithm elsewhere.
fn lambert(x: f64) -> f64 {
    let mut w = if x < 1.0 {
        x * (1.0 + 4.0 / 3.0 * x) / (1.0 + x * (7.0 / 3.0 + 5.0 / 6.0 * x))
    } else {
        let log = libm::log1p(x);
        log * (1.0 - libm::log1p(log) / (2.0 + log))
    };
    for _ in 0..2 {
        let at = x * libm::exp(-w);
        w = at * (1.0 + w) / (1.0 + at);
    }
    w
}

/// Numbers of all depths one after the other.
fn each(pairs: &Pairs) -> [f64; DEPTHS] {
    std::array::from_fn(|k| pairs[k / LANES].as_array_ref()[k % LANES])
}

impl Depths {
    /// Rates and floors at the temperatures of a straight profile less `below_line_k`.
    fn rates(&mut self, start: &Start<'_>, below_line_k: &[f64; DEPTHS]) {
        let matrix = start.matrix;
        for p in 0..self.reached {
            let below_line_k = f64x2::from([below_line_k[LANES * p], below_line_k[LANES * p + 1]]);
            let (place, dry_kg) = (self.place[p], self.dry_kg[p]);
            let here_k = place * (start.front_k - start.top_k) + start.top_k - below_line_k;
            let (warmth, activation_per_k) = matrix.desorption_warmth(here_k);
            self.activation_per_k[p] = activation_per_k;
            let saturation_pa = exp_pair(saturation_ln(here_k)) * SATURATION_0C_PA;
            // the front's vapour fills the pores on its way out
            let here_pa = place * (start.front_pa - start.vapour_pa) + start.vapour_pa;
            let equilibrium_kg = matrix.isotherm.water_per_dry_at(here_pa / saturation_pa) * dry_kg;
            // where the front has not been, or nothing is above equilibrium, nothing leaves
            let leaves = dry_kg.cmp_gt(f64x2::ZERO) & self.sorbed_before_kg[p].cmp_gt(equilibrium_kg);
            self.equilibrium_kg[p] = equilibrium_kg & leaves;
            self.rate_per_s[p] = (exp_pair(warmth + self.loose[p]) * matrix.desorption_rate_40c_per_s) & leaves;
        }
    }

    /// How far the profile bends below the straight line at each depth, K, from the rates on that line; `k_s_per_kg`
    /// is the fall of temperature for each kg/s that has to be heated across the whole dried layer. `None`: it is straight.
    fn below_the_line_k(&self, k_s_per_kg: f64) -> Option<[f64; DEPTHS]> {
        let mut leaving = [f64x2::ZERO; DEPTHS / 2];
        let mut total = f64x2::ZERO;
        for (p, leaving) in leaving.iter_mut().enumerate().take(self.reached) {
            *leaving = self.rate_per_s[p] * (self.sorbed_before_kg[p] - self.equilibrium_kg[p]);
            total += *leaving;
        }
        let total = total.reduce_add();
        if total * k_s_per_kg <= STRAIGHT_K {
            return None;
        }
        let (leaving, place, activation_per_k) = (each(&leaving), each(&self.place), each(&self.activation_per_k));
        let depths = LANES * self.reached;
        // sums of g over the depths above and below each one
        let (mut above, mut shape) = (0.0, [0.0; DEPTHS]);
        for k in 0..depths {
            let z = place[k];
            above += leaving[k] * z;
            shape[k] = (1.0 - z) * above;
        }
        let (mut below, mut under, mut slope, per_total) = (0.0, 1.0, 0.0, 1.0 / total);
        for k in (0..depths).rev() {
            let z = place[k];
            // a depth's own heat is spread over its thickness
            let over = if k > 0 { 0.5 * (z + place[k - 1]) } else { 0.0 };
            let thickness = (under - over).clamp(0.0, 1.0);
            shape[k] = (shape[k] + z * below - leaving[k] * thickness / 8.0) * per_total;
            below += leaving[k] * (1.0 - z);
            under = over;
            slope += leaving[k] * activation_per_k[k] * shape[k];
        }
        let slope_s_per_kg = slope * per_total * k_s_per_kg;
        let leaving_kg_per_s =
            if slope_s_per_kg > 0.0 { lambert(slope_s_per_kg * total) / slope_s_per_kg } else { total };
        let below_line_k = shape.map(|share| (share * leaving_kg_per_s * k_s_per_kg).max(0.0));
        below_line_k.iter().any(|k| *k > STRAIGHT_K).then_some(below_line_k)
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
        let d = &mut self.depths;
        d.reached = 0;
        for (p, sorbed_kg) in element.sorbed_kg.as_chunks::<LANES>().0.iter().enumerate() {
            let passed_kg: [f64; LANES] =
                std::array::from_fn(|i| (element.passed_kg - (LANES * p + i) as f64 * cell_kg).clamp(0.0, cell_kg));
            if passed_kg[0] <= 1e-12 * cell_kg {
                break;
            }
            let (mut places, mut dry_kg) = ([0.0; LANES], [0.0; LANES]);
            for i in 0..LANES {
                if sorbed_kg[i] > 0.0 && passed_kg[i] > 1e-12 * cell_kg {
                    let k = LANES * p + i;
                    dry_kg[i] = passed_kg[i];
                    let middle = (k as f64 * cell_kg + 0.5 * passed_kg[i]) / start.dry_kg;
                    places[i] = place(k, (passed_kg[i] < cell_kg).then_some(middle));
                }
            }
            (d.place[p], d.dry_kg[p], d.sorbed_before_kg[p]) = (places.into(), dry_kg.into(), (*sorbed_kg).into());
            d.loose[p] = start.matrix.desorption_loose(d.sorbed_before_kg[p], d.dry_kg[p]);
            d.reached = p + 1;
        }
        d.rates(start, &[0.0; DEPTHS]);
        if let Some(below_line_k) = d.below_the_line_k(start.resistance_k_per_w * self.heat_j_per_kg) {
            d.rates(start, &below_line_k);
        }
    }

    /// What a step of this length gives off.
    pub(super) fn over(&mut self, h_s: f64) {
        // after a whole step its first half follows from the same start: a root is cheaper than an exponential
        let halved = h_s == 0.5 * self.h_s;
        self.h_s = h_s;
        let d = &mut self.depths;
        let (mut rate, mut slope) = ([f64x2::ZERO; 2], [f64x2::ZERO; 3]);
        for p in 0..d.reached {
            let (rate_per_s, place) = (d.rate_per_s[p], d.place[p]);
            d.retained_frac[p] = if halved { d.retained_frac[p].sqrt() } else { exp_pair(rate_per_s * -h_s) };
            let retained_kg = (d.sorbed_before_kg[p] - d.equilibrium_kg[p]) * d.retained_frac[p];
            d.left_kg[p] = d.equilibrium_kg[p] + retained_kg;
            d.per_k[p] = retained_kg * rate_per_s * h_s * d.activation_per_k[p];
            let (lost_kg, deeper_per_k) = (d.sorbed_before_kg[p] - d.left_kg[p], d.per_k[p] * place);
            rate[0] += lost_kg;
            rate[1] += lost_kg * place;
            slope[0] += d.per_k[p];
            slope[1] += deeper_per_k;
            slope[2] += deeper_per_k * place;
        }
        let per_s = 1.0 / h_s;
        self.rate = rate.map(|kg| kg.reduce_add() * per_s);
        self.slope = slope.map(|kg_per_k| kg_per_k.reduce_add() * per_s);
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

    /// Water held at the end of the step by each depth that the front had reached at its start, from the surface, kg.
    pub(super) fn left_kg(&self, front_k: f64, top_k: f64) -> impl Iterator<Item = f64> + '_ {
        let (front, top) = (front_k - self.front_k, top_k - self.top_k);
        let d = &self.depths;
        (0..d.reached).flat_map(move |p| (d.left_kg[p] - d.per_k[p] * (d.place[p] * (front - top) + top)).to_array())
    }
}

#[cfg(test)]
mod tests {
    use super::lambert;

    #[test]
    fn lambert_is_the_inverse_of_w_exp_w() {
        for k in 0..=700 {
            let w = 0.01 * f64::from(k);
            let x = w * libm::exp(w);
            approx::assert_relative_eq!(lambert(x), w, epsilon = 1e-12, max_relative = 1e-6);
        }
    }
}
