//! The resolved slab as ordinary differential equations: the method of lines, for any integrator.
//!
//! # Equations
//! Those of `icefront_validation::resolved`, cut into `n` dried and `m` frozen cells that stretch with the front (Landau).
//! Dried thickness `l` of depth `L`, face `j` of the dried part moving at `s_j = l' j/n`:
//! ```text
//! dried   C w dT_j/dt = F_(j+1) - F_j - d_j (dh_d - c_v T_j) + C [s_(j+1)(T_below - T_j) - s_j (T_above - T_j)]
//!         F_j = g [B(-P) T_below - B(P) T_above]    P = N_j c_v/g    B(x) = x/(e^x - 1)     exponential flux
//!         rho_d w dX_j/dt = -d_j + rho_d [s_(j+1)(X_below - X_j) - s_j (X_above - X_j)]
//!         d_j = rho_d w k_d(T_j, X_j) max(0, X_j - X_eq(T_j, p_j))                           desorption
//! vapour  N_j = N_(j+1) + d_j      K(p, T_j) dp/dz = N      p at the front = p_ice(T_i) - N_i R_k
//! frozen  rho w_f dH_i/dt = conduction - rho [s_i (H_above - H_i) - s_(i+1)(H_below - H_i)],  s_i = l' (m - i)/m
//! front   N_i dh_sub(T_i) = heat from both half cells,   l' = N_i/(rho x_ice(T_i))
//! ```
//! `X` at the front is what the freezing curve leaves unfrozen at `T_i`. For a guessed `T_i` the heat gives `N_i`, and
//! pressure follows cell by cell up to the surface; the secant method finds the `T_i` at which it ends at the chamber's.
//!
//! The variable is the share dried, `s = l/L`, not time: the end then needs no search. State, scaled to order one:
//! time in hours; `T` over 100 K (never near zero, where difference quotients fail); `X`; `H` over 20 kJ/kg.
//!
//! # Assumptions and limits
//! No adsorption. From `FIRST` to `LAST`, where cells still have a width; the ends are passed at the pace there.

use icefront_core::constants::ZERO_CELSIUS_K;
use icefront_core::primary::surface_kinetics_m2_s_pa_per_kg;
use icefront_validation::ideal::Layer;
use icefront_core::water;

/// Share dried at which the integration starts and ends.
pub const FIRST: f64 = 0.001;
pub const LAST: f64 = 0.995;
/// Units of the state.
pub const HOUR_S: f64 = 3_600.0;
pub const KELVINS: f64 = 100.0;
pub const J_PER_KG: f64 = 2e4;
/// Heat capacity of vapour, J/(kg K). Source: IAPWS R6-95, near 0 degC.
pub const VAPOUR_J_PER_KG_K: f64 = 1_860.0;
const FRONT_K: f64 = 1e-10;
/// Most of one step of the secant method, K, and of the number of steps.
const MOST_K: f64 = 1.0;
const MOST_ROUNDS: usize = 60;
/// Trial states of an integrator may be wild: dried food, K from 0 degC, and front, K, are held within these.
const WILD_K: f64 = 100.0;
const COLDEST_K: f64 = 200.0;
const WARMEST_K: f64 = 271.0;

/// The slab cut into cells.
#[derive(Clone, Copy)]
pub struct Lines<'a> {
    pub slab: Layer<'a>,
    pub dried: usize,
    pub frozen: usize,
}

/// What one dried cell brings to every guess of the front.
#[derive(Clone, Copy, Default)]
struct Cell {
    rate_kg_per_s: f64,
    saturation_pa: f64,
    permeability: f64,
    permeability_per_pa: f64,
}

/// Vapour for one guess of the front.
struct Front {
    surface_pa: f64,
    vapour_kg_per_s: f64,
}

/// `x/(e^x - 1)`.
fn bernoulli(x: f64) -> f64 {
    if x.abs() < 1e-6 { 1.0 - 0.5 * x } else { x / x.exp_m1() }
}

