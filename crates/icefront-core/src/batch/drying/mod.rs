//! Drying of the whole stack: one implicit step of shelves, fronts, surfaces, condenser and chamber pressure.
//!
//! # Main equations
//! In `docs/model.md`: section 10 for the chain, M1 to M6, B1 and B2.
//! From the bottom up the cabinet is one chain: shelf, food, shelf, food, ... Each node balances its heat with its
//! two neighbours; a piece's front hangs on its surface as a leaf. Two unknowns see all nodes: the vapour deposited
//! on the condenser `N_c` and its metal temperature `T_w`:
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

mod balance;
mod body;
mod corners;
mod desorption;
mod finish;
mod newton;
mod step;

pub(crate) use body::below_coefficient;
use body::{BodyStep, between_coefficient, body_step, predicted};

use super::cabinet::{Drive, Stack};
use super::state::{BODY, DEPOSIT_RATE, FRONT, HEAT_FRONT, HEAT_TOP, ICE, Layout, PRESSURE, TOP, WALL};
use crate::constants::ZERO_CELSIUS_K;
use crate::machine::heat_paths::{effective_emissivity, gas_gap_w_per_m2_k, radiation_w_per_m2_k};
use crate::machine::{Above, Heater};
use crate::primary::{Arrangement, Sublimation};
use crate::water;

/// Heats are counted from here, K.
const REFERENCE_K: f64 = ZERO_CELSIUS_K;
/// Shelf thermostat: power falls from full to nothing over this band around the set point, K.
const THERMOSTAT_BAND_K: f64 = 1.0;

/// A node of the chain.
#[derive(Clone, Copy, Debug, PartialEq)]
enum Node {
    Shelf(usize),
    Front(usize),
    Surface(usize),
}

/// The drying system.
pub struct Drying<'a> {
    stack: &'a Stack<'a>,
    layout: Layout,
    nodes: Vec<Node>,
    /// Conductance from node k to node k+1 (the last: to whatever is above the stack), W/K.
    links: Vec<f64>,
    steps: Vec<BodyStep>,
    shelf_to_wall_w_per_k: f64,
    deposit_resistance_k_s_per_kg: f64,
    // work space of the Newton iteration
    temperature: Vec<f64>,
    leaf: Vec<f64>,
    sublimation: Vec<Sublimation>,
    lower: Vec<f64>,
    diagonal: Vec<f64>,
    upper: Vec<f64>,
    rhs: Vec<[f64; 3]>,
    leaf_rows: Vec<LeafRow>,
}

/// A leaf's own row: `diagonal x_leaf + up x_surface = rhs`.
#[derive(Clone, Copy, Debug, Default)]
struct LeafRow {
    diagonal: f64,
    up: f64,
    rhs: [f64; 3],
}

/// What prescribes the surroundings at one time.
#[derive(Clone, Copy, Debug)]
struct Now {
    shelf_k: f64,
    vapour_pa: f64,
    air_pa: f64,
}

impl<'a> Drying<'a> {
    /// A system for a stack.
    pub fn new(stack: &'a Stack<'a>) -> Self {
        let bodies: usize = stack.trays.iter().map(|t| t.bodies.len()).sum();
        let shelves = stack.trays.len() + usize::from(stack.heated_top());
        let mut nodes = Vec::new();
        let mut body = 0;
        for (i, tray) in stack.trays.iter().enumerate() {
            nodes.push(Node::Shelf(i));
            for _ in &tray.bodies {
                if matches!(tray.arrangement, Arrangement::Layer { .. }) {
                    nodes.push(Node::Front(body));
                }
                nodes.push(Node::Surface(body));
                body += 1;
            }
        }
        if stack.heated_top() {
            nodes.push(Node::Shelf(stack.trays.len()));
        }
        let n = nodes.len();
        Self {
            stack,
            layout: Layout { bodies, shelves },
            nodes,
            links: vec![0.0; n],
            steps: Vec::with_capacity(bodies),
            shelf_to_wall_w_per_k: 0.0,
            deposit_resistance_k_s_per_kg: 0.0,
            temperature: vec![0.0; n],
            leaf: vec![0.0; bodies],
            sublimation: vec![Sublimation::default(); bodies],
            lower: vec![0.0; n],
            diagonal: vec![0.0; n],
            upper: vec![0.0; n],
            rhs: vec![[0.0; 3]; n],
            leaf_rows: vec![LeafRow::default(); bodies],
        }
    }

