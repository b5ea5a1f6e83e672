//! Balances at one iterate: chamber pressure, a front, a surface; each with its slopes.

use super::{Drying, Now, REFERENCE_K};
use crate::batch::cabinet::Drive;
use crate::batch::state::{HEAT_FRONT, HEAT_TOP, PASSED};
use crate::primary::Sublimation;
use crate::water;

/// Chamber pressure from the two unknowns, with slopes.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Chamber {
    pub(super) vapour_pa: f64,
    pub(super) per_deposit: f64,
    pub(super) per_wall_k: f64,
    pub(super) ice_surface_pa: f64,
}

/// Numbers of one front at the current iterate.
#[derive(Clone, Copy, Debug)]
pub(super) struct FrontBalance {
    pub(super) residual: f64,
    pub(super) per_front_k: f64,
    pub(super) per_below_k: f64,
    pub(super) per_top_k: f64,
    pub(super) per_pa: f64,
}

impl Drying<'_> {
    pub(super) fn chamber(&self, deposit: f64, wall_k: f64, now: Option<Now>) -> Chamber {
        if let Some(n) = now {
            return Chamber { vapour_pa: n.vapour_pa, ..Chamber::default() };
        }
        let Drive::Machine { path_kg_per_s_pa, .. } = &self.stack.drive else { return Chamber::default() };
        let surface_k = wall_k + deposit * self.deposit_resistance_k_s_per_kg;
        let capped = surface_k.min(273.15);
        // above melting keep a slope so that the balance still has a root: "too weak" is an answer, not an error
        let (ice_pa, slope) = water::ice_saturation(capped);
        let ice_surface_pa = ice_pa + slope * (surface_k - capped);
        Chamber {
            vapour_pa: ice_surface_pa + deposit / path_kg_per_s_pa,
            per_deposit: slope * self.deposit_resistance_k_s_per_kg + 1.0 / path_kg_per_s_pa,
            per_wall_k: slope,
            ice_surface_pa,
        }
    }

    /// Storage, sublimation and desorption in a front's balance (links come elsewhere), W, with slopes. `below_k` is
    /// the shelf's temperature, which sets the mean of the frozen part (a piece passes the front's own).
    #[expect(clippy::too_many_arguments, reason = "a front and all its balance hangs on")]
    pub(super) fn front_balance(
        &self,
        body: usize,
        old: &[f64],
        h_s: f64,
        front_k: f64,
        below_k: f64,
        top_k: f64,
        sub: &Sublimation,
    ) -> FrontBalance {
        let step = &self.steps[body];
        let model = &self.stack.trays[step.tray].tray.model;
        let curve = &model.curve;
        let dry = model.dry_frac();
        let c_dry = model.dried.heat_capacity_j_per_kg_k;
        let at = self.layout.body(body);
        let moved = sub.rate_kg_per_s * sub.dry_per_ice;
        let left = step.front.left_kg - moved * h_s;
        let passed = old[at + PASSED] + moved * h_s;
        let mean_k = front_k + 0.5 * step.frozen_share * (below_k - front_k);
        let (h_front, h_mean) = (curve.enthalpy_j_per_kg(front_k), curve.enthalpy_j_per_kg(mean_k));
        let heat = left / dry * h_mean + 0.5 * c_dry * passed * (front_k - REFERENCE_K);
        let sublime = water::heat_of_sublimation_j_per_kg(front_k.min(273.15));
        let desorbing = step.desorption.at(front_k, top_k);
        let handed = h_front / dry - 0.5 * c_dry * (front_k - REFERENCE_K);
        let residual =
            (heat - old[at + HEAT_FRONT]) / h_s + sub.rate_kg_per_s * sublime + moved * handed + desorbing.front_w;
        let c_mean = curve.apparent_heat_capacity_j_per_kg_k(mean_k);
        let per_moved = (h_front - h_mean) / dry;
        let moved_slope = sub.slope_kg_per_s_k * sub.dry_per_ice + sub.rate_kg_per_s * sub.dry_per_ice_slope_per_k;
        FrontBalance {
            residual,
            per_front_k: (left / dry * c_mean * (1.0 - 0.5 * step.frozen_share) + 0.5 * c_dry * passed) / h_s
                + sub.slope_kg_per_s_k * sublime
                + moved_slope * per_moved
                + moved * (curve.apparent_heat_capacity_j_per_kg_k(front_k) / dry - 0.5 * c_dry)
                + desorbing.front_per_front_k,
            per_top_k: desorbing.across_per_k,
            per_below_k: left / dry * c_mean * 0.5 * step.frozen_share / h_s,
            per_pa: sub.slope_kg_per_s_pa * (sublime + sub.dry_per_ice * per_moved),
        }
    }

    /// Storage and vapour part of a surface's balance (links come elsewhere): residual, slope against itself and
    /// against the front, W and W/K.
    pub(super) fn surface_balance(
        &self,
        body: usize,
        old: &[f64],
        h_s: f64,
        front_k: f64,
        top_k: f64,
        sub: &Sublimation,
    ) -> (f64, f64, f64) {
        let step = &self.steps[body];
        let half_c = 0.5 * self.stack.trays[step.tray].tray.model.dried.heat_capacity_j_per_kg_k;
        let at = self.layout.body(body);
        let moved = sub.rate_kg_per_s * sub.dry_per_ice;
        let passed = old[at + PASSED] + moved * h_s;
        let warming = sub.rate_kg_per_s * step.vapour_j_per_kg_k;
        let heat = half_c * passed * (top_k - REFERENCE_K);
        let desorbing = step.desorption.at(front_k, top_k);
        let residual = (heat - old[at + HEAT_TOP]) / h_s + warming * (top_k - front_k)
            - moved * half_c * (front_k - REFERENCE_K)
            + desorbing.top_w;
        let own = half_c * passed / h_s + warming + desorbing.top_per_top_k;
        let other = -warming - moved * half_c
            + desorbing.across_per_k
            + sub.slope_kg_per_s_k * (step.vapour_j_per_kg_k + sub.dry_per_ice * half_c) * (top_k - front_k);
        (residual, own, other)
    }
}
