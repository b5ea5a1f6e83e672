//! A dryer as data, in SI.

use serde::{Deserialize, Serialize};

use super::SetPoint;
use crate::food::Band;

/// A dryer, or a rig whose conditions are prescribed.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub enum Dryer {
    /// A cabinet with its own condenser, heaters and pump.
    Cabinet(Box<Cabinet>),
    /// Shelf temperature and chamber pressure follow a given schedule.
    Prescribed(Prescribed),
}

impl Dryer {
    /// Name as listed.
    pub fn name(&self) -> &str {
        match self {
            Self::Cabinet(c) => &c.name,
            Self::Prescribed(p) => &p.name,
        }
    }
}

impl Dryer {
    /// Whether a run may be paused to open the door; a rig may.
    pub fn can_pause(&self) -> bool {
        !matches!(self, Self::Cabinet(cabinet) if !cabinet.can_pause)
    }
}

/// A cabinet dryer.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Cabinet {
    /// Name as listed.
    pub name: String,
    /// Where its numbers come from.
    pub note: String,
    /// All shelves together, m2.
    pub shelf_area_m2: f64,
    /// Number of shelves; a tray is one shelf unless the load says otherwise.
    pub shelves: usize,
    /// Clear height above a shelf, m.
    pub clear_height_m: f64,
    /// What the top tray sees above it.
    pub above_top_tray: Above,
    /// Shelf and tray metal, J/(m2 K).
    pub shelf_heat_capacity_j_per_m2_k: f64,
    /// Heaters.
    pub heater: Heater,
    /// Tray on shelf.
    pub contact: Contact,
    /// Condenser.
    pub condenser: Condenser,
    /// Refrigeration.
    pub refrigeration: Refrigeration,
    /// Vacuum side.
    pub vacuum: Vacuum,
    /// Controls and fans, W.
    pub controls_w: f64,
    /// Heat leaking in from the room, W/K.
    pub heat_leak_w_per_k: f64,
    /// Area through which the warm stack faces the cold surface: as if black, and across [`STACK_TO_WALL_M`] of vapour, m2.
    pub stack_to_cold_surface_m2: f64,
    /// Times the heat that air carries while food freezes, by correlations for open plates: 1 unless drawn.
    pub convection_times: f64,
    /// Core temperature at which freezing in the machine is over, K.
    pub freeze_core_k: f64,
    /// Longest time allowed for that, s.
    pub freeze_limit_s: f64,
    /// Condenser temperature at which evacuation may start, K.
    pub evacuate_below_k: f64,
    /// Whether a run may be paused to open the door.
    #[serde(default)]
    pub can_pause: bool,
    /// Heater that melts the ice off; `None`: the room does it.
    pub defrost_heater_w: Option<f64>,
}

/// Distance from the edge of the shelves to the cold wall, across which the vapour of the chamber conducts, m. From memory.
pub const STACK_TO_WALL_M: f64 = 0.02;

/// Share of the clear height up to which food may stand: above it, it shifts, spills and shields the shelf
/// (`common practice, no source`).
const HIGHEST_FOOD: f64 = 0.8;
/// Nobody sees, and no rule of thumb knows, whether food stands less than this too high, m.
const SEEN_BY_EYE_M: f64 = 1e-3;

impl Cabinet {
    /// How high food may stand on a shelf, m.
    pub fn highest_food_m(&self) -> f64 {
        HIGHEST_FOOD * self.clear_height_m
    }

    /// Whether food of this height stands too high.
    pub fn is_too_high(&self, height_m: f64) -> bool {
        height_m > self.highest_food_m() + SEEN_BY_EYE_M
    }
}

/// What a top tray faces.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Above {
    /// One more heated shelf.
    HeatedShelf,
    /// The cold wall.
    ColdWall,
    /// A roof that lets no heat through.
    Insulated,
}

/// Shelf heaters.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Heater {
    /// Greatest power, W per m2 of shelf.
    pub power_w_per_m2: f64,
    /// What the shelves are heated to.
    pub set_point: SetPoint,
    /// Chamber pressures over which power is held back; `None`: never.
    pub cutback: Option<Cutback>,
}

/// Chamber pressures over which a heater's power falls from full to nothing.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Cutback {
    /// Where power starts to be held back, Pa.
    pub from_pa: f64,
    /// Where power is zero, Pa.
    pub to_pa: f64,
    /// The gauge that reads them.
    #[serde(default)]
    pub gauge: Gauge,
}

/// What a pressure gauge answers to.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Gauge {
    /// The pressure itself, whatever the gas: a capacitance manometer.
    #[default]
    Absolute,
    /// The heat a gas conducts, in pascals of air: a Pirani or thermocouple gauge.
    HeatConduction,
}

impl Gauge {
    /// Reading over vapour pressure. A gauge set for air reads about 1.5 times too much in water vapour (1.5 to 1.6 in the
    /// freeze-drying literature, `from memory`).
    pub fn vapour_factor(self) -> f64 {
        match self {
            Self::Absolute => 1.0,
            Self::HeatConduction => 1.5,
        }
    }
}

impl Cutback {
    /// The same band in total pressure, with so much air in the chamber and the rest vapour.
    #[must_use]
    pub fn absolute(self, air_pa: f64) -> Self {
        let total_pa = |reading_pa: f64| air_pa + (reading_pa - air_pa) / self.gauge.vapour_factor();
        Self { from_pa: total_pa(self.from_pa), to_pa: total_pa(self.to_pa), gauge: Gauge::Absolute }
    }

