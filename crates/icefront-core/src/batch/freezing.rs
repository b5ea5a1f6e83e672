//! Freezing in the cabinet and evacuation: trays, shelves, air, wall and compressor as one system.
//!
//! # Main equations
//! In `docs/model.md`: Z8 and Z9.
//! ```text
//! food and shelf metal -> cabinet air -> cold wall     natural convection (correlations), air without heat capacity
//! shelves -> cold wall                                  radiation
//! C_w dT_w/dt = UA_air (T_air - T_w) + radiation + leak - Q(T_w)
//! ```
//! Each tray is a tridiagonal column; air and wall temperature are the two unknowns shared by all columns.
//!
//! # Assumptions and limits
//! Air well mixed; the trays face air on both sides. During evacuation convection has died and only conduction
//! through the thin gas and radiation are left.

use nalgebra::{Matrix2, Vector2};

use super::cabinet::{Drive, Stack};
use crate::error::ModelError;
use crate::freezing::column::{Around, Metal, Rows, ToAir, TrayState};
use crate::freezing::surface;
use crate::load::Freezing;
use crate::machine::Cabinet;
use crate::machine::heat_paths::radiation_w_per_m2_k;
use crate::machine::refrigeration::Refrigerator;
use crate::numerics::components::{Components, components_by_field};
use crate::numerics::stepper::ImplicitEuler;
use crate::numerics::tridiagonal::{self, Row};

/// Wet food against its tray, W/(m2 K), `from memory`: the food fills the gap; the tray-to-shelf gap limits.
const WET_CONTACT_W_PER_M2_K: f64 = 500.0;
/// Emissivity of wet or frozen food. Source: infrared handbook tables (ice, water 0.96).
const FOOD_EMISSIVITY: f64 = 0.96;
/// Cold wall seen as a plate of this height, m (`from memory`; the coefficient goes with its fourth root).
const WALL_HEIGHT_M: f64 = 0.4;
/// A step has settled when nothing moves more than this, K, at the stepper's tolerance. Heat closes wherever Newton stops;
/// counted as heat of a cell (below) it is less than the error allowed per step.
const SETTLED_K: f64 = 3.0;
const MOST_ITERATIONS: usize = 20;
/// Error of shelves and wall allowed per step, K.
const METAL_TOLERANCE_K: f64 = 15.0;
/// Error of a cell allowed per step, J/kg: six per cent of the heat of freezing.
const CELL_TOLERANCE_J_PER_KG: f64 = 15_000.0;
/// Joules per kilogram that count as one kelvin when corrections are judged.
const J_PER_KG_PER_K: f64 = 2e3;

/// State of the cabinet while the food freezes.
#[derive(Clone, Debug, PartialEq)]
pub struct FreezingState {
    /// Shelves with their trays, from the bottom up.
    pub trays: Vec<TrayState>,
    /// Condenser coil (its metal), K.
    pub coil_k: f64,
    /// Electric energy of the compressor, J.
    pub compressor_j: f64,
    /// Heat removed by the refrigerant, J.
    pub cooled_j: f64,
    /// Heat leaked in from the room, J.
    pub leaked_j: f64,
    /// Air in the cabinet, K.
    pub air_k: f64,
}

components_by_field!(FreezingState { trays, coil_k, compressor_j, cooled_j, leaked_j, air_k });

impl FreezingState {
    /// A cabinet at room temperature with cells of these enthalpies on its shelves, J/kg.
    pub fn new(room_k: f64, cells: Vec<Vec<f64>>) -> Self {
        let tray = |enthalpy_j_per_kg| TrayState { metal_k: room_k, enthalpy_j_per_kg };
        Self {
            trays: cells.into_iter().map(tray).collect(),
            coil_k: room_k,
            compressor_j: 0.0,
            cooled_j: 0.0,
            leaked_j: 0.0,
            air_k: room_k,
        }
    }
}

/// The freezing system of one cabinet.
pub struct CabinetFreezing<'a> {
    stack: &'a Stack<'a>,
    cabinet: &'a Cabinet,
    refrigerator: &'a Refrigerator,
    /// Whether air is still in.
    pub air_in: bool,
    /// Whether trays that came frozen have been put in.
    pub all_inside: bool,
    rows: Vec<Rows>,
    to_air: Vec<ToAir>,
    around: Vec<Around>,
    metals: Vec<Metal>,
    wall_w_per_k: f64,
    /// Heat taken from the wall as the last iteration had it: so that sums close even where the iteration stopped early.
    cooled_w: f64,
    air_k: f64,
}

impl<'a> CabinetFreezing<'a> {
    /// A system for a stack in a cabinet; `None` in a prescribed rig.
    pub fn new(stack: &'a Stack<'a>) -> Option<Self> {
        let Drive::Machine { cabinet, refrigerator, .. } = &stack.drive else { return None };
        let n = stack.trays.len();
        let none = Around { below_w_per_k: 0.0, above_w_per_k: 0.0, air_k: stack.load.room_k };
        let metal =
            Metal { capacity_j_per_k: 1.0, old_k: 0.0, new_k: 0.0, air_w_per_k: 0.0, wall_w_per_k: 0.0, wall_k: 0.0 };
        Some(Self {
            stack,
            cabinet,
            refrigerator,
            air_in: true,
            all_inside: false,
            rows: vec![Rows::default(); n],
            to_air: vec![ToAir::default(); n],
            around: vec![none; n],
            metals: vec![metal; n],
            wall_w_per_k: 0.0,
            cooled_w: 0.0,
            air_k: stack.load.room_k,
        })
    }

