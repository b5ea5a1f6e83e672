//! The two unknowns that see the whole stack: vapour deposited and condenser metal.

use nalgebra::{Matrix2, Vector2};

use super::Drying;
use super::balance::Chamber;
use super::chain::{SHELF_SIDES, Sums};
use super::finish::deposit_heat_j_per_kg;
use crate::batch::cabinet::Drive;
use crate::batch::state::WALL;
use crate::machine::vapour_path;

/// Gas on its way to the pump, K (room warmth; a few grams per hour hang on it).
const PUMP_GAS_K: f64 = 293.15;

/// Corrections of one iteration.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Border {
    pub(super) deposit: f64,
    pub(super) wall_k: f64,
    /// What the chamber's vapour pressure makes of the two, Pa.
    pub(super) vapour_pa: f64,
}

impl Border {
    fn new(chamber: &Chamber, deposit: f64, wall_k: f64) -> Self {
        Self { deposit, wall_k, vapour_pa: chamber.per_deposit * deposit + chamber.per_wall_k * wall_k }
    }

    /// Correction of something that answers to pressure and wall as `x` says.
    pub(super) fn change(&self, x: &[f64; SHELF_SIDES]) -> f64 {
        x[0] + x[1] * self.vapour_pa + x[2] * self.wall_k
    }
}

impl Drying<'_> {
    /// Solves for the two.
    pub(super) fn border(&self, h_s: f64, old: &[f64], chamber: &Chamber, sums: &Sums) -> Border {
        let Drive::Machine { cabinet, refrigerator, .. } = &self.stack.drive else { return Border::default() };
        let (deposit, wall_k) = (self.now.deposit, self.now.wall_k);
        let pump = vapour_path::pump_vapour_kg_per_s_pa(&cabinet.vacuum, PUMP_GAS_K);
        // vapour balance: sublimation and desorption against deposit and pump
        let ice_slope = chamber.per_wall_k;
        let mut vapour = [
            sums.vapour_kg_per_s - deposit - pump * chamber.ice_surface_pa,
            -1.0 - pump * ice_slope * self.deposit_resistance_k_s_per_kg + sums.slope_pa * chamber.per_deposit,
            -pump * ice_slope + sums.slope_pa * chamber.per_wall_k,
        ];
        // wall balance
        let vapour_k = sums.vapour_k(wall_k);
        let per_kg = deposit_heat_j_per_kg(vapour_k, wall_k);
        let cooling = refrigerator.at(wall_k);
        let leak = cabinet.heat_leak_w_per_k;
        let capacity = cabinet.condenser.heat_capacity_j_per_k / h_s;
        let mut wall = [
            capacity * (wall_k - old[self.layout.machine() + WALL])
                - deposit * per_kg
                - sums.to_wall_w
                - leak * (self.stack.load.room_k - wall_k)
                + cooling.cooling_w,
            -per_kg,
            capacity + sums.to_wall_slope + leak + cooling.slope_w_per_k,
        ];
        for column in &self.columns {
            add(&mut vapour, 1.0, chamber, &self.vapour_answer(column));
            if column.above.is_none() {
                let top = self.completed(column, &self.rows[column.bodies.end - 1].top.rhs);
                add(&mut wall, -column.above_w_per_k, chamber, &top);
            }
        }
        for row in &self.shelf_rows {
            add(&mut wall, -self.shelf_to_wall_w_per_k, chamber, &row.rhs);
        }
        let matrix = Matrix2::new(vapour[1], vapour[2], wall[1], wall[2]);
        match matrix.try_inverse().map(|inverse| inverse * Vector2::new(-vapour[0], -wall[0])) {
            Some(x) if deposit + x[0] >= 0.0 => Border::new(chamber, x[0], x[1]),
            // the pump takes it all: nothing is deposited, the wall's balance alone is left
            Some(_) => Border::new(chamber, -deposit, (wall[1] * deposit - wall[0]) / wall[2]),
            None => Border::new(chamber, f64::NAN, f64::NAN),
        }
    }
}

/// Adds what something that answers to pressure and wall as `x` says brings into a balance.
fn add(balance: &mut [f64; 3], factor: f64, chamber: &Chamber, x: &[f64; SHELF_SIDES]) {
    balance[0] += factor * x[0];
    balance[1] += factor * x[1] * chamber.per_deposit;
    balance[2] += factor * (x[2] + x[1] * chamber.per_wall_k);
}
