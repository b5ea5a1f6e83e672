//! Drying of the whole stack: one implicit step of shelves, fronts, surfaces, condenser and chamber pressure.
//!
//! # Main equations
//! In `docs/model.md`: section 10 for the chain, M1 to M6, B1 and B2.
//! From the bottom up the cabinet is one chain: shelf, food, shelf, food, ... The food between two shelves is
//! eliminated first (`assembly`, static condensation), then the shelves are solved. Two unknowns are shared by all rows
//! (`schur`): the vapour deposited on the condenser `N_c` and its metal temperature `T_w`:
//! ```text
//! p      = p_ice(T_ice) + N_c/C                T_ice = T_w + N_c L_s d/(k A)
//! 0      = sum N + desorption - N_c - pump
//! C_w dT_w/dt = N_c [h_v(T_out) - h_ice(T_w)] + radiation + leak - Q(T_w)
//! ```
//! One Newton iteration is a tridiagonal solve with three right-hand sides and a 2 x 2 system.
//!
//! # Assumptions and limits
//! Quasi-steady pressure; conductances taken from the start of the step (the stepper's error control covers it);
//! desorption linear in the temperatures within a step.

mod assembly;
mod balance;
mod body;
mod commit;
mod desorption;
mod kinks;
mod schur;
mod step;

use std::ops::Range;

use assembly::{BodyRow, ShelfRhs};
pub(crate) use body::below_coefficient;
use body::{BodyStep, between_coefficient};

use super::cabinet::{Drive, Stack};
use super::parts::Part;
use super::state::DryingState;
use crate::constants::ZERO_CELSIUS_K;
use crate::food::FoodModel;
use crate::machine::heat_paths::{
    effective_emissivity, gas_gap_w_per_m2_k, radiation_w_per_m2_k, stack_to_wall_w_per_m2_k,
};
use crate::machine::{Above, Heater, linear};
use crate::numerics::tridiagonal::Row;
use crate::water;

/// Heats are counted from here, K.
const REFERENCE_K: f64 = ZERO_CELSIUS_K;
/// Emissivity of the surroundings of a rig: a large enclosure is black.
const ENCLOSURE_EMISSIVITY: f64 = 1.0;
/// Shelf thermostat: power falls from full to nothing over this band around the set point, K.
const THERMOSTAT_BAND_K: f64 = 1.0;

/// The drying system.
pub struct Drying<'a> {
    stack: &'a Stack<'a>,
    columns: Vec<Column>,
    /// Food of each front.
    models: Vec<&'a FoodModel>,
    /// Of each front, during the step.
    steps: Vec<BodyStep>,
    /// Radiation and gas conduction of each shelf to the cold wall, W/K.
    shelf_to_wall_w_per_k: Vec<f64>,
    deposit_resistance_k_s_per_kg: f64,
    /// Set point of the shelves at the end of the step, K; 0 in a rig.
    set_point_k: f64,
    now: Iterate,
    // work space of the Newton iteration
    rows: Vec<BodyRow>,
    shelf_rows: Vec<Row<ShelfRhs>>,
    /// Heat that each shelf gains from its neighbours in the step, W.
    shelf_gain_w: Vec<f64>,
}

/// Bodies one above the other: a part of a tray.
#[derive(Clone, Debug)]
struct Column {
    tray: usize,
    part: usize,
    bodies: Range<usize>,
    /// Whether its heat from below goes to its front (a layer) or to its surface (pieces).
    layer: bool,
    /// Shelf above; `None`: the cold wall.
    above: Option<usize>,
    /// Top surface to what is above, W/K.
    above_w_per_k: f64,
}

/// What the Newton iteration finds beside the fronts and surfaces in its rows.
#[derive(Clone, Debug)]
struct Iterate {
    shelf_k: Vec<f64>,
    /// Vapour deposited on the condenser, kg/s.
    deposition_kg_per_s: f64,
    coil_k: f64,
}

/// What prescribes the surroundings at one time.
#[derive(Clone, Copy, Debug)]
struct Prescription {
    /// What lies under the trays, and above the top one: a shelf as warm as that, or the surroundings.
    below_k: f64,
    above_k: f64,
    /// Number of the surface above the top tray.
    top: usize,
    vapour_pa: f64,
    air_pa: f64,
}

impl Prescription {
    /// Temperature of a surface, counted from the bottom of the stack.
    fn surface_k(&self, shelf: usize) -> f64 {
        if shelf < self.top { self.below_k } else { self.above_k }
    }
}

