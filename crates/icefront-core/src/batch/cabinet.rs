//! The stack as data for the two stage systems: trays, shelves, condenser coil, and how they are connected.

use super::Precision;
use super::parts::{Part, parts_of, settling, strips_of};
use crate::error::{ModelError, check};
use crate::freezing::column::Column;
use crate::load::{Load, Tray};
use crate::machine::refrigeration::Refrigerator;
use crate::machine::{Above, Cabinet, Contact, Dryer, Heater, Prescribed, vapour_path};
use crate::primary::Body;

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
        /// Its heaters, held back by total pressure.
        heater: Heater,
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

/// Vapour between shelves and condenser: its temperature in the path, K (a few per cent of the flow depend on it).
const PATH_GAS_K: f64 = 273.15;
/// Clear height of a prescribed rig, m.
const RIG_CLEAR_HEIGHT_M: f64 = 0.05;

impl<'a> Stack<'a> {
    /// Checks a load and prepares it.
    ///
    /// # Errors
    /// As [`Load::check`].
    pub fn new(load: &'a Load, precision: &Precision) -> Result<Self, ModelError> {
        load.check()?;
        check("cells per tray", precision.freezing_cells as f64, "cells", 2.0, 1e4)?;
        check("strips of a tray", precision.contact_strips as f64, "-", 1.0, 3.0)?;
        check("tolerance factor", precision.tolerance, "-", 1e-9, 1e3)?;
        let (drive, contact, clear_height_m) = match &load.dryer {
            Dryer::Cabinet(cabinet) => {
                let air_pa = vapour_path::air_pressure_pa(&cabinet.vacuum);
                let cutback = cabinet.heater.cutback.map(|band| band.absolute(air_pa));
                let drive = Drive::Machine {
                    heater: Heater { cutback, ..cabinet.heater.clone() },
                    refrigerator: Refrigerator::in_room(&cabinet.refrigeration, load.room_k)?,
                    path_kg_per_s_pa: vapour_path::opening_conductance_kg_per_s_pa(
                        cabinet.condenser.opening_m2,
                        PATH_GAS_K,
                    ),
                    air_pa,
                    cabinet,
                };
                (drive, cabinet.contact, cabinet.clear_height_m)
            }
            Dryer::Prescribed(rig) => (Drive::Rig(rig), rig.contact, RIG_CLEAR_HEIGHT_M),
        };
        let mut stack =
            Self { load, trays: Vec::new(), drive, contact, clear_height_m, tolerance: precision.tolerance };
        stack.trays = load.trays.iter().map(|tray| stack.loaded(tray, precision)).collect();
        Ok(stack)
    }

    fn loaded(&self, tray: &'a Tray, precision: &Precision) -> StackTray<'a> {
        let model = settling(tray.mean_model(), tray);
        let from_below = !self.open_below() && tray.contact.below_w_per_m2_k != Some(0.0);
        let uneven_frac = if from_below { tray.uneven_frac.unwrap_or(self.contact.uneven_frac) } else { 0.0 };
        StackTray {
            tray,
            parts: parts_of(tray, &strips_of(uneven_frac, precision.contact_strips)),
            column: Column::new(&model, &tray.shape, tray.area_m2, precision.freezing_cells),
            gap_above_m: (self.clear_height_m - tray.shape.height_m()).max(2e-3),
        }
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

    /// Surfaces at a temperature of their own, from the bottom up: the shelves under the trays, and what lies above the top
    /// tray if it is a shelf or, in a rig, whatever it is.
    pub fn shelves(&self) -> usize {
        self.trays.len() + usize::from(self.heated_top() || matches!(self.drive, Drive::Rig(_)))
    }

    /// Whether the undersides of the trays face the surroundings instead of a shelf.
    pub fn open_below(&self) -> bool {
        matches!(self.drive, Drive::Rig(rig) if !rig.heated_below)
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
