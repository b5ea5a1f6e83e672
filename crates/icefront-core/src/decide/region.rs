//! The usable region of one food: at which shelf temperatures and chamber pressures it dries, how well and how fast.
//!
//! # Main equations
//! None of its own: the food lies alone on a shelf of prescribed temperature in a chamber whose pressure is prescribed until
//! its last ice is gone and then falls, as in a rig, and is dried at each point of a grid. Warmer shelves bring more heat; a
//! higher pressure conducts more heat to the tray but lets the vapour leave less easily, so the ice front is warmer either way, and a warm front costs texture.
//! ```text
//! gentlest   coldest mean ice front among the points at which it is dry in time (PATIENCE_S)
//! fastest    shortest drying among the points whose grade is no worse than the gentlest one's
//! ```
//!
//! # Assumptions and limits
//! Typical numbers. Only texture and melting are graded: heat may cost colour, aroma and vitamins before that, which the
//! model does not have. What pressure a machine reaches with a full load is another question: [`super::shelf`] runs it.

use serde::Serialize;

use super::grade::Grade;
use crate::constants::ZERO_CELSIUS_K;
use crate::error::ModelError;
use crate::load::{EndRule, Freezing, Load, Tray};
use crate::machine::{Above, Cabinet, Dryer, Prescribed, PrescribedPoint, vapour_path};
use crate::ranges::by_index;

/// Shelf temperatures of the grid, degC.
const SHELF_C: [f64; 8] = [10.0, 20.0, 30.0, 40.0, 50.0, 60.0, 70.0, 80.0];
/// Chamber pressures of the grid, vapour and air, Pa.
const PRESSURE_PA: [f64; 6] = [10.0, 25.0, 50.0, 75.0, 100.0, 150.0];
/// Drying that takes longer is no use to a cook, s (`common practice, no source`).
pub const PATIENCE_S: f64 = 48.0 * 3_600.0;
/// Vapour in the chamber once the ice is gone, Pa, and how long it takes to get there, s (`common practice, no source`).
const DRY_CHAMBER_PA: f64 = 5.0;
const PUMPED_S: f64 = 1_800.0;
/// How cold food is where it is loaded unfrozen into a rig, K.
const FROZEN_K: f64 = ZERO_CELSIUS_K - 30.0;
/// The moisture of [`EndRule::WettestSpot`] where the load ends by another rule, wet basis.
const USUAL_MOISTURE: f64 = 0.03;

/// One food at one shelf temperature and pressure.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Cell {
    /// Shelf, K.
    pub shelf_k: f64,
    /// Vapour and air in the chamber, Pa.
    pub pressure_pa: f64,
    /// Until the wettest spot is dry, without freezing and evacuation, s; `None`: never.
    pub dry_s: Option<f64>,
    /// Ice front, mean over ice and time, K.
    pub front_mean_k: f64,
    /// How it comes out.
    pub grade: Grade,
}

/// The usable region of a food.
#[derive(Clone, Debug, PartialEq)]
pub struct Region {
    /// Row by row of rising pressure, each from the coldest shelf to the warmest.
    pub cells: Vec<Cell>,
    /// The gentlest point; `None` where it never dries in time.
    pub gentlest: Option<Cell>,
    /// The fastest point that keeps that one's grade.
    pub fastest: Option<Cell>,
}

impl Region {
    /// Shelf temperatures of the columns, K.
    pub fn shelves_k() -> impl Iterator<Item = f64> {
        SHELF_C.into_iter().map(|celsius| ZERO_CELSIUS_K + celsius)
    }

    /// Rows, each of one pressure.
    pub fn rows(&self) -> impl Iterator<Item = &[Cell]> {
        self.cells.chunks(SHELF_C.len())
    }
}

/// Dries the food of a tray at every point of the grid.
///
/// # Errors
/// [`ModelError`] if none of the points can be run.
pub fn region(load: &Load, tray: usize) -> Result<Region, ModelError> {
    let points: Vec<(f64, f64)> =
        PRESSURE_PA.iter().flat_map(|pa| Region::shelves_k().map(move |shelf_k| (shelf_k, *pa))).collect();
    let runs = by_index(points.len(), None, |i| at(load, tray, points[i].0, points[i].1));
    let cells = runs.into_iter().collect::<Result<Vec<Cell>, ModelError>>()?;
    let in_time = |cell: &&Cell| cell.dry_s.is_some_and(|dry_s| dry_s <= PATIENCE_S);
    let gentlest = cells.iter().filter(in_time).min_by(|a, b| a.front_mean_k.total_cmp(&b.front_mean_k)).copied();
    let as_good = |cell: &&Cell| gentlest.is_some_and(|gentlest| cell.grade <= gentlest.grade);
    let dry_s = |cell: &Cell| cell.dry_s.unwrap_or(f64::INFINITY);
    let fastest = cells.iter().filter(in_time).filter(as_good).min_by(|a, b| dry_s(a).total_cmp(&dry_s(b))).copied();
    Ok(Region { cells, gentlest, fastest })
}