impl<'a> Drying<'a> {
    /// A system for a stack.
    pub fn new(stack: &'a Stack<'a>) -> Self {
        let shelves = stack.shelves();
        let (mut columns, mut steps) = (Vec::new(), Vec::new());
        for (tray, st) in stack.trays.iter().enumerate() {
            for (p, part) in st.parts.iter().enumerate() {
                let first = steps.len();
                steps.extend((0..part.bodies.len()).map(|layer| BodyStep::new(st, tray, p, layer)));
                columns.push(Column {
                    tray,
                    part: p,
                    bodies: first..steps.len(),
                    layer: part.is_layer(),
                    above: (tray + 1 < shelves).then_some(tray + 1),
                    above_w_per_k: 0.0,
                });
            }
        }
        let bodies = steps.len();
        Self {
            stack,
            columns,
            models: stack.trays.iter().flat_map(|st| st.bodies()).map(|(part, _)| &part.model).collect(),
            steps,
            shelf_to_wall_w_per_k: vec![0.0; shelves],
            deposit_resistance_k_s_per_kg: 0.0,
            set_point_k: 0.0,
            now: Iterate { shelf_k: vec![0.0; shelves], deposition_kg_per_s: 0.0, coil_k: 0.0 },
            rows: vec![BodyRow::default(); bodies],
            shelf_rows: vec![Row::default(); shelves],
            shelf_gain_w: vec![0.0; shelves],
        }
    }

    /// A state of the right shape, all zeros.
    pub fn zero_state(&self) -> DryingState {
        DryingState::new(self.rows.len(), self.shelf_rows.len())
    }

    /// Total heat in food, shelves and wall, J.
    pub fn heat_content_j(&self, state: &DryingState) -> f64 {
        let mut sum = 0.0;
        for element in &state.elements {
            sum += element.front_heat_j + element.surface_heat_j;
        }
        if let Drive::Machine { cabinet, .. } = &self.stack.drive {
            for (s, shelf_k) in state.shelf_k.iter().enumerate() {
                sum += self.shelf_capacity(s) * (shelf_k - REFERENCE_K);
            }
            sum += cabinet.condenser.heat_capacity_j_per_k * (state.machine.coil_k - REFERENCE_K);
        }
        sum
    }

    /// Heat capacity of a shelf, J/K; the extra top shelf is like the tray's below it.
    pub fn shelf_capacity(&self, shelf: usize) -> f64 {
        self.stack.shelf_capacity_j_per_k(shelf.min(self.stack.trays.len() - 1))
    }

    fn shelf_area_m2(&self, shelf: usize) -> f64 {
        self.stack.trays[shelf.min(self.stack.trays.len() - 1)].tray.area_m2
    }

    fn prescribed(&self, t_s: f64) -> Option<Prescription> {
        let Drive::Rig(rig) = &self.stack.drive else { return None };
        let (a, b, share) = linear(&rig.schedule, |point| point.time_s, t_s)?;
        let mix = |x: f64, y: f64| x + share * (y - x);
        let shelf_k = mix(a.shelf_k, b.shelf_k);
        let surroundings_k = rig.surroundings_k(self.stack.load.room_k);
        Some(Prescription {
            below_k: if rig.heated_below { shelf_k } else { surroundings_k },
            above_k: if rig.heated_above { shelf_k } else { surroundings_k },
            top: self.stack.trays.len(),
            vapour_pa: mix(a.vapour_pressure_pa, b.vapour_pressure_pa),
            air_pa: mix(a.air_pressure_pa, b.air_pressure_pa),
        })
    }

    /// Temperatures of a rig's surfaces at a time, from the bottom up, K (0 in a cabinet).
    pub fn rig_surfaces_k(&self, t_s: f64) -> Vec<f64> {
        let surfaces = 0..self.shelf_rows.len();
        surfaces.map(|s| self.prescribed(t_s).map_or(0.0, |n| n.surface_k(s))).collect()
    }

    /// Air in the chamber at a time, Pa.
    pub fn air_in_chamber_pa(&self, t_s: f64) -> f64 {
        self.air_pa(self.prescribed(t_s))
    }

    /// Surface of the condenser's ice, K: where the vapour brings more heat than the ice conducts it melts, and is no
    /// warmer than that. In a rig the frost point of the chamber.
    pub fn ice_surface_k(&self, state: &DryingState) -> f64 {
        match &self.stack.drive {
            Drive::Machine { .. } => {
                let coil_k = state.machine.coil_k;
                let surface_k = coil_k + state.machine.deposition_kg_per_s * self.deposit_resistance_k_s_per_kg;
                surface_k.min(coil_k.max(ZERO_CELSIUS_K))
            }
            Drive::Rig(_) => water::frost_point_k(state.machine.vapour_pa),
        }
    }

    fn air_pa(&self, prescribed: Option<Prescription>) -> f64 {
        match (&self.stack.drive, prescribed) {
            (Drive::Machine { air_pa, .. }, _) => *air_pa,
            (Drive::Rig(_), Some(n)) => n.air_pa,
            (Drive::Rig(_), None) => 0.0,
        }
    }