    /// The same band at so many times the pressure.
    pub fn scale(&mut self, factor: f64) {
        self.from_pa *= factor;
        self.to_pa *= factor;
    }
}

/// Emissivity of the brightest polished metal: no surface radiates less (aluminium foil 0.04, polished silver 0.02).
/// Source: tables of emissivities in heat-transfer textbooks, `from memory`.
pub const LEAST_EMISSIVITY: f64 = 0.02;

/// Least clearance volume over swept volume: with less, a compressor would go on cooling at temperatures that no
/// refrigerant reaches.
pub const LEAST_CLEARANCE: f64 = 0.01;

/// Heat path from shelf to food and from the shelf above.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Contact {
    /// Mean gap between tray and shelf, m.
    pub gap_m: f64,
    /// Metal-to-metal contact, W/(m2 K).
    pub direct_w_per_m2_k: f64,
    /// Thermal accommodation of vapour on the surfaces, 0 to 1.
    pub accommodation: f64,
    /// Further gap where the tray is lined, m.
    pub lining_gap_m: f64,
    /// Gap between tray and a block of food that was loaded frozen, m.
    pub frozen_block_gap_m: f64,
    /// Emissivity of the shelf's underside, 0.02 to 1.
    pub emissivity_above: f64,
    /// Emissivity of the tray and shelf seen from below the food, 0.02 to 1.
    pub emissivity_below: f64,
    /// How unevenly trays lie on their shelves: the worst part of a tray gets this share less heat from below than the
    /// tray on average, 0 to [`MOST_UNEVEN`].
    #[serde(default = "Contact::usual_uneven_frac")]
    pub uneven_frac: f64,
}

/// Most uneven contact: the worst part of a tray still lies on something.
pub const MOST_UNEVEN: f64 = 0.95;

/// Unevenness of the contact of household trays. From memory: thin trays warp and frozen food stands on its high spots.
/// Published drying curves agree best between 0.25 and 0.5 (`docs/evidence.md`).
pub const UNEVEN: Band = Band::new(0.1, 0.3, 0.5);

impl Contact {
    /// [`UNEVEN`], where a file does not say.
    pub fn usual_uneven_frac() -> f64 {
        UNEVEN.typical
    }
}

/// Ice condenser.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Condenser {
    /// Cold surface, m2.
    pub area_m2: f64,
    /// Heat capacity of its metal, J/K.
    pub heat_capacity_j_per_k: f64,
    /// Conductivity of the deposit, W/(m K).
    pub deposit_conductivity_w_per_m_k: f64,
    /// Density of the deposit, kg/m3.
    pub deposit_density_kg_per_m3: f64,
    /// Room for ice, m.
    pub thickness_limit_m: f64,
    /// Narrowest opening between chamber and cold surface, m2.
    pub opening_m2: f64,
}

/// Compressor with its two heat exchangers; see `machine::refrigeration`.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Refrigeration {
    /// Swept volume of the compressor, m3/s.
    pub swept_m3_per_s: f64,
    /// Clearance volume over swept volume.
    pub clearance: f64,
    /// Isentropic efficiency, electrical input included.
    pub isentropic_efficiency: f64,
    /// Constant loss, W.
    pub loss_w: f64,
    /// Greatest electric power, W.
    pub power_limit_w: f64,
    /// Refrigerant to condenser metal, W/K.
    pub wall_conductance_w_per_k: f64,
    /// Refrigerant to room, W/K.
    pub hot_side_conductance_w_per_k: f64,
}

impl Refrigeration {
    /// A compressor so many times as large.
    pub fn scale(&mut self, factor: f64) {
        self.swept_m3_per_s *= factor;
        self.loss_w *= factor;
        self.power_limit_w *= factor;
    }
}

/// Pump, chamber and leak.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Vacuum {
    /// Free volume, m3.
    pub volume_m3: f64,
    /// Pumping speed, m3/s.
    pub speed_m3_per_s: f64,
    /// Ultimate pressure, Pa.
    pub ultimate_pa: f64,
    /// Electric power, W.
    pub power_w: f64,
    /// Air leaking in, Pa m3/s.
    pub leak_pa_m3_per_s: f64,
}

/// Conditions prescribed from outside.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Prescribed {
    /// Name as listed.
    pub name: String,
    /// Schedule, ordered by time; linear between its points, constant after the last.
    pub schedule: Vec<PrescribedPoint>,
    /// Tray on shelf, used where the sheet gives no number directly.
    pub contact: Contact,
    /// Whether trays stand on shelves at shelf temperature; otherwise their undersides face the surroundings.
    #[serde(default = "Prescribed::usually_heated_below")]
    pub heated_below: bool,
    /// Whether a surface at shelf temperature faces the food from above; otherwise it faces the surroundings.
    pub heated_above: bool,
    /// What a side that is not heated faces: a black enclosure at this temperature, K; `None`: as warm as the room.
    #[serde(default)]
    pub surroundings_k: Option<f64>,
}

impl Prescribed {
    fn usually_heated_below() -> bool {
        true
    }

    /// Temperature of the surroundings in a room of this temperature, K.
    pub fn surroundings_k(&self, room_k: f64) -> f64 {
        self.surroundings_k.unwrap_or(room_k)
    }
}

/// One point of a schedule.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct PrescribedPoint {
    /// Time from the start of drying, s.
    pub time_s: f64,
    /// Shelf temperature, K.
    pub shelf_k: f64,
    /// Partial pressure of water vapour in the chamber, Pa.
    pub vapour_pressure_pa: f64,
    /// Air besides, Pa.
    pub air_pressure_pa: f64,
}
