//! One layer under fixed conditions, resolved in depth: the check on the sharp-front model with linear profiles.
//!
//! # Main equations
//! Depth `z` from the top; front at `l`; dried part above it, frozen part below it:
//! ```text
//! dried   rho_d c_d dT/dt = d/dz(k dT/dz) + N c_v dT/dz - rho_d r (dh_d)         0 < z < l
//!         dX/dt = -r = -k_d(T, X)(X - X_eq(T, p))        X = X_u(T_i) where the front has just passed
//!         N(z) = N_i + integral of rho_d r from z to l    K(p, T) dp/dz = N       p(0) = p_v + N(0) R_skin
//! frozen  rho dH(T)/dt = d/dz(k_f dT/dz)                                          l < z < L
//! front   N_i dh_sub(T_i) = heat from both sides          N_i = [p_ice(T_i) - p(l)]/R_k
//!         N_i = rho_d [X_0 - X_u(T_i)] dl/dt
//! ```
//! Both parts are stretched to fixed grids (Landau). A cell's moving faces sweep up what they pass, so water and
//! heat are kept by construction; conduction and warming of the vapour go together as the exponential flux, exact
//! for steady profiles. Implicit Euler with extrapolation; every step is a bracketed root in `T_i` over two
//! tridiagonal solves, repeated until pressures, radiation and desorption agree with the temperatures.
//!
//! # Assumptions and limits
//! The same properties and the same limits as the batch: constant conductivity in each part at the chamber's
//! pressure, heat capacity of held water left out, no vapour stored in pores, no deposition. What it does resolve:
//! temperature profiles and heat stored in them, pressure and permeability by depth, vapour of desorption in the
//! flow, desorption at each depth's own temperature and pressure.
//!
//! # Checked against
//! Itself on halved grids and tolerances, and its sums, `tests/verification.rs`.
//!
//! # References
//! Landau 1950 (front-fixing); Scharfetter and Gummel 1969 (exponential flux).

mod profile;
mod step;

use crate::ideal::{FrontPoint, Layer};
use icefront_core::error::{ModelError, check};
use icefront_core::numerics::stepper::Stepper;
use step::System;

/// How finely a run is resolved.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Resolution {
    /// Cells in the dried part.
    pub dried: usize,
    /// Cells in the frozen part.
    pub frozen: usize,
    /// Error allowed per step, share of the layer's depth.
    pub tolerance: f64,
}

impl Default for Resolution {
    /// Within 0.1 % of the converged time.
    fn default() -> Self {
        Self { dried: 40, frozen: 20, tolerance: 2e-5 }
    }
}

/// Water held by a layer after its last ice.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct HeldPoint {
    /// From the start of drying, s.
    pub time_s: f64,
    /// Mean over the depth, kg/kg dry.
    pub mean_per_dry: f64,
    /// In the wettest of ten equal depths, kg/kg dry.
    pub wettest_per_dry: f64,
}

/// A layer dried to its last ice and on.
#[derive(Clone, Debug, PartialEq)]
pub struct Resolved {
    /// Course of the front.
    pub course: Vec<FrontPoint>,
    /// Time of the last ice, s.
    pub ice_gone_s: f64,
    /// Water left at that time, mean over the depth, kg/kg dry.
    pub held_per_dry: f64,
    /// Water held from then on.
    pub held: Vec<HeldPoint>,
    /// Water not accounted for over water loaded.
    pub mass_rel: f64,
    /// Heat not accounted for over heat taken in.
    pub energy_rel: f64,
}

/// Ice left, share of the depth, at which the run ends; the rest goes at the last pace.
const ENOUGH: f64 = 1e-4;
const FIRST_STEP_S: f64 = 0.1;
const LONGEST_STEP_S: f64 = 1_800.0;
const MOST_STEPS: usize = 200_000;

