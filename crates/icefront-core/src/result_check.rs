//! What no run can be: a result is looked over before it is given away.
//!
//! A number beyond these bounds is a fault of the model, never of the load: it is [`ModelError::Impossible`], not an
//! answer.

use crate::error::ModelError;
use crate::result::{BatchResult, ByConsumer, Sample};

/// Temperatures between which everything in a run lies, K. No machine of the model cools below the first; shelves,
/// rooms and food that is loaded hot stay below the second.
const COLDEST_K: f64 = 150.0;
const HOTTEST_K: f64 = 450.0;
/// Highest pressure in a cabinet, Pa: somewhat above the atmosphere its door lifts.
const HIGHEST_PA: f64 = 1.1 * 101_325.0;
/// Largest error of a sum that counts as closed.
const CLOSED: f64 = 1e-6;
/// Round-off that a sum may leave on the wrong side of nothing, as a share of it.
const ROUND_OFF: f64 = 1e-9;

impl BatchResult {
    /// Refuses what no run can be: numbers that are none, negative times, energies or amounts, temperatures below 150 K,
    /// pressures well above the atmosphere, sums that do not close.
    ///
    /// # Errors
    /// [`ModelError::Impossible`] with the first number that cannot be.
    pub fn check(&self) -> Result<(), ModelError> {
        for &stage_s in self.stage_s.values() {
            positive("length of a stage", stage_s, "s")?;
        }
        // a rig has no machine: its heaters are what its shelves give, and cold shelves take
        let has_machine = self.machine.ice_room_frac.is_some();
        for energy in self.energy_by_stage_j.values() {
            consumers("energy of a stage", energy, "J", has_machine)?;
        }
        within("error of the water balance", self.balance.mass_rel, "-", -CLOSED, CLOSED)?;
        within("error of the heat balance", self.balance.energy_rel, "-", -CLOSED, CLOSED)?;
        let loaded_kg = self.water.loaded_kg;
        let (no_kg, most_kg) = (-ROUND_OFF * loaded_kg, (1.0 + ROUND_OFF) * loaded_kg);
        positive("water loaded", loaded_kg, "kg")?;
        within("water left", self.water.left_kg, "kg", no_kg, most_kg)?;
        within("water taken out", self.water.removed_kg, "kg", no_kg, most_kg)?;
        pressure("pressure in the chamber", self.machine.max_pressure_pa)?;
        pressure("mean pressure in the chamber", self.machine.mean_pressure_pa)?;
        positive("ice on the condenser", self.machine.ice_thickness_m, "m")?;
        for tray in &self.trays {
            temperature("ice front", tray.front_max_k)?;
            temperature("dried food", tray.dried_max_k)?;
            share("mean moisture", tray.mean_wet_frac)?;
            share("moisture of the wettest spot", tray.wettest_wet_frac)?;
            within("water left on a tray", tray.water_left_kg, "kg", no_kg, most_kg)?;
            positive("time between 57 and 5 degC", tray.warm_time_s, "s")?;
            for time_s in [tray.ice_gone_at_s, tray.dry_at_s, tray.frozen_at_s].into_iter().flatten() {
                positive("time of a tray", time_s, "s")?;
            }
        }
        self.history.iter().try_for_each(|sample| sample_is_possible(sample, has_machine))
    }
}

fn sample_is_possible(sample: &Sample, has_machine: bool) -> Result<(), ModelError> {
    positive("time of a sample", sample.time_s, "s")?;
    pressure("vapour pressure", sample.vapour_pressure_pa)?;
    pressure("chamber pressure", sample.chamber_pressure_pa)?;
    positive("ice on the condenser", sample.condenser_ice_kg, "kg")?;
    consumers("energy", &sample.energy_j, "J", has_machine)?;
    consumers("power", &sample.power_w, "W", has_machine)?;
    if has_machine {
        temperature("condenser", sample.condenser_k)?;
        temperature("ice on the condenser", sample.ice_surface_k)?;
    }
    for tray in &sample.trays {
        share("ice left", tray.ice_left_frac)?;
        temperature("ice front", tray.front_k)?;
        temperature("shelf", tray.shelf_k)?;
        temperature("surface of the food", tray.surface_k)?;
        positive("water per dry matter", tray.water_per_dry, "kg/kg")?;
    }
    Ok(())
}

fn within(quantity: &'static str, value: f64, unit: &'static str, low: f64, high: f64) -> Result<(), ModelError> {
    if value >= low && value <= high {
        Ok(())
    } else {
        Err(ModelError::Impossible { quantity, value, unit, low, high })
    }
}

fn positive(quantity: &'static str, value: f64, unit: &'static str) -> Result<(), ModelError> {
    within(quantity, value, unit, -ROUND_OFF, f64::MAX)
}

fn pressure(quantity: &'static str, value: f64) -> Result<(), ModelError> {
    within(quantity, value, "Pa", -ROUND_OFF, HIGHEST_PA)
}

fn share(quantity: &'static str, value: f64) -> Result<(), ModelError> {
    within(quantity, value, "-", -ROUND_OFF, 1.0 + ROUND_OFF)
}

fn temperature(quantity: &'static str, value: f64) -> Result<(), ModelError> {
    within(quantity, value, "K", COLDEST_K, HOTTEST_K)
}

fn consumers(quantity: &'static str, by: &ByConsumer, unit: &'static str, has_machine: bool) -> Result<(), ModelError> {
    let least = if has_machine { -ROUND_OFF * by.total().abs().max(1.0) } else { f64::MIN };
    for value in [by.compressor, by.vacuum_pump, by.heaters, by.other] {
        within(quantity, value, unit, least, f64::MAX)?;
    }
    Ok(())
}
