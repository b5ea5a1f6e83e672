//! Freezing in the cabinet and evacuation: trays, shelves, air, wall and compressor as one system.
//!
//! # Main equations
//! In `docs/model.md`: Z8 and Z9.
//! ```text
//! food and shelf metal -> cabinet air -> cold wall     natural convection (correlations), air without heat capacity
//! shelves -> cold wall                                  radiation
//! C_w dT_w/dt = UA_air (T_air - T_w) + radiation + leak - Q(T_w)
//! ```
//! Each tray is a tridiagonal column; air and wall temperature are the two unknowns that see all columns.
//!
//! # Assumptions and limits
//! Air well mixed; the trays face air on both sides. During evacuation convection has died and only conduction
//! through the thin gas and radiation are left.

use nalgebra::{Matrix2, Vector2};

use super::cabinet::{Drive, Stack};
use crate::error::ModelError;
use crate::freezing::column::{Around, Metal, Rows, ToAir};
use crate::freezing::surface;
use crate::load::Freezing;
use crate::machine::Cabinet;
use crate::machine::heat_paths::radiation_w_per_m2_k;
use crate::machine::refrigeration::Refrigerator;
use crate::numerics::stepper::ImplicitEuler;
use crate::numerics::tridiagonal;

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
    /// Heat taken from the wall as the last iteration had it: with it sums close whatever the iteration left open.
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

    /// First number of a tray (its shelf; cells follow).
    pub fn tray(&self, index: usize) -> usize {
        self.stack.trays[..index].iter().map(|t| 1 + t.column.cells()).sum()
    }

    /// First number of the machine: wall, compressor energy, heat cooled, heat leaked.
    pub fn machine(&self) -> usize {
        self.tray(self.stack.trays.len())
    }

    /// Whether a tray stands in the cabinet: one that came frozen waits outside until all is cold.
    pub fn inside(&self, tray: usize) -> bool {
        self.all_inside || matches!(self.stack.trays[tray].tray.freezing, Freezing::InMachine { .. })
    }

    /// Length of the state; its last number is the air's temperature.
    pub fn len(&self) -> usize {
        self.machine() + 5
    }

    /// Heat in food, shelves and wall, J (metals counted from 0 degC).
    pub fn heat_content_j(&self, state: &[f64]) -> f64 {
        let mut sum = self.cabinet.condenser.heat_capacity_j_per_k * (state[self.machine()] - 273.15);
        for (i, st) in self.stack.trays.iter().enumerate() {
            let at = self.tray(i);
            sum += self.stack.shelf_capacity_j_per_k(i) * (state[at] - 273.15);
            sum += st.column.heat_j(&state[at + 1..at + 1 + st.column.cells()]);
        }
        sum
    }

    /// Heat capacity of shelves and wall, J/K.
    pub fn metal_j_per_k(&self) -> f64 {
        let shelves: f64 = (0..self.stack.trays.len()).map(|i| self.stack.shelf_capacity_j_per_k(i)).sum();
        shelves + self.cabinet.condenser.heat_capacity_j_per_k
    }

    /// Coefficients at the temperatures of the start of the step.
    fn prepare(&mut self, old: &[f64]) {
        let m = self.machine();
        let (wall_k, air_k) = (old[m], old[m + 4]);
        let n = self.stack.trays.len() as f64;
        for (i, st) in self.stack.trays.iter().enumerate() {
            let at = self.tray(i);
            let area = st.tray.area_m2;
            let length = area.sqrt() / 4.0;
            let cells = &old[at + 1..at + 1 + st.column.cells()];
            let guess = Around { below_w_per_k: 0.0, above_w_per_k: 5.0 * area, air_k };
            let surface_k = st.column.surface_k(cells, &guess);
            let metal_k = old[at];
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
    fn iterate(&mut self, h_s: f64, old: &[f64], new: &mut [f64]) -> f64 {
        let to_wall = self.wall_w_per_k;
        let at_machine = self.machine();
        let wall_k = new[at_machine];
        let air_k = self.air_k;
        let cooling = self.refrigerator.at(wall_k);
        let leak = self.cabinet.heat_leak_w_per_k;
        let capacity = self.cabinet.condenser.heat_capacity_j_per_k / h_s;
        let mut air = -to_wall * (air_k - wall_k);
        let (mut air_air, mut air_wall) = (-to_wall, to_wall);
        let mut wall = capacity * (wall_k - old[at_machine])
            - to_wall * (air_k - wall_k)
            - leak * (self.stack.load.room_k - wall_k)
            + cooling.cooling_w;
        let (mut wall_air, mut wall_wall) = (-to_wall, capacity + to_wall + leak + cooling.slope_w_per_k);
        for (i, st) in self.stack.trays.iter().enumerate() {
            let at = self.tray(i);
            let cells = at + 1..at + 1 + st.column.cells();
            let around = Around { air_k, ..self.around[i] };
            let metal = Metal { new_k: new[at], wall_k, ..self.metals[i] };
            let rows = &mut self.rows[i];
            let food = st.column.rows(h_s, &around, &metal, &old[cells.clone()], &new[cells], rows);
            tridiagonal::solve(rows);
            let (x_metal, x_food) = (rows[0].rhs, rows[food.row].rhs);
            air += food.heat_w + metal.air_w_per_k * (metal.new_k - air_k);
            air += food.conductance_w_per_k * food.slope * x_food[0] + metal.air_w_per_k * x_metal[0];
            air_air +=
                food.conductance_w_per_k * (food.slope * x_food[1] - 1.0) + metal.air_w_per_k * (x_metal[1] - 1.0);
            air_wall += food.conductance_w_per_k * food.slope * x_food[2] + metal.air_w_per_k * x_metal[2];
            wall -= metal.wall_w_per_k * (metal.new_k + x_metal[0] - wall_k);
            wall_air -= metal.wall_w_per_k * x_metal[1];
            wall_wall -= metal.wall_w_per_k * (x_metal[2] - 1.0);
            self.to_air[i] = food;
        }
        let matrix = Matrix2::new(air_air, air_wall, wall_air, wall_wall);
        let Some(x) = matrix.try_inverse().map(|inverse| inverse * Vector2::new(-air, -wall)) else {
            return f64::INFINITY;
        };
        let mut largest = x[0].abs().max(x[1].abs());
        self.air_k += x[0].clamp(-20.0, 20.0);
        new[at_machine] += x[1].clamp(-20.0, 20.0);
        self.cooled_w = cooling.cooling_w + cooling.slope_w_per_k * x[1];
        for i in 0..self.rows.len() {
            let at = self.tray(i);
            for (k, (number, row)) in new[at..].iter_mut().zip(&self.rows[i]).enumerate() {
                let change = row.rhs[0] + row.rhs[1] * x[0] + row.rhs[2] * x[1];
                *number += change;
                let kelvin = if k == 0 { 1.0 } else { J_PER_KG_PER_K };
                largest = largest.max(change.abs() / kelvin);
            }
        }
        if largest.is_nan() { f64::INFINITY } else { largest }
    }
}

impl ImplicitEuler for CabinetFreezing<'_> {
    fn start(&mut self, _: f64, old: &[f64]) {
        self.prepare(old);
    }

    fn step(&mut self, t_s: f64, h_s: f64, old: &[f64], new: &mut [f64]) -> Result<(), ModelError> {
        let m = self.machine();
        self.air_k = new[m + 4];
        // sums take their step once the rest has settled
        new[m + 1..m + 4].copy_from_slice(&old[m + 1..m + 4]);
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
        let wall_k = new[m];
        new[m + 1] += self.refrigerator.at(wall_k).power_w * h_s;
        new[m + 2] += self.cooled_w * h_s;
        new[m + 3] += self.cabinet.heat_leak_w_per_k * (self.stack.load.room_k - wall_k) * h_s;
        new[m + 4] = self.air_k;
        Ok(())
    }

    fn difference(&self, full: &[f64], half: &[f64]) -> f64 {
        let m = self.machine();
        let mut worst = (full[m] - half[m]).abs() / METAL_TOLERANCE_K;
        for (i, st) in self.stack.trays.iter().enumerate() {
            let at = self.tray(i);
            worst = worst.max((full[at] - half[at]).abs() / METAL_TOLERANCE_K);
            for k in 1..=st.column.cells() {
                worst = worst.max((full[at + k] - half[at + k]).abs() / CELL_TOLERANCE_J_PER_KG);
            }
        }
        worst
    }

    fn admissible(&self, _: &[f64], state: &[f64]) -> bool {
        state.iter().all(|x| x.is_finite())
    }
}
