//! The implicit step: Newton on the chain with two unknowns that see all of it.

use nalgebra::{Matrix2, Vector2};

use super::{Drying, LeafRow, Node, Now, REFERENCE_K, thermostat_band};
use crate::batch::cabinet::Drive;
use crate::batch::state::{
    BODY, COMPRESSOR, COOLED, DEPOSIT_RATE, DEPOSITED, DEPTHS, FRONT, HANDED, HEAT_FRONT, HEAT_TOP, HEATERS, HELD, ICE,
    LEAKED, LIMITED, PACE, PASSED, PRESSURE, PUMPED, SPENT, SUBLIMED, TOP, VAPOUR, WALL,
};
use crate::error::ModelError;
use crate::machine::{Cabinet, vapour_path};
use crate::numerics::stepper::ImplicitEuler;
use crate::numerics::tridiagonal;
use crate::primary::{Sublimation, sublimation};
use crate::water;

const MOST_ITERATIONS: usize = 50;
/// After so many iterations as many take only half of each correction, and so on: what swings between two sides of a
/// corner settles.
const SWINGING: usize = 10;
/// Below this move, K, corrections are whole again.
const NEARLY_SETTLED_K: f64 = 1e-4;
/// Largest change of a temperature in one iteration, K.
const LARGEST_MOVE_K: f64 = 8.0;
/// A driving pressure smaller than this share of the pressure counts as none.
const CORNER: f64 = 1e-9;
/// How near to a corner a front counts as there, K.
const AT_CORNER_K: f64 = 1e-7;
/// How far past a corner a move may end, as a share of the way or in kelvin.
const PAST_CORNER: f64 = 1e-6;
/// A driving pressure may change its sign by a jump no larger than this share of the pressure.
const SMALL_JUMP: f64 = 1e-3;
/// A step has settled when no temperature moves more than this, K: Newton leaves an error of about its square.
const SETTLED_K: f64 = 1e-6;
/// Less held back than this, K, counts as a correction taken whole.
const ALL_TAKEN_K: f64 = 1e-9;
/// Share of a front's dry matter that may be wrong per step, 1 at the stepper's tolerance.
const PASSED_TOLERANCE: f64 = 4e-3;
/// The same for water held, kg/kg dry.
const HELD_TOLERANCE: f64 = 1e-2;
/// The same for temperatures of shelves and wall, K.
const METAL_TOLERANCE_K: f64 = 8.0;
/// Gas on its way to the pump, K (room warmth; a few grams per hour hang on it).
const PUMP_GAS_K: f64 = 293.15;

/// Chamber pressure from the two unknowns, with slopes.
#[derive(Clone, Copy, Debug, Default)]
struct Chamber {
    vapour_pa: f64,
    per_deposit: f64,
    per_wall_k: f64,
    ice_surface_pa: f64,
}

/// Corrections of one iteration.
struct Border {
    deposit: f64,
    wall_k: f64,
}

/// Numbers of one front at the current iterate.
#[derive(Clone, Copy, Debug)]
struct FrontBalance {
    residual: f64,
    per_front_k: f64,
    per_below_k: f64,
    per_top_k: f64,
    per_pa: f64,
}

