//! What a load must be for the model to follow it: each number between the limits within which the equations hold.
//!
//! The limits are wider than those of the files a cook writes, so that drawn values around any allowed one pass. A value
//! beyond them (or NaN) is [`ModelError::OutOfRange`], which names quantity, value, unit and range.

use crate::error::{ModelError, check};
use crate::food::FoodModel;
use crate::load::{EndRule, Freezing, Load, Tray};
use crate::machine::vapour_path::{MOST_AIR_PA, SLOWEST_PUMP_DOWN_S, air_pressure_pa, evacuation_s};
use crate::machine::{
    Cabinet, Condenser, Contact, Cutback, Dryer, Heater, LEAST_CLEARANCE, LEAST_EMISSIVITY, MOST_UNEVEN, Prescribed,
    Refrigeration, Vacuum,
};
use crate::shape::LEAST_HEIGHT_M;

/// Temperatures that a setting, a room or a rig may have, K.
const COLDEST_K: f64 = 173.15;
const HOTTEST_K: f64 = 423.15;

impl Load {
    /// Checks all that a run needs.
    ///
    /// # Errors
    /// [`ModelError::Empty`] without trays or schedule; [`ModelError::OutOfRange`] for a number the model cannot take.
    pub fn check(&self) -> Result<(), ModelError> {
        if self.trays.is_empty() {
            return Err(ModelError::Empty { what: "the list of trays" });
        }
        check("room temperature", self.room_k, "K", 223.15, 333.15)?;
        match &self.dryer {
            Dryer::Cabinet(cabinet) => cabinet.check()?,
            Dryer::Prescribed(rig) => rig.check()?,
        }
        self.trays.iter().try_for_each(Tray::check)?;
        self.end.check()
    }
}

impl Cabinet {
    /// Checks the machine on its own.
    ///
    /// # Errors
    /// [`ModelError::OutOfRange`] for a number the model cannot take.
    pub fn check(&self) -> Result<(), ModelError> {
        check("shelf area", self.shelf_area_m2, "m2", 1e-3, 100.0)?;
        check("number of shelves", self.shelves as f64, "shelves", 1.0, 1_000.0)?;
        check("clear height", self.clear_height_m, "m", 5e-3, 1.0)?;
        check("shelf heat capacity", self.shelf_heat_capacity_j_per_m2_k, "J/(m2 K)", 10.0, 1e6)?;
        check("power of the controls", self.controls_w, "W", 0.0, 1e5)?;
        check("heat leak", self.heat_leak_w_per_k, "W/K", 0.0, 1e3)?;
        check("area from the stack to the cold surface", self.stack_to_cold_surface_m2, "m2", 0.0, 100.0)?;
        check("factor on convection", self.convection_times, "-", 1e-2, 1e2)?;
        check("core temperature that ends freezing", self.freeze_core_k, "K", COLDEST_K, 273.15)?;
        check("longest freezing", self.freeze_limit_s, "s", 0.0, 1e7)?;
        check("condenser temperature for evacuation", self.evacuate_below_k, "K", COLDEST_K, 300.0)?;
        check("defrost heater", self.defrost_heater_w.unwrap_or(0.0), "W", 0.0, 1e5)?;
        self.heater.check()?;
        self.contact.check()?;
        self.condenser.check()?;
        self.refrigeration.check()?;
        self.vacuum.check()
    }
}

impl Heater {
    fn check(&self) -> Result<(), ModelError> {
        check("heater power", self.power_w_per_m2, "W/m2", 0.0, 1e5)?;
        self.set_point.check(COLDEST_K, HOTTEST_K)?;
        if let Some(Cutback { from_pa, to_pa, .. }) = self.cutback {
            check("pressure from which heaters are held back", from_pa, "Pa", 0.1, 5e3)?;
            check("pressure at which heaters are off", to_pa, "Pa", from_pa * (1.0 + 1e-6), 1e4)?;
        }
        Ok(())
    }
}