    /// Layout of its state.
    pub fn layout(&self) -> Layout {
        self.layout
    }

    /// Total heat in food, shelves and wall, J.
    pub fn heat_content_j(&self, state: &[f64]) -> f64 {
        let mut sum = 0.0;
        for b in 0..self.layout.bodies {
            let at = self.layout.body(b);
            sum += state[at + HEAT_FRONT] + state[at + HEAT_TOP];
        }
        if let Drive::Machine { cabinet, .. } = &self.stack.drive {
            for s in 0..self.layout.shelves {
                sum += self.shelf_capacity(s) * (state[self.layout.shelf(s)] - REFERENCE_K);
            }
            sum += cabinet.condenser.heat_capacity_j_per_k * (state[self.layout.machine() + WALL] - REFERENCE_K);
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

    fn now(&self, t_s: f64) -> Option<Now> {
        let Drive::Rig(rig) = &self.stack.drive else { return None };
        let points = &rig.schedule;
        let after = points.iter().position(|p| p.time_s > t_s).unwrap_or(points.len());
        let (a, b) = (&points[after.saturating_sub(1)], &points[after.min(points.len() - 1)]);
        let span = b.time_s - a.time_s;
        let share = if span > 0.0 { ((t_s - a.time_s) / span).clamp(0.0, 1.0) } else { 0.0 };
        let mix = |x: f64, y: f64| x + share * (y - x);
        Some(Now {
            shelf_k: mix(a.shelf_k, b.shelf_k),
            vapour_pa: mix(a.vapour_pressure_pa, b.vapour_pressure_pa),
            air_pa: mix(a.air_pressure_pa, b.air_pressure_pa),
        })
    }

    /// Shelf temperature of a rig at a time, K (0 in a cabinet).
    pub fn rig_shelf_k(&self, t_s: f64) -> f64 {
        self.now(t_s).map_or(0.0, |n| n.shelf_k)
    }

    /// Air in the chamber at a time, Pa.
    pub fn air_in_chamber_pa(&self, t_s: f64) -> f64 {
        self.air_pa(self.now(t_s))
    }

    /// Surface of the condenser's ice, K; the frost point of the chamber in a rig.
    pub fn ice_surface_k(&self, state: &[f64]) -> f64 {
        let m = self.layout.machine();
        match &self.stack.drive {
            Drive::Machine { .. } => state[m + WALL] + state[m + DEPOSIT_RATE] * self.deposit_resistance_k_s_per_kg,
            Drive::Rig(_) => water::frost_point_k(state[m + PRESSURE]),
        }
    }

    fn air_pa(&self, now: Option<Now>) -> f64 {
        match (&self.stack.drive, now) {
            (Drive::Machine { air_pa, .. }, _) => *air_pa,
            (Drive::Rig(_), Some(n)) => n.air_pa,
            (Drive::Rig(_), None) => 0.0,
        }
    }

    /// Conductances, desorption and front numbers from the state at the start of the step.
    fn prepare(&mut self, h_s: f64, old: &[f64], now: Option<Now>) {
        let m = self.layout.machine();
        let vapour_pa = now.map_or(old[m + PRESSURE], |n| n.vapour_pa);
        let total_pa = vapour_pa + self.air_pa(now);
        let shelf_k = |s: usize| now.map_or(old[self.layout.shelf(s)], |n| n.shelf_k);
        let wall_k = old[m + WALL];
        self.steps.clear();
        let mut links = std::mem::take(&mut self.links);
        let mut link = 0;
        let mut body = 0;
        for (i, st) in self.stack.trays.iter().enumerate() {
            let (tray, model) = (st.tray, &st.tray.model);
            let contact = &self.stack.contact;
            let slab = matches!(st.arrangement, Arrangement::Layer { .. });
            let count = st.bodies.len();
            for (j, b) in st.bodies.iter().enumerate() {
                let at = self.layout.body(body);
                let (front_k, top_k) = (old[at + FRONT], old[at + TOP]);
                let mut step = body_step(st, i, j, slab, &old[at..at + BODY], vapour_pa, total_pa, h_s);
                let frozen_m =
                    if slab { b.radius_m * (1.0 - predicted(&old[at..at + BODY], b.dry_kg, h_s)) } else { 0.0 };
                // from what is below
                let below_k = if j == 0 { shelf_k(i) } else { old[self.layout.body(body - 1) + TOP] };
                let area_m2 = if slab { b.surface_m2 } else { tray.area_m2 };
                let faces_k = if slab { front_k } else { top_k };
                let coefficient = if j == 0 {
                    let formula = || below_coefficient(st, contact, total_pa, below_k, faces_k);
                    tray.contact.below_w_per_m2_k.unwrap_or_else(formula) * tray.contact.below_times.unwrap_or(1.0)
                } else {
                    let dried_m = |body: usize| {
                        let at = self.layout.body(body);
                        b.dried_m(predicted(&old[at..at + BODY], b.dry_kg, h_s))
                    };
                    between_coefficient(st, contact, total_pa, below_k, faces_k, dried_m(body - 1) + dried_m(body))
                };
                let (conductance, frozen_share) = if slab {
                    let frozen = frozen_m / model.conductivity_frozen_w_per_m_k;
                    let path = 1.0 / coefficient + frozen;
                    (area_m2 / path, frozen / path)
                } else {
                    (area_m2 * coefficient, 0.0)
                };
                if j == 0 {
                    links[link] = conductance;
                    link += 1;
                } else {
                    links[link - 1] = conductance;
                }
                step.frozen_share = frozen_share;
                if slab {
                    links[link] = step.shell_w_per_k;
                    link += 1;
                }
                // to what is above: set here for the top body, overwritten by the next body of a bed
                let above_k = if j + 1 < count {
                    top_k
                } else if i + 1 < self.stack.trays.len() || self.stack.heated_top() {
                    shelf_k(i + 1)
                } else {
                    wall_k
                };
                links[link] = self.above_w_per_k(i, area_m2, top_k, above_k, total_pa);
                link += 1;
                self.steps.push(step);
                body += 1;
            }
        }
        if self.stack.heated_top() {
            links[link] = 0.0;
        }
        self.links = links;
        if let Drive::Machine { cabinet, .. } = &self.stack.drive {
            let c = &cabinet.condenser;
            let mean_k = old[self.layout.shelf(0)];
            self.shelf_to_wall_w_per_k = cabinet.stack_to_cold_surface_m2 * radiation_w_per_m2_k(1.0, mean_k, wall_k)
                / self.layout.shelves as f64;
            let thickness_m = old[m + ICE] / (c.deposit_density_kg_per_m3 * c.area_m2);
            self.deposit_resistance_k_s_per_kg = water::heat_of_sublimation_j_per_kg(wall_k.clamp(200.0, 273.0))
                * thickness_m
                / (c.deposit_conductivity_w_per_m_k * c.area_m2);
        }
    }

    fn above_w_per_k(&self, tray: usize, area_m2: f64, top_k: f64, above_k: f64, total_pa: f64) -> f64 {
        let st = &self.stack.trays[tray];
        let top_of_stack = tray + 1 == self.stack.trays.len() && !self.stack.heated_top();
        if top_of_stack
            && !matches!(&self.stack.drive, Drive::Machine { cabinet, .. } if cabinet.above_top_tray == Above::ColdWall)
        {
            return 0.0;
        }
        let given = &st.tray.contact;
        let emissivity = given.emissivity_above.unwrap_or_else(|| {
            effective_emissivity(st.tray.model.dried.emissivity, self.stack.contact.emissivity_above)
        });
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
        let hold = full * (heater.set_point_k + 0.5 * THERMOSTAT_BAND_K - shelf_k) / THERMOSTAT_BAND_K;
        let share = allowed_share(heater, total_pa);
        let allowed = full * share;
        let slope =
            if share > 0.0 && share < 1.0 { -full / (heater.cutback_to_pa - heater.cutback_from_pa) } else { 0.0 };
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
    if !heater.cutback_from_pa.is_finite() {
        return 1.0;
    }
    ((heater.cutback_to_pa - total_pa) / (heater.cutback_to_pa - heater.cutback_from_pa)).clamp(0.0, 1.0)
}

/// Shelf temperatures between which the thermostat sets the power: it starts to where it allows less than the
/// pressure does, and ends where it allows none.
fn thermostat_band(heater: &Heater, total_pa: f64) -> (f64, f64) {
    let high_k = heater.set_point_k + 0.5 * THERMOSTAT_BAND_K;
    (high_k - THERMOSTAT_BAND_K * allowed_share(heater, total_pa), high_k)
}
