//! Balances at one iterate: chamber pressure, a front, a surface; each with its slopes.

use super::body::BodyStep;
use super::desorption::Desorbing;
use super::{Drying, Prescription, REFERENCE_K};
use crate::batch::cabinet::Drive;
use crate::food::FoodModel;
use crate::primary::{Sublimation, sublimation};
use crate::water;

/// Chamber pressure from the two unknowns, with slopes.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Chamber {
    pub(super) vapour_pa: f64,
    pub(super) per_deposition: f64,
    pub(super) per_coil_k: f64,
    pub(super) ice_surface_pa: f64,
}

/// A front and its surface at the current iterate.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct BodyNow {
    pub(super) front_k: f64,
    pub(super) top_k: f64,
    pub(super) sub: Sublimation,
    pub(super) desorbing: Desorbing,
}

/// Heat balance of a front at the current iterate, W, with slopes: the links to its neighbours come elsewhere.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct FrontBalance {
    /// Heat spent on vapour and handed to the dried part.
    pub(super) spent_w: f64,
    /// Heat held at the end of the step, J.
    pub(super) heat_j: f64,
    pub(super) per_front_k: f64,
    pub(super) per_below_k: f64,
    pub(super) per_top_k: f64,
    pub(super) per_pa: f64,
}

/// The same of a surface.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct SurfaceBalance {
    pub(super) spent_w: f64,
    pub(super) heat_j: f64,
    pub(super) per_top_k: f64,
    pub(super) per_front_k: f64,
    pub(super) per_pa: f64,
}

impl Drying<'_> {
    pub(super) fn chamber(&self, deposition_kg_per_s: f64, coil_k: f64, prescribed: Option<Prescription>) -> Chamber {
        if let Some(n) = prescribed {
            return Chamber { vapour_pa: n.vapour_pa, ..Chamber::default() };
        }
        let Drive::Machine { path_kg_per_s_pa, .. } = &self.stack.drive else { return Chamber::default() };
        let surface_k = coil_k + deposition_kg_per_s * self.deposit_resistance_k_s_per_kg;
        let capped = surface_k.min(273.15);
        // above melting keep a slope so that the balance still has a root: "too weak" is an answer, not an error
        let (ice_pa, slope) = water::ice_saturation(capped);
        let ice_surface_pa = ice_pa + slope * (surface_k - capped);
        Chamber {
            vapour_pa: ice_surface_pa + deposition_kg_per_s / path_kg_per_s_pa,
            per_deposition: slope * self.deposit_resistance_k_s_per_kg + 1.0 / path_kg_per_s_pa,
            per_coil_k: slope,
            ice_surface_pa,
        }
    }
}

impl BodyStep {
    /// Vapour of a body at the current iterate.
    #[inline]
    pub(super) fn now(&self, model: &FoodModel, front_k: f64, top_k: f64, vapour_pa: f64) -> BodyNow {
        BodyNow {
            front_k,
            top_k,
            sub: sublimation(model, &self.front, front_k, vapour_pa),
            desorbing: self.desorption.at(front_k, top_k),
        }
    }

    /// Storage, sublimation and desorption of a front. `below_k` is the shelf's temperature, which sets the mean of the
    /// frozen part of a layer.
    #[inline]
    pub(super) fn front_balance(&self, model: &FoodModel, passed_kg: f64, below_k: f64, now: &BodyNow) -> FrontBalance {
        let (curve, dry) = (&model.curve, model.dry_frac());
        let half_c = 0.5 * model.dried.heat_capacity_j_per_kg_k;
        let BodyNow { front_k, sub, desorbing, .. } = now;
        let (front_k, h_s) = (*front_k, self.front.h_s);
        let moved = sub.rate_kg_per_s * sub.dry_per_ice;
        let left = self.front.left_kg - moved * h_s;
        let passed = passed_kg + moved * h_s;
        let half_share = 0.5 * self.frozen_share;
        let mean_k = front_k + half_share * (below_k - front_k);
        let (h_front, c_front) = curve.enthalpy_and_slope(front_k);
        let (h_mean, c_mean) = if half_share > 0.0 { curve.enthalpy_and_slope(mean_k) } else { (h_front, c_front) };
        let sublime = water::heat_of_sublimation_j_per_kg(front_k.min(273.15));
        let handed = h_front / dry - half_c * (front_k - REFERENCE_K);
        let per_moved = (h_front - h_mean) / dry;
        let moved_slope = sub.slope_kg_per_s_k * sub.dry_per_ice + sub.rate_kg_per_s * sub.dry_per_ice_slope_per_k;
        FrontBalance {
            spent_w: sub.rate_kg_per_s * sublime + moved * handed + desorbing.front_w,
            heat_j: left / dry * h_mean + half_c * passed * (front_k - REFERENCE_K),
            per_front_k: (left / dry * c_mean * (1.0 - half_share) + half_c * passed) / h_s
                + sub.slope_kg_per_s_k * sublime
                + moved_slope * per_moved
                + moved * (c_front / dry - half_c)
                + desorbing.front_per_front_k,
            per_top_k: desorbing.across_per_k,
            per_below_k: left / dry * c_mean * half_share / h_s,
            per_pa: sub.slope_kg_per_s_pa * (sublime + sub.dry_per_ice * per_moved),
        }
    }

    /// Storage and vapour part of a surface's balance.
    #[inline]
    pub(super) fn surface_balance(&self, model: &FoodModel, passed_kg: f64, now: &BodyNow) -> SurfaceBalance {
        let half_c = 0.5 * model.dried.heat_capacity_j_per_kg_k;
        let BodyNow { front_k, top_k, sub, desorbing } = now;
        let moved = sub.rate_kg_per_s * sub.dry_per_ice;
        let passed = passed_kg + moved * self.front.h_s;
        let warming = sub.rate_kg_per_s * self.vapour_j_per_kg_k;
        let per_vapour = (self.vapour_j_per_kg_k + sub.dry_per_ice * half_c) * (top_k - front_k);
        SurfaceBalance {
            spent_w: warming * (top_k - front_k) - moved * half_c * (front_k - REFERENCE_K) + desorbing.top_w,
            heat_j: half_c * passed * (top_k - REFERENCE_K),
            per_top_k: half_c * passed / self.front.h_s + warming + desorbing.top_per_top_k,
            per_front_k: desorbing.across_per_k - warming - moved * half_c + sub.slope_kg_per_s_k * per_vapour,
            per_pa: sub.slope_kg_per_s_pa * per_vapour,
        }
    }
}
