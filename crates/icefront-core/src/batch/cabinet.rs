//! The stack as data for the two stage systems: trays, shelves, wall; what hangs on what.

use super::Precision;
use super::parts::{Part, parts_of};
use crate::error::{ModelError, check};
use crate::freezing::column::Column;
use crate::load::{Freezing, Load, Tray};
use crate::machine::refrigeration::Refrigerator;
use crate::machine::{Above, Cabinet, Contact, Dryer, Prescribed, vapour_path};
use crate::primary::Body;
use crate::shape::LEAST_HEIGHT_M;

/// A loaded stack, ready to run.
#[derive(Clone, Debug)]
pub struct Stack<'a> {
    /// The load it was made from.
    pub load: &'a Load,
    /// Trays from the bottom up.
    pub trays: Vec<StackTray<'a>>,
    /// What drives it.
    pub drive: Drive<'a>,
    /// Tray on shelf.
    pub contact: Contact,
    /// Clear height between shelves, m.
    pub clear_height_m: f64,
    /// Of its steps, over the default one.
    pub tolerance: f64,
}

/// One tray of the stack.
#[derive(Clone, Debug)]
pub struct StackTray<'a> {
    /// As loaded.
    pub tray: &'a Tray,
    /// Parts side by side.
    pub parts: Vec<Part>,
    /// Cells for freezing.
    pub column: Column,
    /// Clear space above the food, m.
    pub gap_above_m: f64,
}

impl StackTray<'_> {
    /// Bodies of all parts in their order, each with its part.
    pub fn bodies(&self) -> impl Iterator<Item = (&Part, &Body)> + Clone {
        self.parts.iter().flat_map(|part| part.bodies.iter().map(move |body| (part, body)))
    }

    /// Dry matter on the tray, kg.
    pub fn dry_kg(&self) -> f64 {
        self.bodies().map(|(_, body)| body.dry_kg).sum()
    }

    /// Water loaded, kg.
    pub fn water_kg(&self) -> f64 {
        self.bodies().map(|(part, body)| body.dry_kg * part.model.water_per_dry()).sum()
    }
}

/// Machine or rig.
#[derive(Clone, Debug)]
pub enum Drive<'a> {
    /// A cabinet with its refrigerator in this room.
    Machine {
        /// Its data.
        cabinet: &'a Cabinet,
        /// Cooling against metal temperature.
        refrigerator: Refrigerator,
        /// Chamber to cold surface, kg/(s Pa).
        path_kg_per_s_pa: f64,
        /// Air in the chamber, Pa.
        air_pa: f64,
    },
    /// Prescribed shelf temperature and pressure.
    Rig(&'a Prescribed),
}

/// Vapour between shelves and condenser: its temperature in the path, K (a few per cent of flow hang on it).
const PATH_GAS_K: f64 = 273.15;
/// Clear height of a prescribed rig, m.
const RIG_CLEAR_HEIGHT_M: f64 = 0.05;

impl<'a> Stack<'a> {
    /// Checks a load and prepares it.
    ///
    /// # Errors
    /// [`ModelError::Empty`] without trays or schedule; [`ModelError::OutOfRange`] for a number the model cannot take.
    pub fn new(load: &'a Load, precision: &Precision) -> Result<Self, ModelError> {
        if load.trays.is_empty() {
            return Err(ModelError::Empty { what: "the list of trays" });
        }
        check("cells per tray", precision.freezing_cells as f64, "cells", 2.0, 1e4)?;
        check("tolerance factor", precision.tolerance, "-", 1e-9, 1e3)?;
        check("room temperature", load.room_k, "K", 223.15, 333.15)?;
        let (drive, contact, clear_height_m) = match &load.dryer {
            Dryer::Cabinet(cabinet) => {
                check_cabinet(cabinet)?;
                let drive = Drive::Machine {
                    refrigerator: Refrigerator::in_room(&cabinet.refrigeration, load.room_k)?,
                    path_kg_per_s_pa: vapour_path::opening_conductance_kg_per_s_pa(
                        cabinet.condenser.opening_m2,
                        PATH_GAS_K,
                    ),
                    air_pa: vapour_path::air_pressure_pa(&cabinet.vacuum),
                    cabinet,
                };
                (drive, cabinet.contact, cabinet.clear_height_m)
            }
            Dryer::Prescribed(rig) => {
                if rig.schedule.is_empty() {
                    return Err(ModelError::Empty { what: "the schedule of the rig" });
                }
                (Drive::Rig(rig), rig.contact, RIG_CLEAR_HEIGHT_M)
            }
        };
        let trays = load
            .trays
            .iter()
            .map(|tray| stack_tray(tray, clear_height_m, precision.freezing_cells))
            .collect::<Result<_, _>>()?;
        Ok(Self { load, trays, drive, contact, clear_height_m, tolerance: precision.tolerance })
    }

    /// Area of all trays, m2.
    pub fn area_m2(&self) -> f64 {
        self.trays.iter().map(|t| t.tray.area_m2).sum()
    }