impl Contact {
    fn check(&self) -> Result<(), ModelError> {
        check("gap under the tray", self.gap_m, "m", 0.0, 1.0)?;
        check("direct contact", self.direct_w_per_m2_k, "W/(m2 K)", 0.0, 1e4)?;
        check("accommodation", self.accommodation, "-", 1e-2, 1.0)?;
        check("gap of a lining", self.lining_gap_m, "m", 0.0, 1.0)?;
        check("gap under a frozen block", self.frozen_block_gap_m, "m", 0.0, 1.0)?;
        check("emissivity above the food", self.emissivity_above, "-", LEAST_EMISSIVITY, 1.0)?;
        check("unevenness of the contact", self.uneven_frac, "-", 0.0, MOST_UNEVEN)?;
        check("emissivity below the food", self.emissivity_below, "-", LEAST_EMISSIVITY, 1.0)?;
        Ok(())
    }
}

impl Condenser {
    fn check(&self) -> Result<(), ModelError> {
        check("condenser area", self.area_m2, "m2", 1e-3, 100.0)?;
        check("condenser heat capacity", self.heat_capacity_j_per_k, "J/K", 1.0, 1e7)?;
        check("conductivity of the deposit", self.deposit_conductivity_w_per_m_k, "W/(m K)", 1e-2, 10.0)?;
        check("density of the deposit", self.deposit_density_kg_per_m3, "kg/m3", 10.0, 1e3)?;
        check("room for ice", self.thickness_limit_m, "m", 1e-4, 1.0)?;
        check("opening", self.opening_m2, "m2", 1e-5, 100.0)?;
        Ok(())
    }
}

impl Refrigeration {
    fn check(&self) -> Result<(), ModelError> {
        check("swept volume", self.swept_m3_per_s, "m3/s", 1e-6, 1.0)?;
        check("clearance", self.clearance, "-", LEAST_CLEARANCE, 1.0)?;
        check("compressor efficiency", self.isentropic_efficiency, "-", 0.05, 1.0)?;
        check("compressor power limit", self.power_limit_w, "W", 1.0, 1e5)?;
        check("compressor loss", self.loss_w, "W", 0.0, self.power_limit_w)?;
        check("refrigerant-to-wall conductance", self.wall_conductance_w_per_k, "W/K", 0.1, 1e5)?;
        check("hot-side conductance", self.hot_side_conductance_w_per_k, "W/K", 0.1, 1e5)?;
        Ok(())
    }
}

impl Vacuum {
    fn check(&self) -> Result<(), ModelError> {
        check("chamber volume", self.volume_m3, "m3", 1e-4, 100.0)?;
        check("pumping speed", self.speed_m3_per_s, "m3/s", 1e-6, 10.0)?;
        check("ultimate pressure", self.ultimate_pa, "Pa", 0.0, MOST_AIR_PA)?;
        check("pump power", self.power_w, "W", 0.0, 1e5)?;
        check("leak", self.leak_pa_m3_per_s, "Pa m3/s", 0.0, 100.0)?;
        check("air that the pump leaves in the chamber", air_pressure_pa(self), "Pa", 0.0, MOST_AIR_PA)?;
        check("time to pump the chamber down", evacuation_s(self), "s", 0.0, SLOWEST_PUMP_DOWN_S)?;
        Ok(())
    }
}

impl Prescribed {
    fn check(&self) -> Result<(), ModelError> {
        if self.schedule.is_empty() {
            return Err(ModelError::Empty { what: "the schedule of the rig" });
        }
        let mut before_s = 0.0;
        for point in &self.schedule {
            check("time of a point of the rig", point.time_s, "s", before_s, 1e8)?;
            before_s = point.time_s;
            check("shelf of the rig", point.shelf_k, "K", COLDEST_K, HOTTEST_K)?;
            check("vapour pressure of the rig", point.vapour_pressure_pa, "Pa", 0.0, 2e3)?;
            check("air pressure of the rig", point.air_pressure_pa, "Pa", 0.0, 1e5)?;
        }
        if let Some(surroundings_k) = self.surroundings_k {
            check("surroundings of the rig", surroundings_k, "K", COLDEST_K, HOTTEST_K)?;
        }
        self.contact.check()
    }
}

