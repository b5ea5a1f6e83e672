//! End of a settled step: extensive sums are moved by exactly its fluxes.

use super::{Drying, Node, Now, REFERENCE_K};
use crate::batch::cabinet::Drive;
use crate::batch::state::{
    COMPRESSOR, COOLED, DEPOSIT_RATE, DEPOSITED, DEPTHS, FRONT, HANDED, HEAT_FRONT, HEAT_TOP, HEATERS, HELD, ICE,
    LEAKED, LIMITED, PACE, PASSED, PRESSURE, PUMPED, SPENT, SUBLIMED, TOP, VAPOUR, WALL,
};
use crate::water;

impl Drying<'_> {
    /// Moves the extensive state by exactly what the settled step says.
    pub(super) fn finish(
        &mut self,
        h_s: f64,
        old: &[f64],
        new: &mut [f64],
        now: Option<Now>,
        deposit: f64,
        wall_k: f64,
    ) {
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
        let cell_kg = step.dry_kg / DEPTHS as f64;
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

/// Heat set free by vapour that becomes ice on the wall, J/kg.
pub(super) fn deposit_heat_j_per_kg(vapour_k: f64, wall_k: f64) -> f64 {
    water::vapour_enthalpy_j_per_kg(vapour_k) - water::ice_enthalpy_j_per_kg(wall_k.min(273.15))
}