    /// Shelf and tray metal under a tray, J/K.
    pub fn shelf_capacity_j_per_k(&self, tray: usize) -> f64 {
        match &self.drive {
            Drive::Machine { cabinet, .. } => cabinet.shelf_heat_capacity_j_per_m2_k * self.trays[tray].tray.area_m2,
            Drive::Rig(_) => 0.0,
        }
    }

    /// Whether one more heated shelf lies above the top tray: built so, or left empty.
    pub fn heated_top(&self) -> bool {
        match &self.drive {
            Drive::Machine { cabinet, .. } => {
                cabinet.above_top_tray == Above::HeatedShelf || self.trays.len() < cabinet.shelves
            }
            Drive::Rig(rig) => rig.heated_above,
        }
    }
}

fn stack_tray(tray: &Tray, clear_height_m: f64, freezing_cells: usize) -> Result<StackTray<'_>, ModelError> {
    let m = &tray.model;
    check("tray area", tray.area_m2, "m2", 1e-4, 10.0)?;
    check("food height", tray.shape.height_m(), "m", LEAST_HEIGHT_M, 0.2)?;
    check("water content", m.water_frac(), "kg/kg", 1e-4, 0.999_9)?;
    check("unfreezable water", m.curve.unfreezable_frac, "kg/kg", 0.0, m.water_frac())?;
    check("freezing point", m.curve.freezing_point_k, "K", 223.15, 273.15)?;
    check("density", m.density_kg_per_m3, "kg/m3", 20.0, 2_500.0)?;
    check("permeability", m.dried.permeability_kg_per_m_s_pa, "kg/(m s Pa)", 1e-12, 1e-4)?;
    check("dry conductivity", m.dried.conductivity_vacuum_w_per_m_k, "W/(m K)", 1e-4, 5.0)?;
    check("frozen conductivity", m.conductivity_frozen_w_per_m_k, "W/(m K)", 1e-3, 10.0)?;
    check("unfrozen conductivity", m.conductivity_unfrozen_w_per_m_k, "W/(m K)", 1e-3, 10.0)?;
    let (low, high) = (200.0, 373.15);
    match tray.freezing {
        Freezing::InMachine { loaded_k } => check("loading temperature", loaded_k, "K", low, high)?,
        Freezing::Frozen { loaded_k } => check("loading temperature", loaded_k, "K", low, m.curve.freezing_point_k)?,
        Freezing::Before { start_k, air_k, .. } => {
            check("air temperature", air_k, "K", low, 330.0)?;
            check("starting temperature", start_k, "K", low, high)?
        }
    };
    if let Some(embedded) = &tray.embedded {
        check("share of the embedded pieces", embedded.share_frac, "-", 0.0, 1.0)?;
        check("water content of the embedded pieces", embedded.model.water_frac(), "kg/kg", 1e-4, 0.999_9)?;
        check("density of the embedded pieces", embedded.model.density_kg_per_m3, "kg/m3", 20.0, 2_500.0)?;
    }
    if let Some(cuts) = tray.cuts {
        check("edge of a portion", cuts.edge_m, "m", 1e-3, 2.0)?;
        check("width of a cut", cuts.width_m, "m", 1e-5, 0.1)?;
    }
    if let Some(uneven) = tray.uneven {
        check("strips of a tray", uneven.strips as f64, "-", 1.0, 20.0)?;
        check("spread of the contact", uneven.spread_frac, "-", 0.0, 0.95)?;
    }
    Ok(StackTray {
        tray,
        parts: parts_of(tray),
        column: Column::new(&tray.mean_model(), &tray.shape, tray.area_m2, freezing_cells),
        gap_above_m: (clear_height_m - tray.shape.height_m()).max(2e-3),
    })
}

fn check_cabinet(cabinet: &Cabinet) -> Result<(), ModelError> {
    check("shelf area", cabinet.shelf_area_m2, "m2", 1e-3, 100.0)?;
    check("clear height", cabinet.clear_height_m, "m", 5e-3, 1.0)?;
    check("condenser area", cabinet.condenser.area_m2, "m2", 1e-3, 100.0)?;
    check("condenser heat capacity", cabinet.condenser.heat_capacity_j_per_k, "J/K", 1.0, 1e7)?;
    check("shelf heat capacity", cabinet.shelf_heat_capacity_j_per_m2_k, "J/(m2 K)", 10.0, 1e6)?;
    check("opening", cabinet.condenser.opening_m2, "m2", 1e-5, 10.0)?;
    check("pumping speed", cabinet.vacuum.speed_m3_per_s, "m3/s", 1e-6, 10.0)?;
    check("compressor efficiency", cabinet.refrigeration.isentropic_efficiency, "-", 0.05, 1.0)?;
    check("refrigerant-to-wall conductance", cabinet.refrigeration.wall_conductance_w_per_k, "W/K", 0.1, 1e5)?;
    check("hot-side conductance", cabinet.refrigeration.hot_side_conductance_w_per_k, "W/K", 1.0, 1e6)?;
    Ok(())
}