impl EndRule {
    fn check(&self) -> Result<(), ModelError> {
        match *self {
            Self::WettestSpot { moisture_wet_frac } => check("target moisture", moisture_wet_frac, "-", 1e-4, 0.9)?,
            Self::FixedTime { time_s } => check("time under vacuum", time_s, "s", 0.0, 1e8)?,
            Self::TemperaturesMeet { delta_k } => check("difference of food and shelf", delta_k, "K", 1e-3, 200.0)?,
            Self::WeightConstant { loss_kg, over_s } => {
                check("loss of weight", loss_kg, "kg", 0.0, 1e3)?;
                check("time over which weight is constant", over_s, "s", 1.0, 1e7)?
            }
        };
        Ok(())
    }
}

impl Tray {
    fn check(&self) -> Result<(), ModelError> {
        check("tray area", self.area_m2, "m2", 1e-4, 20.0)?;
        check("food height", self.shape.height_m(), "m", LEAST_HEIGHT_M, 0.2)?;
        self.model.check()?;
        let freezing_point_k = self.model.curve.freezing_point_k;
        let (low, high) = (200.0, 373.15);
        match self.freezing {
            Freezing::InMachine { loaded_k } => check("loading temperature", loaded_k, "K", low, high)?,
            Freezing::Frozen { loaded_k } => check("loading temperature", loaded_k, "K", low, freezing_point_k)?,
            Freezing::Before { start_k, air_k, .. } => {
                check("air temperature", air_k, "K", low, 330.0)?;
                check("starting temperature", start_k, "K", low, high)?
            }
        };
        if let Some(embedded) = &self.embedded {
            check("share of the embedded pieces", embedded.share_frac, "-", 0.0, 1.0)?;
            check("water content of the embedded pieces", embedded.model.water_frac(), "kg/kg", 1e-4, 0.999_9)?;
            check("density of the embedded pieces", embedded.model.density_kg_per_m3, "kg/m3", 20.0, 2_500.0)?;
        }
        if let Some(cuts) = self.cuts {
            check("edge of a portion", cuts.edge_m, "m", 1e-3, 2.0)?;
            check("width of a cut", cuts.width_m, "m", 1e-5, 0.1)?;
        }
        if let Some(uneven_frac) = self.uneven_frac {
            check("unevenness of the contact", uneven_frac, "-", 0.0, MOST_UNEVEN)?;
        }
        check("gap under this tray over that under any tray", self.gap_times, "-", 1e-3, 1e3)?;
        Ok(())
    }
}

impl FoodModel {
    fn check(&self) -> Result<(), ModelError> {
        check("water content", self.water_frac(), "kg/kg", 1e-4, 0.999_9)?;
        check("unfreezable water", self.curve.unfreezable_frac, "kg/kg", 0.0, self.water_frac())?;
        check("freezing point", self.curve.freezing_point_k, "K", 223.15, 273.15)?;
        check("density", self.density_kg_per_m3, "kg/m3", 20.0, 2_500.0)?;
        check("permeability", self.dried.permeability_kg_per_m_s_pa, "kg/(m s Pa)", 1e-12, 1e-4)?;
        check("dry conductivity", self.dried.conductivity_vacuum_w_per_m_k, "W/(m K)", 1e-4, 5.0)?;
        check("frozen conductivity", self.conductivity_frozen_w_per_m_k, "W/(m K)", 1e-3, 10.0)?;
        check("unfrozen conductivity", self.conductivity_unfrozen_w_per_m_k, "W/(m K)", 1e-3, 10.0)?;
        Ok(())
    }
}