    /// Whether a tray stands in the cabinet: one that came frozen waits outside until all is cold.
    pub fn inside(&self, tray: usize) -> bool {
        self.all_inside || matches!(self.stack.trays[tray].tray.freezing, Freezing::InMachine { .. })
    }

    /// Heat in food, shelves and wall, J (metals counted from 0 degC).
    pub fn heat_content_j(&self, state: &FreezingState) -> f64 {
        let mut sum = self.cabinet.condenser.heat_capacity_j_per_k * (state.coil_k - 273.15);
        for (i, (st, tray)) in self.stack.trays.iter().zip(&state.trays).enumerate() {
            sum += self.stack.shelf_capacity_j_per_k(i) * (tray.metal_k - 273.15);
            sum += st.column.heat_j(&tray.enthalpy_j_per_kg);
        }
        sum
    }

    /// Heat capacity of shelves and wall, J/K.
    pub fn metal_j_per_k(&self) -> f64 {
        let shelves: f64 = (0..self.stack.trays.len()).map(|i| self.stack.shelf_capacity_j_per_k(i)).sum();
        shelves + self.cabinet.condenser.heat_capacity_j_per_k
    }

    /// Coefficients at the temperatures of the start of the step.
    fn prepare(&mut self, old: &FreezingState) {
        let (wall_k, air_k) = (old.coil_k, old.air_k);
        let n = self.stack.trays.len() as f64;
        for (i, (st, tray)) in self.stack.trays.iter().zip(&old.trays).enumerate() {
            let area = st.tray.area_m2;
            let length = area.sqrt() / 4.0;
            let guess = Around { below_w_per_k: 0.0, above_w_per_k: 5.0 * area, air_k };
            let surface_k = st.column.surface_k(&tray.enthalpy_j_per_kg, &guess);
            let metal_k = tray.metal_k;
            let (top, under) = if self.air_in {
                let plate = |plate_k: f64, up: bool| {
                    self.cabinet.convection_times * surface::natural_plate_w_per_m2_k(plate_k, air_k, length, up)
                };
                (plate(surface_k, true), plate(metal_k, false))
            } else {
                let thin = surface::air_conductivity_w_per_m_k(air_k) / st.gap_above_m;
                (thin, 0.0)
            };
            let above = top + radiation_w_per_m2_k(FOOD_EMISSIVITY, surface_k, air_k);
            let exposed = if st.column.is_piece() { st.column.low_area_m2 } else { st.column.high_area_m2 };
            let contact = &self.stack.contact;
            let gap = surface::air_conductivity_w_per_m_k(0.5 * (metal_k + surface_k));
            let mut resistance = 1.0 / (contact.direct_w_per_m2_k + gap / contact.gap_m) + 1.0 / WET_CONTACT_W_PER_M2_K;
            if st.tray.lined {
                resistance += contact.lining_gap_m / gap;
            }
            // pieces touch over their footprint at most
            let touching = area.min(exposed / 2.0).max(1e-6);
            let below_area = if st.column.is_piece() { touching } else { area };
            self.around[i] = if self.inside(i) {
                Around { below_w_per_k: below_area / resistance, above_w_per_k: above * exposed, air_k }
            } else {
                Around { below_w_per_k: 0.0, above_w_per_k: 0.0, air_k }
            };
            self.metals[i] = Metal {
                capacity_j_per_k: self.stack.shelf_capacity_j_per_k(i),
                old_k: metal_k,
                new_k: metal_k,
                air_w_per_k: under * area,
                wall_w_per_k: self.cabinet.stack_to_cold_surface_m2 * radiation_w_per_m2_k(1.0, metal_k, wall_k) / n,
                wall_k,
            };
        }
        let wall = if self.air_in {
            self.cabinet.convection_times * surface::natural_wall_w_per_m2_k(wall_k, air_k, WALL_HEIGHT_M)
        } else {
            0.5
        };
        self.wall_w_per_k = wall * self.cabinet.condenser.area_m2;
    }