impl Drying<'_> {
    fn chamber(&self, deposit: f64, wall_k: f64, now: Option<Now>) -> Chamber {
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
    fn front_balance(
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
    fn surface_balance(
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

    /// Assembles the chain at the current iterate and solves it with three right-hand sides.
    fn iterate(&mut self, h_s: f64, old: &[f64], now: Option<Now>, wall_k: f64, chamber: &Chamber) -> Sums {
        let n = self.nodes.len();
        for i in 0..n {
            self.lower[i] = 0.0;
            self.diagonal[i] = 0.0;
            self.upper[i] = 0.0;
            self.rhs[i] = [0.0; 3];
        }
        let mut sums = Sums::default();
        let total_pa = chamber.vapour_pa + self.air_pa(now);
        for i in 0..n {
            let here_k = self.temperature[i];
            let g = self.links[i];
            self.diagonal[i] += g;
            if i + 1 < n {
                let flow = g * (self.temperature[i + 1] - here_k);
                self.rhs[i][0] += flow;
                self.rhs[i + 1][0] -= flow;
                self.upper[i] -= g;
                self.lower[i + 1] -= g;
                self.diagonal[i + 1] += g;
            } else {
                // the last link leads to the cold wall
                self.rhs[i][0] += g * (wall_k - here_k);
                self.rhs[i][2] += g;
                sums.to_wall_w += g * (here_k - wall_k);
                sums.to_wall_slope += g;
            }
            match self.nodes[i] {
                Node::Shelf(s) => self.shelf_row(i, s, h_s, old, now, wall_k, total_pa, chamber, &mut sums),
                Node::Front(b) => {
                    let sub = self.sublime(b, here_k, chamber.vapour_pa);
                    let desorbed_kg_per_s = self.steps[b].desorption.at(here_k, self.temperature[i + 1]).rate_kg_per_s;
                    let f =
                        self.front_balance(b, old, h_s, here_k, self.temperature[i - 1], self.temperature[i + 1], &sub);
                    self.rhs[i][0] -= f.residual;
                    self.rhs[i][1] -= f.per_pa * chamber.per_deposit;
                    self.rhs[i][2] -= f.per_pa * chamber.per_wall_k;
                    self.diagonal[i] += f.per_front_k;
                    self.lower[i] += f.per_below_k;
                    self.upper[i] += f.per_top_k;
                    sums.add_vapour(&sub, desorbed_kg_per_s);
                }
                Node::Surface(b) => self.surface_row(i, b, h_s, old, chamber, &mut sums),
            }
        }
        tridiagonal::solve(&self.lower, &mut self.diagonal, &self.upper, &mut self.rhs);
        sums
    }

    fn sublime(&mut self, body: usize, front_k: f64, vapour_pa: f64) -> Sublimation {
        let step = &self.steps[body];
        let sub = sublimation(&self.stack.trays[step.tray].tray.model, &step.front, front_k, vapour_pa);
        self.sublimation[body] = sub;
        sub
    }

    #[expect(clippy::too_many_arguments, reason = "one row, all it hangs on")]
    fn shelf_row(
        &mut self,
        i: usize,
        shelf: usize,
        h_s: f64,
        old: &[f64],
        now: Option<Now>,
        wall_k: f64,
        total_pa: f64,
        chamber: &Chamber,
        sums: &mut Sums,
    ) {
        let here_k = self.temperature[i];
        if let Some(n) = now {
            // prescribed: the row says so, whatever its neighbours want
            self.lower[i] = 0.0;
            self.upper[i] = 0.0;
            self.diagonal[i] = 1.0;
            self.rhs[i] = [n.shelf_k - here_k, 0.0, 0.0];
            return;
        }
        let Drive::Machine { cabinet, .. } = &self.stack.drive else { return };
        let capacity = self.shelf_capacity(shelf) / h_s;
        let (power, per_k, per_pa, limited) = self.heater_w(&cabinet.heater, shelf, here_k, total_pa);
        let g = self.shelf_to_wall_w_per_k;
        self.rhs[i][0] += power - capacity * (here_k - old[self.layout.shelf(shelf)]) - g * (here_k - wall_k);
        self.rhs[i][1] += per_pa * chamber.per_deposit;
        self.rhs[i][2] += per_pa * chamber.per_wall_k + g;
        self.diagonal[i] += capacity - per_k + g;
        sums.to_wall_w += g * (here_k - wall_k);
        sums.to_wall_slope += g;
        sums.heater_w += power;
        sums.limited |= limited;
    }

    fn surface_row(&mut self, i: usize, b: usize, h_s: f64, old: &[f64], chamber: &Chamber, sums: &mut Sums) {
        let top_k = self.temperature[i];
        let slab = self.steps[b].slab;
        let front_k = if slab { self.temperature[i - 1] } else { self.leaf[b] };
        let sub = if slab { self.sublimation[b] } else { self.sublime(b, front_k, chamber.vapour_pa) };
        let (residual, own, other) = self.surface_balance(b, old, h_s, front_k, top_k, &sub);
        self.rhs[i][0] -= residual;
        self.diagonal[i] += own;
        // the vapour's own share in the surface's balance against pressure
        let half_c = 0.5 * self.stack.trays[self.steps[b].tray].tray.model.dried.heat_capacity_j_per_kg_k;
        let per_pa =
            sub.slope_kg_per_s_pa * (self.steps[b].vapour_j_per_kg_k + sub.dry_per_ice * half_c) * (top_k - front_k);
        self.rhs[i][1] -= per_pa * chamber.per_deposit;
        self.rhs[i][2] -= per_pa * chamber.per_wall_k;
        let desorbed_kg_per_s = self.steps[b].desorption.at(front_k, top_k).rate_kg_per_s;
        sums.vapour_heat += (sub.rate_kg_per_s + desorbed_kg_per_s) * top_k;
        sums.vapour_weight += sub.rate_kg_per_s + desorbed_kg_per_s;
        if slab {
            self.lower[i] += other;
            return;
        }
        // leaf: front inside a piece, eliminated into its surface
        let g = self.steps[b].shell_w_per_k;
        let f = self.front_balance(b, old, h_s, front_k, front_k, top_k, &sub);
        let leaf = LeafRow {
            diagonal: f.per_front_k + g,
            up: f.per_top_k - g,
            rhs: [-f.residual + g * (top_k - front_k), -f.per_pa * chamber.per_deposit, -f.per_pa * chamber.per_wall_k],
        };
        self.rhs[i][0] += g * (front_k - top_k);
        self.diagonal[i] += g;
        let to_leaf = other - g;
        let factor = to_leaf / leaf.diagonal;
        self.diagonal[i] -= factor * leaf.up;
        for k in 0..3 {
            self.rhs[i][k] -= factor * leaf.rhs[k];
        }
        self.leaf_rows[b] = leaf;
        sums.add_vapour(&sub, desorbed_kg_per_s);
    }

    /// Solves the two unknowns that see the whole chain.
    #[expect(clippy::too_many_arguments, reason = "the whole step's balances meet here")]
    fn border(
        &self,
        cabinet: &Cabinet,
        h_s: f64,
        old: &[f64],
        deposit: f64,
        wall_k: f64,
        chamber: &Chamber,
        sums: &Sums,
    ) -> Border {
        let Drive::Machine { refrigerator, .. } = &self.stack.drive else {
            return Border { deposit: 0.0, wall_k: 0.0 };
        };
        let m = self.layout.machine();
        let pump = vapour_path::pump_vapour_kg_per_s_pa(&cabinet.vacuum, PUMP_GAS_K);
        // vapour balance: sublimation and desorption against deposit and pump
        let mut g1 = sums.vapour_kg_per_s - deposit - pump * chamber.ice_surface_pa;
        let ice_slope = chamber.per_wall_k;
        let mut g1_deposit =
            -1.0 - pump * ice_slope * self.deposit_resistance_k_s_per_kg + sums.slope_pa * chamber.per_deposit;
        let mut g1_wall = -pump * ice_slope + sums.slope_pa * chamber.per_wall_k;
        // wall balance
        let vapour_k = if sums.vapour_weight > 1e-15 { sums.vapour_heat / sums.vapour_weight } else { wall_k };
        let per_kg = deposit_heat_j_per_kg(vapour_k, wall_k);
        let cooling = refrigerator.at(wall_k);
        let leak = cabinet.heat_leak_w_per_k;
        let capacity = cabinet.condenser.heat_capacity_j_per_k / h_s;
        let mut g2 = capacity * (wall_k - old[m + WALL])
            - deposit * per_kg
            - sums.to_wall_w
            - leak * (self.stack.load.room_k - wall_k)
            + cooling.cooling_w;
        let mut g2_deposit = -per_kg;
        let mut g2_wall = capacity + sums.to_wall_slope + leak + cooling.slope_w_per_k;
        // chain corrections: dT = rhs0 + rhs1 dN + rhs2 dT_w
        let mut add = |per_k: f64, x: [f64; 3]| {
            g1 += per_k * x[0];
            g1_deposit += per_k * x[1];
            g1_wall += per_k * x[2];
        };
        for (i, node) in self.nodes.iter().enumerate() {
            let x = self.rhs[i];
            match *node {
                Node::Shelf(_) => {
                    let g = self.shelf_to_wall_w_per_k;
                    g2 -= g * x[0];
                    g2_deposit -= g * x[1];
                    g2_wall -= g * x[2];
                }
                Node::Front(b) => {
                    let (desorbing, _) = self.steps[b].desorption.rate_slopes();
                    add(self.sublimation[b].slope_kg_per_s_k + desorbing, x);
                }
                Node::Surface(b) => {
                    let (at_front, at_top) = self.steps[b].desorption.rate_slopes();
                    add(at_top, x);
                    if !self.steps[b].slab {
                        let leaf = &self.leaf_rows[b];
                        let y = [0, 1, 2].map(|k| (leaf.rhs[k] - leaf.up * x[k]) / leaf.diagonal);
                        add(self.sublimation[b].slope_kg_per_s_k + at_front, y);
                    }
                }
            }
        }
        let last = self.nodes.len() - 1;
        let g = self.links[last];
        g2 -= g * self.rhs[last][0];
        g2_deposit -= g * self.rhs[last][1];
        g2_wall -= g * self.rhs[last][2];
        let matrix = Matrix2::new(g1_deposit, g1_wall, g2_deposit, g2_wall);
        match matrix.lu().solve(&Vector2::new(-g1, -g2)) {
            Some(x) if deposit + x[0] >= 0.0 => Border { deposit: x[0], wall_k: x[1] },
            // the pump takes it all: nothing is deposited, the wall's balance alone is left
            Some(_) => Border { deposit: -deposit, wall_k: (g2_deposit * deposit - g2) / g2_wall },
            None => Border { deposit: f64::NAN, wall_k: f64::NAN },
        }
    }

    /// Share of a correction that may be taken so that the pressure does not jump over the band in which it holds the
    /// heaters back: outside the band the power does not answer to pressure, and Newton would jump to and fro.
    fn to_pressure_corner(&self, border: &Border, deposit: f64, wall_k: f64, now: Option<Now>) -> f64 {
        let Drive::Machine { cabinet, air_pa, .. } = &self.stack.drive else { return 1.0 };
        let vapour = |share: f64| {
            self.chamber((deposit + share * border.deposit).max(0.0), wall_k + share * border.wall_k, now).vapour_pa
        };
        let (here, there) = (vapour(0.0), vapour(1.0));
        let (from, to) = (cabinet.heater.cutback_from_pa - air_pa, cabinet.heater.cutback_to_pa - air_pa);
        // a hair past the corner, into the band
        let hair = PAST_CORNER * (to - from);
        let band = |corner: f64, hair: f64| (corner + hair - here) / (there - here);
        let mut share: f64 = 1.0;
        if to.is_finite() && here > to && there < to {
            share = share.min(band(to, -hair));
        } else if to.is_finite() && here < from && there > from {
            share = share.min(band(from, hair));
        }
        for i in 0..self.nodes.len() {
            let Some((front_k, change_k)) = self.front_move(i, border) else { continue };
            let (a, b) = (
                water::ice_vapour_pressure_pa(front_k) - here,
                water::ice_vapour_pressure_pa(front_k + change_k) - there,
            );
            if a.abs() > CORNER * here && b.abs() > SMALL_JUMP * here && a * b < 0.0 {
                // a hair on the side on which it sublimes
                share = share.min(a / (a - b) * (1.0 - PAST_CORNER * a.signum()));
            }
        }
        share
    }

    /// Temperature of the front that hangs on a node, if it has ice, and its correction, K.
    fn front_move(&self, node: usize, border: &Border) -> Option<(f64, f64)> {
        let x = self.rhs[node];
        let change_k = x[0] + x[1] * border.deposit + x[2] * border.wall_k;
        match self.nodes[node] {
            Node::Front(b) if self.steps[b].front.left_kg > 0.0 => Some((self.temperature[node], change_k)),
            Node::Surface(b) if !self.steps[b].slab && self.steps[b].front.left_kg > 0.0 => {
                let leaf = &self.leaf_rows[b];
                let rhs = leaf.rhs[0] + leaf.rhs[1] * border.deposit + leaf.rhs[2] * border.wall_k;
                Some((self.leaf[b], (rhs - leaf.up * change_k) / leaf.diagonal))
            }
            _ => None,
        }
    }

    /// Moves a shelf's temperature, but not past the start of the thermostat's band from either side.
    fn move_shelf(&self, shelf_k: f64, change_k: f64, total_pa: f64) -> f64 {
        let target_k = shelf_k + change_k;
        let Drive::Machine { cabinet, .. } = &self.stack.drive else { return target_k };
        let (low_k, high_k) = thermostat_band(&cabinet.heater, total_pa);
        if shelf_k < low_k && target_k > low_k {
            low_k + PAST_CORNER
        } else if shelf_k > high_k && target_k < high_k {
            high_k - PAST_CORNER
        } else {
            target_k
        }
    }

    /// Temperature of a front at which its frozen part is at the freezing point on average, K.
    fn thawed_k(&self, body: usize, below_k: f64) -> f64 {
        let step = &self.steps[body];
        let half = 0.5 * step.frozen_share;
        (self.stack.trays[step.tray].tray.model.curve.freezing_point_k - half * below_k) / (1.0 - half)
    }

    /// Applies a correction; returns the largest move of a temperature before it was held, and the largest held back, K.
    fn apply(&mut self, border: &Border, chamber: &Chamber, now: Option<Now>, share: f64) -> (f64, f64) {
        let frost_k = water::frost_point_k(chamber.vapour_pa);
        let total_pa = chamber.vapour_pa + self.air_pa(now);
        let mut largest: f64 = border.wall_k.abs();
        let mut held_back: f64 = (1.0 - share) * largest;
        for i in 0..self.nodes.len() {
            let x = self.rhs[i];
            let change = x[0] + x[1] * border.deposit + x[2] * border.wall_k;
            largest = largest.max(change.abs());
            let moved = (share * change).clamp(-LARGEST_MOVE_K, LARGEST_MOVE_K);
            let before_k = self.temperature[i];
            self.temperature[i] = match self.nodes[i] {
                Node::Front(b) => {
                    move_front(self.temperature[i], moved, frost_k, self.thawed_k(b, self.temperature[i - 1]))
                }
                Node::Shelf(_) => self.move_shelf(self.temperature[i], moved, total_pa),
                Node::Surface(_) => self.temperature[i] + moved,
            };
            held_back = held_back.max((self.temperature[i] - before_k - change).abs());
            if let Node::Surface(b) = self.nodes[i]
                && !self.steps[b].slab
            {
                let leaf = &self.leaf_rows[b];
                let rhs = leaf.rhs[0] + leaf.rhs[1] * border.deposit + leaf.rhs[2] * border.wall_k;
                let inner = (rhs - leaf.up * change) / leaf.diagonal;
                largest = largest.max(inner.abs());
                let inner_moved = (share * inner).clamp(-LARGEST_MOVE_K, LARGEST_MOVE_K);
                let before_k = self.leaf[b];
                self.leaf[b] = move_front(before_k, inner_moved, frost_k, self.thawed_k(b, before_k));
                held_back = held_back.max((self.leaf[b] - before_k - inner).abs());
            }
        }
        (if largest.is_nan() { f64::INFINITY } else { largest }, held_back)
    }
}

/// Moves a front's temperature, but not over a corner of its balance, over which Newton would jump to and fro: where
/// sublimation sets in (`frost_k`), and where (`thawed_k`) the frozen part is at its freezing point on average and its heat capacity
/// falls a hundredfold. From a corner it converges.
fn move_front(front_k: f64, change_k: f64, frost_k: f64, thawed_k: f64) -> f64 {
    let mut target_k = front_k + change_k;
    if (front_k - thawed_k).abs() > 2.0 * AT_CORNER_K && (front_k > thawed_k) != (target_k > thawed_k) {
        target_k = thawed_k - AT_CORNER_K;
    }
    let off_corner = (front_k - frost_k).abs() > AT_CORNER_K;
    if off_corner && (front_k > frost_k) != (target_k > frost_k) { frost_k } else { target_k }
}

/// Heat set free by vapour that becomes ice on the wall, J/kg.
fn deposit_heat_j_per_kg(vapour_k: f64, wall_k: f64) -> f64 {
    water::vapour_enthalpy_j_per_kg(vapour_k) - water::ice_enthalpy_j_per_kg(wall_k.min(273.15))
}

/// Sums over the chain at one iterate.
#[derive(Clone, Copy, Debug, Default)]
struct Sums {
    vapour_kg_per_s: f64,
    slope_pa: f64,
    vapour_heat: f64,
    vapour_weight: f64,
    to_wall_w: f64,
    to_wall_slope: f64,
    heater_w: f64,
    limited: bool,
}

impl Sums {
    fn add_vapour(&mut self, sub: &Sublimation, desorbed: f64) {
        self.vapour_kg_per_s += sub.rate_kg_per_s + desorbed;
        self.slope_pa += sub.slope_kg_per_s_pa;
    }
}

impl ImplicitEuler for Drying<'_> {
    fn step(&mut self, t_s: f64, h_s: f64, old: &[f64], new: &mut [f64]) -> Result<(), ModelError> {
        let now = self.now(t_s + h_s);
        self.prepare(h_s, old, now);
        let m = self.layout.machine();
        for i in 0..self.nodes.len() {
            self.temperature[i] = match self.nodes[i] {
                Node::Shelf(s) => now.map_or(old[self.layout.shelf(s)], |n| n.shelf_k),
                Node::Front(b) => old[self.layout.body(b) + FRONT],
                Node::Surface(b) => {
                    self.leaf[b] = old[self.layout.body(b) + FRONT];
                    old[self.layout.body(b) + TOP]
                }
            };
        }
        let (mut deposit, mut wall_k) = (old[m + DEPOSIT_RATE], old[m + WALL]);
        let mut largest = f64::INFINITY;
        for iteration in 0..MOST_ITERATIONS {
            let chamber = self.chamber(deposit, wall_k, now);
            let sums = self.iterate(h_s, old, now, wall_k, &chamber);
            let border = match &self.stack.drive {
                Drive::Machine { cabinet, .. } => self.border(cabinet, h_s, old, deposit, wall_k, &chamber, &sums),
                Drive::Rig(_) => Border { deposit: 0.0, wall_k: 0.0 },
            };
            let swings = (iteration / SWINGING) % 2 == 1 && largest > NEARLY_SETTLED_K;
            let whole = if swings { 0.5 } else { 1.0 };
            let share = whole * self.to_pressure_corner(&border, deposit, wall_k, now);
            let held_back;
            (largest, held_back) = self.apply(&border, &chamber, now, share);
            if !largest.is_finite() {
                break;
            }
            deposit = (deposit + share * border.deposit).max(0.0);
            wall_k += (share * border.wall_k).clamp(-LARGEST_MOVE_K, LARGEST_MOVE_K);
            // a correction that was not taken whole leaves its part of the balance open
            if largest < SETTLED_K && held_back < ALL_TAKEN_K {
                break;
            }
        }
        if largest > SETTLED_K {
            return Err(ModelError::NotConverged {
                what: "drying step",
                at_s: t_s,
                residual: largest,
                limit: SETTLED_K,
            });
        }
        self.finish(h_s, old, new, now, deposit, wall_k);
        Ok(())
    }

    fn difference(&self, full: &[f64], half: &[f64]) -> f64 {
        let mut worst: f64 = 0.0;
        for (b, step) in self.steps.iter().enumerate() {
            let at = self.layout.body(b);
            let passed = (full[at + PASSED] - half[at + PASSED]).abs() / step.dry_kg;
            let held = |s: &[f64]| s[at + HELD..at + BODY].iter().sum::<f64>();
            let held = (held(full) - held(half)).abs() / step.dry_kg;
            worst = worst.max(step.slowing * passed / PASSED_TOLERANCE).max((held - passed).abs() / HELD_TOLERANCE);
        }
        for s in 0..self.layout.shelves {
            let at = self.layout.shelf(s);
            worst = worst.max((full[at] - half[at]).abs() / METAL_TOLERANCE_K);
        }
        let at = self.layout.machine() + WALL;
        worst.max((full[at] - half[at]).abs() / METAL_TOLERANCE_K)
    }

    fn mend(&self, state: &mut [f64]) {
        // the full step may reach a depth that the half steps do not: its water belongs to the depth before
        for b in 0..self.layout.bodies {
            let held = &mut state[self.layout.body(b) + HELD..self.layout.body(b) + BODY];
            for k in (1..DEPTHS).rev() {
                if held[k] < 0.0 {
                    held[k - 1] += held[k];
                    held[k] = 0.0;
                }
            }
            // no water at all, to round-off
            if held[0] < 0.0 && held[0] > -1e-12 * self.steps[b].dry_kg {
                held[0] = 0.0;
            }
        }
    }

    fn admissible(&self, old: &[f64], state: &[f64]) -> bool {
        let m = self.layout.machine();
        self.steps.iter().enumerate().all(|(b, step)| {
            let at = self.layout.body(b);
            let held = |s: &[f64]| s[at + HELD..at + BODY].iter().sum::<f64>();
            state[at + PASSED] >= old[at + PASSED]
                && state[at + PASSED] <= step.dry_kg * (1.0 + 1e-12)
                && (at + HELD..at + BODY).all(|k| state[k] >= 0.0)
                // where no front adds to it, held water only falls
                && (state[at + PASSED] > old[at + PASSED] || held(state) <= held(old))
        }) && state[m + DEPOSIT_RATE] >= 0.0
            && state[m + PRESSURE] >= 0.0
            && state[m + HEATERS] >= old[m + HEATERS]
            && state[m + LIMITED] >= old[m + LIMITED]
            && state.iter().all(|x| x.is_finite())
    }
}

impl Drying<'_> {
    /// Moves the extensive state by exactly what the settled step says.
    fn finish(&mut self, h_s: f64, old: &[f64], new: &mut [f64], now: Option<Now>, deposit: f64, wall_k: f64) {
        new.copy_from_slice(old);
        let m = self.layout.machine();
        let chamber = self.chamber(deposit, wall_k, now);
        let total_pa = chamber.vapour_pa + self.air_pa(now);
        let (mut vapour, mut weighted_k, mut supplied, mut limited) = (0.0, 0.0, 0.0, false);
        for i in 0..self.nodes.len() {
            let here_k = self.temperature[i];
            match self.nodes[i] {
                Node::Shelf(s) => {
                    new[self.layout.shelf(s)] = here_k;
                    if let Drive::Machine { cabinet, .. } = &self.stack.drive {
                        let (power, _, _, held_back) = self.heater_w(&cabinet.heater, s, here_k, total_pa);
                        supplied += power;
                        limited |= held_back;
                    } else {
                        // a rig's shelf gives what its neighbours take
                        if i > 0 {
                            supplied += self.links[i - 1] * (here_k - self.temperature[i - 1]);
                        }
                        if i + 1 < self.nodes.len() {
                            supplied += self.links[i] * (here_k - self.temperature[i + 1]);
                        }
                    }
                }
                Node::Front(_) => {}
                Node::Surface(b) => {
                    let front_k = if self.steps[b].slab { self.temperature[i - 1] } else { self.leaf[b] };
                    let below_k = if self.steps[b].slab { self.temperature[i - 2] } else { front_k };
                    let leaving = self.finish_body(b, h_s, old, new, front_k, here_k, below_k, chamber.vapour_pa);
                    vapour += leaving;
                    weighted_k += leaving * here_k;
                }
            }
        }
        new[m + PRESSURE] = chamber.vapour_pa;
        new[m + HEATERS] += supplied * h_s;
        if limited {
            new[m + LIMITED] += h_s;
        }
        let Drive::Machine { cabinet, refrigerator, .. } = &self.stack.drive else { return };
        let cooling = refrigerator.at(wall_k);
        // what does not go through the pump is deposited: water is kept to round-off
        let pumped = vapour - deposit;
        let vapour_k = if vapour > 1e-15 { weighted_k / vapour } else { wall_k };
        let leak = cabinet.heat_leak_w_per_k * (self.stack.load.room_k - wall_k);
        new[m + WALL] = wall_k;
        new[m + ICE] += deposit * h_s;
        new[m + DEPOSIT_RATE] = deposit;
        new[m + PUMPED] += pumped * h_s;
        new[m + COMPRESSOR] += cooling.power_w * h_s;
        new[m + COOLED] += cooling.cooling_w * h_s;
        new[m + LEAKED] += leak * h_s;
        new[m + DEPOSITED] += deposit * deposit_heat_j_per_kg(vapour_k, wall_k) * h_s;
    }

    /// Moves one front; returns the vapour that leaves it, kg/s.
    #[expect(clippy::too_many_arguments, reason = "one body's end of step")]
    fn finish_body(
        &mut self,
        b: usize,
        h_s: f64,
        old: &[f64],
        new: &mut [f64],
        front_k: f64,
        top_k: f64,
        below_k: f64,
        vapour_pa: f64,
    ) -> f64 {
        let sub = self.sublime(b, front_k, vapour_pa);
        let step = &self.steps[b];
        let model = &self.stack.trays[step.tray].tray.model;
        let (at, m) = (self.layout.body(b), self.layout.machine());
        let dry_frac = model.dry_frac();
        let c_dry = model.dried.heat_capacity_j_per_kg_k;
        let total = step.front.left_kg + old[at + PASSED];
        let moved = if sub.finished { step.front.left_kg } else { sub.rate_kg_per_s * sub.dry_per_ice * h_s };
        let passed = old[at + PASSED] + moved;
        let left = (step.front.left_kg - moved).max(0.0);
        let mean_k = front_k + 0.5 * step.frozen_share * (below_k - front_k);
        new[at + PASSED] = passed;
        new[at + SUBLIMED] += sub.rate_kg_per_s * h_s;
        new[at + HEAT_FRONT] =
            left / dry_frac * model.curve.enthalpy_j_per_kg(mean_k) + 0.5 * c_dry * passed * (front_k - REFERENCE_K);
        new[at + HEAT_TOP] = 0.5 * c_dry * passed * (top_k - REFERENCE_K);
        new[at + FRONT] = front_k;
        new[at + TOP] = top_k;
        new[at + PACE] = moved / h_s;
        new[at + VAPOUR] = sub.rate_kg_per_s;
        // water the front leaves behind, by depth
        let behind = if moved > 0.0 { moved * model.water_frac() / dry_frac - sub.rate_kg_per_s * h_s } else { 0.0 };
        let desorbing = step.desorption.at(front_k, top_k);
        let cell_kg = total / DEPTHS as f64;
        for k in 0..DEPTHS {
            let low = (old[at + PASSED]).max(k as f64 * cell_kg);
            let high = if k + 1 == DEPTHS { passed } else { passed.min((k + 1) as f64 * cell_kg) };
            let share = if moved > 0.0 { (high - low).max(0.0) / moved } else { 0.0 };
            new[at + HELD + k] = step.desorption.held_kg(k, front_k, top_k) + share * behind;
        }
        new[m + SPENT] += (sub.rate_kg_per_s
            * (water::heat_of_sublimation_j_per_kg(front_k.min(273.15)) + step.vapour_j_per_kg_k * (top_k - front_k))
            + desorbing.front_w
            + desorbing.top_w)
            * h_s;
        new[m + HANDED] +=
            moved * (model.curve.enthalpy_j_per_kg(front_k) / dry_frac - c_dry * (front_k - REFERENCE_K));
        sub.rate_kg_per_s + desorbing.rate_kg_per_s
    }
}