/// Dries the food of a tray on a shelf of this temperature at this pressure.
///
/// # Errors
/// [`ModelError`] as the model gives it.
pub fn at(load: &Load, tray: usize, shelf_k: f64, pressure_pa: f64) -> Result<Cell, ModelError> {
    // once the ice is gone little vapour is left in a chamber that is pumped
    let wet = crate::plan(&rig(load, tray, shelf_k, pressure_pa, f64::INFINITY))?;
    let ice_gone_s = wet.trays.first().and_then(|tray| tray.ice_gone_at_s);
    let result = match ice_gone_s {
        Some(ice_gone_s) => crate::plan(&rig(load, tray, shelf_k, pressure_pa, ice_gone_s))?,
        None => wet,
    };
    let Some(dried) = result.trays.first() else { return Err(ModelError::Empty { what: "the rig" }) };
    Ok(Cell {
        shelf_k,
        pressure_pa,
        dry_s: dried.dry_at_s,
        front_mean_k: dried.front_mean_k,
        grade: Grade::of(&dried.flags),
    })
}

/// The tray alone in a rig, with the contact and the ceiling that it has in its dryer, at this pressure until a time.
fn rig(load: &Load, tray: usize, shelf_k: f64, pressure_pa: f64, until_s: f64) -> Load {
    let mut tray_alone = frozen(&load.trays[tray]);
    let (mut rig, air_pa) = match &load.dryer {
        Dryer::Cabinet(cabinet) => {
            let place = place_of(cabinet, load, tray);
            if !place.heated_above && cabinet.above_top_tray == Above::Insulated {
                let nothing = Some(0.0);
                (tray_alone.contact.emissivity_above, tray_alone.contact.gas_above_w_per_m2_k) = (nothing, nothing);
            }
            (place, vapour_path::air_pressure_pa(&cabinet.vacuum))
        }
        Dryer::Prescribed(rig) => (rig.clone(), rig.schedule.first().map_or(0.0, |point| point.air_pressure_pa)),
    };
    let air_pressure_pa = air_pa.min(0.5 * pressure_pa);
    let vapour_pressure_pa = pressure_pa - air_pressure_pa;
    let held = PrescribedPoint { time_s: 0.0, shelf_k, vapour_pressure_pa, air_pressure_pa };
    rig.schedule = vec![held];
    if until_s.is_finite() && vapour_pressure_pa > DRY_CHAMBER_PA {
        let pumped = PrescribedPoint { vapour_pressure_pa: DRY_CHAMBER_PA, ..held };
        let at = |time_s: f64, point: PrescribedPoint| PrescribedPoint { time_s, ..point };
        rig.schedule.extend([at(until_s, held), at(until_s + PUMPED_S, pumped)]);
    }
    let moisture_wet_frac = match load.end {
        EndRule::WettestSpot { moisture_wet_frac } => moisture_wet_frac,
        _ => USUAL_MOISTURE,
    };
    Load {
        dryer: Dryer::Prescribed(rig),
        trays: vec![tray_alone],
        end: EndRule::WettestSpot { moisture_wet_frac },
        ..load.clone()
    }
}

/// A tray's place in a cabinet as a rig: a shelf as warm as its own above it, or the cold surface, from which an insulated lid
/// keeps it.
fn place_of(cabinet: &Cabinet, load: &Load, tray: usize) -> Prescribed {
    let below_another = tray + 1 < load.trays.len() || load.trays.len() < cabinet.shelves;
    Prescribed {
        name: cabinet.name.clone(),
        schedule: Vec::new(),
        contact: cabinet.contact,
        heated_below: true,
        heated_above: below_another || cabinet.above_top_tray == Above::HeatedShelf,
        surroundings_k: Some(cabinet.evacuate_below_k),
    }
}

/// The tray, frozen through; lying on its tray as it does in its load.
fn frozen(tray: &Tray) -> Tray {
    let freezing = match tray.freezing {
        Freezing::Frozen { loaded_k } => Freezing::Frozen { loaded_k: loaded_k.min(FROZEN_K) },
        Freezing::InMachine { .. } | Freezing::Before { .. } => Freezing::InMachine { loaded_k: FROZEN_K },
    };
    Tray { freezing, ..tray.clone() }
}