/// Dries a layer that starts at one temperature.
///
/// # Errors
/// [`ModelError::OutOfRange`] for a depth, grid or start that is none; [`ModelError::NotConverged`] if the ice is not
/// gone after the most steps allowed.
pub fn dry(layer: &Layer<'_>, start_k: f64, resolution: &Resolution) -> Result<Resolved, ModelError> {
    check("depth", layer.depth_m, "m", 1e-5, 1.0)?;
    check("cells", resolution.dried.min(resolution.frozen) as f64, "-", 2.0, 1e4)?;
    check("start temperature", start_k, "K", 200.0, layer.model.curve.freezing_point_k)?;
    let mut system = System::new(*layer, *resolution, start_k);
    let mut state = system.start(start_k);
    let (start_j, loaded_kg) = (system.heat_j(&state), system.water_kg(&state));
    let mut stepper = Stepper::new(&state, FIRST_STEP_S, LONGEST_STEP_S).with_most_attempts(MOST_STEPS);
    let depth_m = layer.depth_m;
    let (mut t, mut pace_m_per_s, mut course) = (0.0, 0.0, Vec::new());
    while state.dried_m < (1.0 - ENOUGH) * depth_m {
        if course.len() > MOST_STEPS {
            let residual = 1.0 - state.dried_m / depth_m;
            return Err(ModelError::NotConverged { what: "last ice", at_s: t, residual, limit: ENOUGH });
        }
        let before_m = state.dried_m;
        // at the last pace only part of the rest goes in one step: the front nears the bottom without passing it
        let rest_s = if pace_m_per_s > 0.0 { 0.8 * (depth_m - before_m) / pace_m_per_s } else { LONGEST_STEP_S };
        let h = stepper.advance(&mut system, t, rest_s.max(1.0), &mut state)?;
        t += h;
        pace_m_per_s = (state.dried_m - before_m) / h;
        course.push(system.point(&state, t));
    }
    let ice_gone_s = t + (depth_m - state.dried_m) / pace_m_per_s;
    let held_per_dry = system.held_per_dry(&state);
    let held = secondary(&mut system, &mut state, ice_gone_s)?;
    let through_j = state.heat_in_j.abs() + state.heat_out_j.abs();
    Ok(Resolved {
        course,
        ice_gone_s,
        held_per_dry,
        held,
        mass_rel: (system.water_kg(&state) + state.sublimed_kg + state.desorbed_kg - loaded_kg).abs() / loaded_kg,
        energy_rel: (system.heat_j(&state) - start_j - state.heat_in_j + state.heat_out_j).abs() / through_j,
    })
}

/// Water at which the run ends, kg/kg dry, and after how many steps at the latest.
const DRY_PER_DRY: f64 = 0.02;
const MOST_DRY_STEPS: usize = 2_000;
const LONGEST_DRY_STEP_S: f64 = 120.0;

/// Dries on without ice until all depths hold at most [`DRY_PER_DRY`]; the sliver of ice that is left counts as bound water.
fn secondary(system: &mut System<'_>, state: &mut step::LayerState, from_s: f64) -> Result<Vec<HeldPoint>, ModelError> {
    system.lose_the_last_ice(state);
    let mut stepper = Stepper::new(state, 1.0, LONGEST_DRY_STEP_S).with_most_attempts(MOST_STEPS);
    let (mut time_s, mut held) = (from_s, vec![system.held_point(state, from_s)]);
    while held.last().is_some_and(|point| point.wettest_per_dry > DRY_PER_DRY) && held.len() < MOST_DRY_STEPS {
        time_s += stepper.advance(system, time_s, LONGEST_DRY_STEP_S, state)?;
        held.push(system.held_point(state, time_s));
    }
    Ok(held)
}

impl Resolved {
    /// When the wettest of ten depths falls to this moisture, wet basis, s; infinite if never.
    pub fn dry_s(&self, wet_frac: f64) -> f64 {
        let target = wet_frac / (1.0 - wet_frac);
        let crossed = self.held.windows(2).find(|pair| pair[1].wettest_per_dry <= target);
        crossed.map_or(f64::INFINITY, |pair| {
            let (before, after) = (pair[0].wettest_per_dry, pair[1].wettest_per_dry);
            let share = (before / target).ln() / (before / after).ln();
            pair[0].time_s + share.clamp(0.0, 1.0) * (pair[1].time_s - pair[0].time_s)
        })
    }
}