    /// One Newton iteration; returns the largest move, K.
    fn iterate(&mut self, h_s: f64, old: &FreezingState, new: &mut FreezingState) -> f64 {
        let to_wall = self.wall_w_per_k;
        let wall_k = new.coil_k;
        let air_k = self.air_k;
        let cooling = self.refrigerator.at(wall_k);
        let leak = self.cabinet.heat_leak_w_per_k;
        let capacity = self.cabinet.condenser.heat_capacity_j_per_k / h_s;
        let mut air = -to_wall * (air_k - wall_k);
        let (mut air_air, mut air_wall) = (-to_wall, to_wall);
        let mut wall =
            capacity * (wall_k - old.coil_k) - to_wall * (air_k - wall_k) - leak * (self.stack.load.room_k - wall_k)
                + cooling.cooling_w;
        let (mut wall_air, mut wall_wall) = (-to_wall, capacity + to_wall + leak + cooling.slope_w_per_k);
        for (i, st) in self.stack.trays.iter().enumerate() {
            let (from, to) = (&old.trays[i], &new.trays[i]);
            let around = Around { air_k, ..self.around[i] };
            let metal = Metal { new_k: to.metal_k, wall_k, ..self.metals[i] };
            let rows = &mut self.rows[i];
            let food = st.column.rows(h_s, &around, &metal, &from.enthalpy_j_per_kg, &to.enthalpy_j_per_kg, rows);
            tridiagonal::solve(rows);
            let (x_metal, x_food) = (rows[0].rhs, rows[food.row].rhs);
            air += food.heat_w + metal.air_w_per_k * (metal.new_k - air_k);
            air += food.conductance_w_per_k * food.slope * x_food.residual + metal.air_w_per_k * x_metal.residual;
            air_air += food.conductance_w_per_k * (food.slope * x_food.per_air_k - 1.0)
                + metal.air_w_per_k * (x_metal.per_air_k - 1.0);
            air_wall +=
                food.conductance_w_per_k * food.slope * x_food.per_coil_k + metal.air_w_per_k * x_metal.per_coil_k;
            wall -= metal.wall_w_per_k * (metal.new_k + x_metal.residual - wall_k);
            wall_air -= metal.wall_w_per_k * x_metal.per_air_k;
            wall_wall -= metal.wall_w_per_k * (x_metal.per_coil_k - 1.0);
            self.to_air[i] = food;
        }
        let matrix = Matrix2::new(air_air, air_wall, wall_air, wall_wall);
        let Some(update) = matrix.try_inverse().map(|inverse| inverse * Vector2::new(-air, -wall)) else {
            return f64::INFINITY;
        };
        let (air_update_k, coil_update_k) = (update.x, update.y);
        let mut largest = air_update_k.abs().max(coil_update_k.abs());
        self.air_k += air_update_k.clamp(-20.0, 20.0);
        new.coil_k += coil_update_k.clamp(-20.0, 20.0);
        self.cooled_w = cooling.cooling_w + cooling.slope_w_per_k * coil_update_k;
        for (tray, rows) in new.trays.iter_mut().zip(&self.rows) {
            let updates = rows
                .iter()
                .map(|Row { rhs, .. }| rhs.residual + rhs.per_air_k * air_update_k + rhs.per_coil_k * coil_update_k);
            let numbers = std::iter::once((&mut tray.metal_k, 1.0));
            let cells = tray.enthalpy_j_per_kg.iter_mut().map(|enthalpy| (enthalpy, J_PER_KG_PER_K));
            for ((number, per_k), update) in numbers.chain(cells).zip(updates) {
                *number += update;
                largest = largest.max(update.abs() / per_k);
            }
        }
        if largest.is_nan() { f64::INFINITY } else { largest }
    }
}

impl ImplicitEuler for CabinetFreezing<'_> {
    type State = FreezingState;

    fn start(&mut self, _: f64, old: &FreezingState) {
        self.prepare(old);
    }

    fn step(&mut self, t_s: f64, h_s: f64, old: &FreezingState, new: &mut FreezingState) -> Result<(), ModelError> {
        self.air_k = new.air_k;
        let limit_k = SETTLED_K * self.stack.tolerance.min(1.0);
        let mut largest = f64::INFINITY;
        for _ in 0..MOST_ITERATIONS {
            largest = self.iterate(h_s, old, new);
            if largest < limit_k || !largest.is_finite() {
                break;
            }
        }
        if largest > limit_k {
            return Err(ModelError::NotConverged {
                what: "freezing step",
                at_s: t_s,
                residual: largest,
                limit: limit_k,
            });
        }
        let coil_k = new.coil_k;
        new.compressor_j = old.compressor_j + self.refrigerator.at(coil_k).power_w * h_s;
        new.cooled_j = old.cooled_j + self.cooled_w * h_s;
        new.leaked_j = old.leaked_j + self.cabinet.heat_leak_w_per_k * (self.stack.load.room_k - coil_k) * h_s;
        new.air_k = self.air_k;
        Ok(())
    }

    fn error_norm(&self, full: &FreezingState, half: &FreezingState) -> f64 {
        let mut worst = (full.coil_k - half.coil_k).abs() / METAL_TOLERANCE_K;
        for (full, half) in full.trays.iter().zip(&half.trays) {
            worst = worst.max((full.metal_k - half.metal_k).abs() / METAL_TOLERANCE_K);
            for (full_j, half_j) in full.enthalpy_j_per_kg.iter().zip(&half.enthalpy_j_per_kg) {
                worst = worst.max((full_j - half_j).abs() / CELL_TOLERANCE_J_PER_KG);
            }
        }
        worst
    }

    fn admissible(&self, _: &FreezingState, state: &FreezingState) -> bool {
        state.all_finite()
    }
}
