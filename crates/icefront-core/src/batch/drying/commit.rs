//! End of a settled step: extensive sums are moved by exactly its fluxes. What the iteration left out of balance shows
//! as a difference between heat and temperature of a body, and the next step takes it up.

use super::assembly::Sums;
use super::balance::BodyNow;
use super::{Column, Drying, Prescription};
use crate::batch::cabinet::Drive;
use crate::batch::state::{DEPTHS, DryingState};
use crate::numerics::components::Components;
use crate::water;

impl Drying<'_> {
    /// Moves the extensive state by exactly the fluxes of the converged step.
    pub(super) fn commit_step(
        &mut self,
        h_s: f64,
        old: &DryingState,
        new: &mut DryingState,
        prescribed: Option<Prescription>,
    ) {
        new.copy_from(old);
        let (deposition_kg_per_s, coil_k) = (self.now.deposition_kg_per_s, self.now.coil_k);
        let chamber = self.chamber(deposition_kg_per_s, coil_k, prescribed);
        let total_pa = chamber.vapour_pa + self.air_pa(prescribed);
        let mut sums = Sums::default();
        // heat each shelf has gained: first taken from its columns
        self.shelf_gain_w.fill(0.0);
        new.shelf_k.copy_from_slice(&self.now.shelf_k);
        for c in 0..self.columns.len() {
            self.commit_column(c, h_s, old, new, chamber.vapour_pa, &mut sums);
        }
        new.machine.vapour_pa = chamber.vapour_pa;
        let Drive::Machine { cabinet, heater, refrigerator, .. } = &self.stack.drive else {
            // a rig's shelves give what their neighbours take
            new.machine.heaters_j -= h_s * self.shelf_gain_w.iter().sum::<f64>();
            return;
        };
        let mut limited = false;
        for (s, gain_w) in self.shelf_gain_w.iter().enumerate() {
            let shelf_k = self.now.shelf_k[s];
            let (power_w, _, _, held_back) = self.heater_w(heater, s, shelf_k, total_pa);
            let to_wall_w = self.shelf_to_wall_w_per_k[s] * (shelf_k - coil_k);
            new.shelf_k[s] = old.shelf_k[s] + h_s * (gain_w + power_w - to_wall_w) / self.shelf_capacity(s);
            new.machine.heaters_j += power_w * h_s;
            sums.to_wall_w += to_wall_w;
            limited |= held_back;
        }
        if limited {
            new.machine.limited_s += h_s;
        }
        let cooling = refrigerator.at(coil_k);
        let leak_w = cabinet.heat_leak_w_per_k * (self.stack.load.room_k - coil_k);
        let deposited_w = deposition_kg_per_s * deposit_heat_j_per_kg(sums.vapour_k(coil_k), coil_k);
        let gain_w = deposited_w + sums.to_wall_w + leak_w - cooling.cooling_w;
        new.machine.coil_k += h_s * gain_w / cabinet.condenser.heat_capacity_j_per_k;
        // a bare cold wall gives off no ice
        new.machine.ice_kg = (new.machine.ice_kg + deposition_kg_per_s * h_s).max(0.0);
        new.machine.deposition_kg_per_s = deposition_kg_per_s;
        // what is not deposited goes through the pump: water is kept to round-off
        new.machine.pumped_kg += (sums.vapour_kg_per_s - deposition_kg_per_s) * h_s;
        new.machine.compressor_j += cooling.power_w * h_s;
        new.machine.cooled_j += cooling.cooling_w * h_s;
        new.machine.leaked_j += leak_w * h_s;
        new.machine.deposited_j += deposited_w * h_s;
    }

    /// Moves the bodies of one column and notes what its shelves gain.
    fn commit_column(
        &mut self,
        column: usize,
        h_s: f64,
        old: &DryingState,
        new: &mut DryingState,
        vapour_pa: f64,
        sums: &mut Sums,
    ) {
        let Column { tray, bodies, layer, above, above_w_per_k, .. } = self.columns[column].clone();
        let shelf_k = self.now.shelf_k[tray];
        let mut below_k = shelf_k;
        for b in bodies.clone() {
            let now = self.steps[b].now(self.models[b], self.rows[b].front_k, self.rows[b].top_k, vapour_pa);
            let (front_k, top_k) = (now.front_k, now.top_k);
            let to_k = if layer { front_k } else { top_k };
            let in_w = self.steps[b].below_w_per_k * (below_k - to_k);
            let dried_layer_w = self.steps[b].dried_layer_w_per_k * (top_k - front_k);
            let (front_w, top_w) = if layer { (in_w, 0.0) } else { (0.0, in_w) };
            if b == bodies.start {
                self.shelf_gain_w[tray] -= in_w;
            } else {
                new.elements[b - 1].surface_heat_j -= h_s * in_w;
            }
            new.elements[b].front_heat_j += h_s * (front_w + dried_layer_w);
            new.elements[b].surface_heat_j += h_s * (top_w - dried_layer_w);
            self.commit_element(b, h_s, old, new, &now, shelf_k);
            let vapour = now.sub.rate_kg_per_s + now.desorbing.rate_kg_per_s;
            sums.vapour_kg_per_s += vapour;
            sums.vapour_heat += vapour * top_k;
            below_k = top_k;
        }
        let above_k = above.map_or(self.now.coil_k, |s| self.now.shelf_k[s]);
        let out_w = above_w_per_k * (below_k - above_k);
        new.elements[bodies.end - 1].surface_heat_j -= h_s * out_w;
        match above {
            Some(s) => self.shelf_gain_w[s] += out_w,
            None => sums.to_wall_w += out_w,
        }
    }

    /// Moves one body by its own vapour and water.
    fn commit_element(
        &self,
        b: usize,
        h_s: f64,
        old: &DryingState,
        new: &mut DryingState,
        now: &BodyNow,
        below_k: f64,
    ) {
        let step = &self.steps[b];
        let model = self.models[b];
        let (was, element) = (&old.elements[b], &mut new.elements[b]);
        let BodyNow { front_k, top_k, sub, desorbing } = now;
        let front_w = step.front_balance(model, was.passed_kg, below_k, now).spent_w;
        let top_w = step.surface_balance(model, was.passed_kg, now).spent_w;
        let moved = if sub.finished { step.front.left_kg } else { sub.rate_kg_per_s * sub.dry_per_ice * h_s };
        let passed = was.passed_kg + moved;
        element.passed_kg = passed;
        element.sublimed_kg += sub.rate_kg_per_s * h_s;
        element.front_heat_j -= front_w * h_s;
        element.surface_heat_j -= top_w * h_s;
        element.front_k = *front_k;
        element.surface_k = *top_k;
        element.front_rate_kg_per_s = moved / h_s;
        element.sublimation_kg_per_s = sub.rate_kg_per_s;
        // water the front leaves behind, by depth
        let whole_per_dry = model.water_per_dry();
        let behind = moved * whole_per_dry - sub.rate_kg_per_s * h_s;
        let cell_kg = step.dry_kg / DEPTHS as f64;
        for (sorbed_kg, left_kg) in element.sorbed_kg.iter_mut().zip(step.desorption.left_kg(*front_k, *top_k)) {
            *sorbed_kg = left_kg;
        }
        if moved > 0.0 {
            // from the depth in which the front was to that in which it is
            let first = ((was.passed_kg / cell_kg) as usize).min(DEPTHS - 1);
            let last = ((passed / cell_kg) as usize).min(DEPTHS - 1);
            for k in first..=last {
                let low = was.passed_kg.max(k as f64 * cell_kg);
                let high = if k == last { passed } else { (k + 1) as f64 * cell_kg };
                element.sorbed_kg[k] += (high - low).max(0.0) / moved * behind;
            }
        }
        // what the vapour takes along; the rest is handed from front to surface
        let taken_w = sub.rate_kg_per_s
            * (water::heat_of_sublimation_j_per_kg(front_k.min(273.15)) + step.vapour_j_per_kg_k * (top_k - front_k))
            + desorbing.front_w
            + desorbing.top_w;
        new.machine.latent_j += taken_w * h_s;
        new.machine.transferred_j += (front_w + top_w - taken_w) * h_s;
    }
}

/// Heat set free by vapour that becomes ice on the wall, J/kg.
pub(super) fn deposit_heat_j_per_kg(vapour_k: f64, coil_k: f64) -> f64 {
    water::vapour_enthalpy_j_per_kg(vapour_k) - water::ice_enthalpy_j_per_kg(coil_k.min(273.15))
}