    /// Conductances, desorption and front numbers from the state at the start of the step.
    fn prepare(&mut self, old: &DryingState, prescribed: Option<Prescription>) {
        let vapour_pa = prescribed.map_or(old.machine.vapour_pa, |n| n.vapour_pa);
        let total_pa = vapour_pa + self.air_pa(prescribed);
        let shelf_k = |s: usize| prescribed.map_or(old.shelf_k[s], |n| n.surface_k(s));
        let coil_k = old.machine.coil_k;
        let contact = &self.stack.contact;
        for c in 0..self.columns.len() {
            let Column { tray, part, bodies, layer, above, .. } = self.columns[c].clone();
            let st = &self.stack.trays[tray];
            let part = &st.parts[part];
            let mut below_k = shelf_k(tray);
            let mut dried_below_m = 0.0;
            for b in bodies.clone() {
                let element = &old.elements[b];
                let step = &mut self.steps[b];
                step.start(part, element, vapour_pa, total_pa);
                // needed only for layers above each other
                let in_bed = bodies.len() > 1;
                let dried_m =
                    if in_bed { part.bodies[step.layer].dried_m(element.passed_kg / step.dry_kg) } else { 0.0 };
                let faces_k = if layer { element.front_k } else { element.surface_k };
                step.below_m2 = part.floor_m2();
                step.below_w_per_m2_k = if b > bodies.start {
                    between_coefficient(part, contact, total_pa, below_k, faces_k, dried_below_m + dried_m)
                } else {
                    let formula = || below_coefficient(self.stack, st, part, total_pa, below_k, faces_k);
                    part.below_factor * st.tray.contact.below_w_per_m2_k.unwrap_or_else(formula)
                };
                (below_k, dried_below_m) = (element.surface_k, dried_m);
            }
            let area_m2 = self.steps[bodies.start].below_m2;
            let above_k = above.map_or(coil_k, shelf_k);
            self.columns[c].above_w_per_k = self.above_w_per_k(tray, part, area_m2, below_k, above_k, total_pa);
        }
        if let Drive::Machine { cabinet, .. } = &self.stack.drive {
            let c = &cabinet.condenser;
            let area_m2 = cabinet.stack_to_cold_surface_m2 / self.shelf_rows.len() as f64;
            for (to_wall, &shelf_k) in self.shelf_to_wall_w_per_k.iter_mut().zip(&old.shelf_k) {
                *to_wall = area_m2 * stack_to_wall_w_per_m2_k(total_pa, shelf_k, coil_k, contact.accommodation);
            }
            let thickness_m = old.machine.ice_kg / (c.deposit_density_kg_per_m3 * c.area_m2);
            self.deposit_resistance_k_s_per_kg = water::heat_of_sublimation_j_per_kg(coil_k.clamp(200.0, 273.0))
                * thickness_m
                / (c.deposit_conductivity_w_per_m_k * c.area_m2);
        }
    }

    fn above_w_per_k(&self, tray: usize, part: &Part, area_m2: f64, top_k: f64, above_k: f64, total_pa: f64) -> f64 {
        let st = &self.stack.trays[tray];
        let top_of_stack = tray + 1 == self.stack.trays.len() && !self.stack.heated_top();
        let faces = match &self.stack.drive {
            Drive::Machine { cabinet, .. } if top_of_stack && cabinet.above_top_tray != Above::ColdWall => return 0.0,
            Drive::Rig(_) if top_of_stack => ENCLOSURE_EMISSIVITY,
            _ => self.stack.contact.emissivity_above,
        };
        let given = &st.tray.contact;
        let emissivity =
            given.emissivity_above.unwrap_or_else(|| effective_emissivity(part.model.dried.emissivity, faces));
        let gas = given.gas_above_w_per_m2_k.unwrap_or_else(|| {
            let mean_k = 0.5 * (top_k + above_k);
            gas_gap_w_per_m2_k(st.gap_above_m, total_pa, mean_k, self.stack.contact.accommodation)
        });
        area_m2 * (radiation_w_per_m2_k(emissivity, top_k, above_k) + gas)
    }

    /// Heater power of a shelf with its slopes against shelf temperature and pressure, W; and whether pressure holds
    /// it back.
    fn heater_w(&self, heater: &Heater, shelf: usize, shelf_k: f64, total_pa: f64) -> (f64, f64, f64, bool) {
        let full = heater.power_w_per_m2 * self.shelf_area_m2(shelf);
        let hold = full * (self.set_point_k + 0.5 * THERMOSTAT_BAND_K - shelf_k) / THERMOSTAT_BAND_K;
        let share = allowed_share(heater, total_pa);
        let allowed = full * share;
        let slope = match heater.cutback {
            Some(band) if share > 0.0 && share < 1.0 => -full / (band.to_pa - band.from_pa),
            _ => 0.0,
        };
        if hold <= 0.0 {
            (0.0, 0.0, 0.0, false)
        } else if hold < allowed {
            (hold, -full / THERMOSTAT_BAND_K, 0.0, false)
        } else {
            (allowed, 0.0, slope, allowed < full)
        }
    }
}

/// Share of full heater power that the pressure allows.
fn allowed_share(heater: &Heater, total_pa: f64) -> f64 {
    heater.cutback.map_or(1.0, |band| ((band.to_pa - total_pa) / (band.to_pa - band.from_pa)).clamp(0.0, 1.0))
}

/// Shelf temperatures between which the thermostat sets the power: it starts to where it allows less than the
/// pressure does, and ends where it allows none.
fn thermostat_band(heater: &Heater, set_point_k: f64, total_pa: f64) -> (f64, f64) {
    let high_k = set_point_k + 0.5 * THERMOSTAT_BAND_K;
    (high_k - THERMOSTAT_BAND_K * allowed_share(heater, total_pa), high_k)
}