impl Lines<'_> {
    /// Length of the state.
    pub fn len(&self) -> usize {
        1 + 2 * self.dried + self.frozen
    }

    /// State at `FIRST`, all at one temperature, K.
    pub fn start(&self, start_k: f64) -> Vec<f64> {
        let curve = &self.slab.model.curve;
        let mut state = vec![0.0; self.len()];
        let (held, frozen) = (1 + self.dried, 1 + 2 * self.dried);
        state[1..held].fill(start_k / KELVINS);
        state[held..frozen].fill(curve.unfrozen_per_dry(start_k));
        state[frozen..].fill(curve.enthalpy_j_per_kg(start_k) / J_PER_KG);
        state
    }

    /// Hours of the last ice, from the state at `LAST` and the state at the start.
    pub fn hours(&self, start: &[f64], end: &[f64]) -> f64 {
        let mut slope = vec![0.0; self.len()];
        self.slopes(FIRST, start, &mut slope);
        let before = FIRST * slope[0];
        self.slopes(LAST, end, &mut slope);
        before + end[0] + (1.0 - LAST) * slope[0]
    }

    /// Slopes of the state against the share dried.
    pub fn slopes(&self, share: f64, state: &[f64], slopes: &mut [f64]) {
        let (slab, model, n, m) = (&self.slab, self.slab.model, self.dried, self.frozen);
        let matrix = &model.dried;
        let (held, frozen) = (1 + n, 1 + 2 * n);
        let thickness_m = share * slab.depth_m;
        let width_m = thickness_m / n as f64;
        let dry_kg_per_m3 = model.density_kg_per_m3 * model.dry_frac();
        let capacity = dry_kg_per_m3 * matrix.heat_capacity_j_per_kg_k;
        let conductivity = matrix.conductivity_at(slab.chamber.vapour_pa + slab.chamber.air_pa);
        let celsius = |j: usize| (state[1 + j] * KELVINS - ZERO_CELSIUS_K).clamp(-WILD_K, WILD_K);
        let water = |j: usize| state[held + j];
        let enthalpy = |i: usize| state[frozen + i] * J_PER_KG;
        let frozen_m = (slab.depth_m - thickness_m) / m as f64;
        let between = model.conductivity_frozen_w_per_m_k / frozen_m;
        let frozen_k: Vec<f64> = (0..m).map(|i| model.curve.temperature_k(enthalpy(i))).collect();

        let cells: Vec<Cell> = (0..n)
            .map(|j| {
                let t = celsius(j) + ZERO_CELSIUS_K;
                let bare = matrix.permeability_at(0.0, t);
                Cell {
                    rate_kg_per_s: dry_kg_per_m3 * width_m * matrix.desorption_rate_per_s(t, water(j)),
                    saturation_pa: icefront_core::secondary::saturation_estimate_pa(t),
                    permeability: bare,
                    permeability_per_pa: matrix.permeability_at(1.0, t) - bare,
                }
            })
            .collect();
        let mut flow = vec![0.0; n + 1];
        let half_g = 2.0 * conductivity / width_m;
        let mut front = |front_k: f64| -> Front {
            // heat to the front; the vapour's own share of it is small, so that repeating settles at once
            let latent = water::heat_of_sublimation_j_per_kg(front_k);
            let warmer_k = celsius(n - 1) + ZERO_CELSIUS_K - front_k;
            let from_frozen = 2.0 * between * (frozen_k[0] - front_k);
            let mut vapour = (from_frozen + half_g * warmer_k) / latent;
            for _ in 0..8 {
                vapour = (from_frozen + half_g * bernoulli(vapour * VAPOUR_J_PER_KG_K / half_g) * warmer_k) / latent;
            }
            let mut pa = water::ice_vapour_pressure_pa(front_k) - vapour * surface_kinetics_m2_s_pa_per_kg(front_k);
            flow[n] = vapour;
            for j in (0..n).rev() {
                let up = |pa: f64, flow: f64| {
                    // K is linear in p, so K dp = N dz is a quadratic; p is below zero only in a bad guess
                    let per_pa = cells[j].permeability_per_pa;
                    let here = cells[j].permeability + per_pa * pa.max(0.0);
                    pa - flow * width_m / (here + (here * here - per_pa * flow * width_m).max(0.0).sqrt())
                };
                pa = up(pa, flow[j + 1]);
                let floor = matrix.isotherm.water_per_dry(pa / cells[j].saturation_pa);
                flow[j] = flow[j + 1] + cells[j].rate_kg_per_s * (water(j) - floor).max(0.0);
                pa = up(pa, flow[j]);
            }
            Front { surface_pa: pa - flow[0] * matrix.skin_resistance_m2_s_pa_per_kg, vapour_kg_per_s: vapour }
        };
        // secant for the front's temperature
        let mut old_k = frozen_k[0].clamp(COLDEST_K, WARMEST_K);
        let mut front_k = old_k - 0.1;
        let mut old_pa = front(old_k).surface_pa - slab.chamber.vapour_pa;
        let mut found = front(front_k);
        for _ in 0..MOST_ROUNDS {
            let pa = found.surface_pa - slab.chamber.vapour_pa;
            if (front_k - old_k).abs() < FRONT_K || pa == old_pa {
                break;
            }
            let step_k = (-pa * (front_k - old_k) / (pa - old_pa)).clamp(-MOST_K, MOST_K);
            (old_k, old_pa, front_k) = (front_k, pa, (front_k + step_k).clamp(COLDEST_K, WARMEST_K));
            found = front(front_k);
        }
        let vapour = found.vapour_kg_per_s;
        let pace_m_per_s = vapour / (model.density_kg_per_m3 * model.curve.ice_frac(front_k));
        let front_c = front_k - ZERO_CELSIUS_K;

        // dried surface: a_0 T_0 - b_0 T_s + h (T_a - T_s) = N_0 c_v T_s
        let surface_x = flow[0] * VAPOUR_J_PER_KG_K / half_g;
        let (a, b) = (half_g * bernoulli(-surface_x), half_g * bernoulli(surface_x));
        let above_c = slab.above.from_k - ZERO_CELSIUS_K;
        let mut surface_c = celsius(0);
        for _ in 0..12 {
            let h = slab.above.coefficient_w_per_m2_k(surface_c + ZERO_CELSIUS_K);
            surface_c = (a * celsius(0) + h * above_c) / (b + h + flow[0] * VAPOUR_J_PER_KG_K);
        }
        let up = |j: usize| -> f64 {
            let g = if j == 0 || j == n { half_g } else { 0.5 * half_g };
            let (below, above) =
                (if j == n { front_c } else { celsius(j) }, if j == 0 { surface_c } else { celsius(j - 1) });
            let x = flow[j] * VAPOUR_J_PER_KG_K / g;
            g * (bernoulli(-x) * below - bernoulli(x) * above)
        };
        // per second; divided by the pace below
        let entering = model.curve.unfrozen_per_dry(front_k);
        let mut flux_above = up(0);
        for j in 0..n {
            let (s_up, s_down) = (pace_m_per_s * j as f64 / n as f64, pace_m_per_s * (j + 1) as f64 / n as f64);
            let flux_below = up(j + 1);
            let last = j + 1 == n;
            let warmer = if last { front_c - celsius(j) } else { 0.5 * (celsius(j + 1) - celsius(j)) };
            let wetter = if last { entering - water(j) } else { 0.5 * (water(j + 1) - water(j)) };
            let (cooler, drier) = if j == 0 {
                (0.0, 0.0)
            } else {
                (0.5 * (celsius(j - 1) - celsius(j)), 0.5 * (water(j - 1) - water(j)))
            };
            let desorbing = flow[j] - flow[j + 1];
            let heat = flux_below
                - flux_above
                - desorbing * (matrix.heat_of_desorption_j_per_kg - VAPOUR_J_PER_KG_K * celsius(j))
                + capacity * (s_down * warmer - s_up * cooler);
            slopes[1 + j] = heat / (capacity * width_m) / KELVINS;
            slopes[held + j] = -desorbing / (dry_kg_per_m3 * width_m) + (s_down * wetter - s_up * drier) / width_m;
            flux_above = flux_below;
        }
        let below = 1.0 / (1.0 / slab.below.w_per_m2_k + 0.5 * frozen_m / model.conductivity_frozen_w_per_m_k);
        let front_h = model.curve.enthalpy_j_per_kg(front_k);
        for i in 0..m {
            let (s_up, s_down) =
                (pace_m_per_s * (m - i) as f64 / m as f64, pace_m_per_s * (m - i - 1) as f64 / m as f64);
            let (mut heat, mut swept) = if i == 0 {
                (2.0 * between * (front_k - frozen_k[0]), -s_up * (front_h - enthalpy(0)))
            } else {
                (between * (frozen_k[i - 1] - frozen_k[i]), -0.5 * s_up * (enthalpy(i - 1) - enthalpy(i)))
            };
            if i + 1 < m {
                heat += between * (frozen_k[i + 1] - frozen_k[i]);
                swept += 0.5 * s_down * (enthalpy(i + 1) - enthalpy(i));
            } else {
                heat += below * (slab.below.from_k - frozen_k[i]);
            }
            slopes[frozen + i] = (heat / model.density_kg_per_m3 + swept) / frozen_m / J_PER_KG;
        }
        slopes[0] = 1.0 / HOUR_S;
        let share_per_s = pace_m_per_s / slab.depth_m;
        slopes.iter_mut().for_each(|slope| *slope /= share_per_s);
    }
}
