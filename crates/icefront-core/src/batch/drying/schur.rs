//! The bordered system: deposition rate and coil temperature, the two unknowns shared by the whole stack, from the Schur
//! complement of all the others.

use nalgebra::{Matrix2, Vector2};

use super::Drying;
use super::assembly::{Border, ShelfRhs, Sums};
use super::balance::Chamber;
use super::commit::deposit_heat_j_per_kg;
use crate::batch::cabinet::Drive;
use crate::batch::state::DryingState;
use crate::machine::vapour_path;

/// Gas on its way to the pump, K (room temperature; a few grams per hour depend on it).
const PUMP_GAS_K: f64 = 293.15;

impl Drying<'_> {
    /// Solves for the two.
    pub(super) fn border(&self, h_s: f64, old: &DryingState, chamber: &Chamber, sums: &Sums) -> Border {
        let Drive::Machine { cabinet, refrigerator, .. } = &self.stack.drive else { return Border::default() };
        let (deposition_kg_per_s, coil_k) = (self.now.deposition_kg_per_s, self.now.coil_k);
        let pump = vapour_path::pump_vapour_kg_per_s_pa(&cabinet.vacuum, PUMP_GAS_K);
        // vapour balance: sublimation and desorption against deposition and pump
        let ice_slope = chamber.per_coil_k;
        let mut vapour = Balance {
            residual: sums.vapour_kg_per_s - deposition_kg_per_s - pump * chamber.ice_surface_pa,
            per_deposition: -1.0 - pump * ice_slope * self.deposit_resistance_k_s_per_kg
                + sums.slope_pa * chamber.per_deposition,
            per_coil_k: -pump * ice_slope + sums.slope_pa * chamber.per_coil_k,
        };
        // wall balance
        let vapour_k = sums.vapour_k(coil_k);
        let per_kg = deposit_heat_j_per_kg(vapour_k, coil_k);
        let cooling = refrigerator.at(coil_k);
        let leak = cabinet.heat_leak_w_per_k;
        let capacity = cabinet.condenser.heat_capacity_j_per_k / h_s;
        let mut wall = Balance {
            residual: capacity * (coil_k - old.machine.coil_k)
                - deposition_kg_per_s * per_kg
                - sums.to_wall_w
                - leak * (self.stack.load.room_k - coil_k)
                + cooling.cooling_w,
            per_deposition: -per_kg,
            per_coil_k: capacity + sums.to_wall_slope + leak + cooling.slope_w_per_k,
        };
        for column in &self.columns {
            vapour.add(1.0, chamber, &self.vapour_sensitivity(column));
            if column.above.is_none() {
                let top = self.back_substituted(column, &self.rows[column.bodies.end - 1].top.rhs);
                wall.add(-column.above_w_per_k, chamber, &top);
            }
        }
        for (row, to_wall) in self.shelf_rows.iter().zip(&self.shelf_to_wall_w_per_k) {
            wall.add(-to_wall, chamber, &row.rhs);
        }
        let matrix = Matrix2::new(vapour.per_deposition, vapour.per_coil_k, wall.per_deposition, wall.per_coil_k);
        match matrix.try_inverse().map(|inverse| inverse * Vector2::new(-vapour.residual, -wall.residual)) {
            Some(update) if deposition_kg_per_s + update.x >= 0.0 => Border::new(chamber, update.x, update.y),
            // the pump takes it all: nothing is deposited, the wall's balance alone is left
            Some(_) => Border::new(
                chamber,
                -deposition_kg_per_s,
                (wall.per_deposition * deposition_kg_per_s - wall.residual) / wall.per_coil_k,
            ),
            None => Border::new(chamber, f64::NAN, f64::NAN),
        }
    }
}

/// One of the two balances of the bordered system: residual and derivatives.
struct Balance {
    residual: f64,
    per_deposition: f64,
    per_coil_k: f64,
}

impl Balance {
    /// Adds the contribution of solution vector `x` to the row.
    fn add(&mut self, factor: f64, chamber: &Chamber, x: &ShelfRhs) {
        self.residual += factor * x.residual;
        self.per_deposition += factor * x.per_pa * chamber.per_deposition;
        self.per_coil_k += factor * (x.per_coil_k + x.per_pa * chamber.per_coil_k);
    }
}
