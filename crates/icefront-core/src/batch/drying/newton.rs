//! One Newton iteration: the chain with three right-hand sides, and the two unknowns that see all of it.

use nalgebra::{Matrix2, Vector2};

use super::balance::Chamber;
use super::finish::deposit_heat_j_per_kg;
use super::{Drying, LeafRow, Node, Now};
use crate::batch::cabinet::Drive;
use crate::batch::state::WALL;
use crate::machine::{Cabinet, vapour_path};
use crate::numerics::tridiagonal;
use crate::primary::{Sublimation, sublimation};

/// Gas on its way to the pump, K (room warmth; a few grams per hour hang on it).
const PUMP_GAS_K: f64 = 293.15;

/// Corrections of one iteration.
pub(super) struct Border {
    pub(super) deposit: f64,
    pub(super) wall_k: f64,
}

/// Sums over the chain at one iterate.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Sums {
    pub(super) vapour_kg_per_s: f64,
    pub(super) slope_pa: f64,
    pub(super) vapour_heat: f64,
    pub(super) vapour_weight: f64,
    pub(super) to_wall_w: f64,
    pub(super) to_wall_slope: f64,
}

impl Sums {
    fn add_vapour(&mut self, sub: &Sublimation, desorbed: f64) {
        self.vapour_kg_per_s += sub.rate_kg_per_s + desorbed;
        self.slope_pa += sub.slope_kg_per_s_pa;
    }
}

impl Drying<'_> {
    /// Assembles the chain at the current iterate and solves it with three right-hand sides.
    pub(super) fn iterate(&mut self, h_s: f64, old: &[f64], now: Option<Now>, wall_k: f64, chamber: &Chamber) -> Sums {
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

    pub(super) fn sublime(&mut self, body: usize, front_k: f64, vapour_pa: f64) -> Sublimation {
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
        let (power, per_k, per_pa, _) = self.heater_w(&cabinet.heater, shelf, here_k, total_pa);
        let g = self.shelf_to_wall_w_per_k;
        self.rhs[i][0] += power - capacity * (here_k - old[self.layout.shelf(shelf)]) - g * (here_k - wall_k);
        self.rhs[i][1] += per_pa * chamber.per_deposit;
        self.rhs[i][2] += per_pa * chamber.per_wall_k + g;
        self.diagonal[i] += capacity - per_k + g;
        sums.to_wall_w += g * (here_k - wall_k);
        sums.to_wall_slope += g;
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
    pub(super) fn border(
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
}
