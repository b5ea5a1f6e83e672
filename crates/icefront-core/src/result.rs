//! What a run gives back: times, trays, energy, water, balances, cautions, and the history over time.

use serde::{Deserialize, Serialize};

pub use crate::stage::{ByStage, Stage};

/// Who uses electricity.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct ByConsumer {
    /// Refrigeration compressor.
    pub compressor: f64,
    /// Vacuum pump.
    pub vacuum_pump: f64,
    /// Shelf heaters (and a defrost heater).
    pub heaters: f64,
    /// Controls and fans.
    pub other: f64,
}

impl ByConsumer {
    /// Sum over consumers.
    pub fn total(&self) -> f64 {
        self.compressor + self.vacuum_pump + self.heaters + self.other
    }
}

/// Answer of one run.
#[derive(Clone, Debug, Serialize, Deserialize)]
#[non_exhaustive]
pub struct BatchResult {
    /// Length of each stage, s.
    pub stage_s: ByStage<f64>,
    /// Trays in the order of the load.
    pub trays: Vec<TrayResult>,
    /// Electric energy by stage and consumer, J.
    pub energy_by_stage_j: ByStage<ByConsumer>,
    /// Water of the whole load, kg.
    pub water: WaterSum,
    /// How well the sums close.
    pub balance: Balance,
    /// How near the machine came to its limits.
    pub machine: MachineSummary,
    /// Doubts and dangers that belong beside the numbers.
    pub warnings: Vec<Warning>,
    /// The run over time.
    pub history: Vec<Sample>,
}

impl BatchResult {
    /// Whole run, freezing to defrost, s.
    pub fn total_s(&self) -> f64 {
        self.stage_s.values().sum()
    }

    /// From the start until the food can be taken out (all but defrost), s.
    pub fn food_ready_s(&self) -> f64 {
        self.stage_s.iter().filter(|(stage, _)| *stage != Stage::Defrost).map(|(_, length_s)| length_s).sum()
    }

    /// Electric energy by consumer over the whole run, J.
    pub fn energy_j(&self) -> ByConsumer {
        let mut sum = ByConsumer::default();
        for e in self.energy_by_stage_j.values() {
            sum.compressor += e.compressor;
            sum.vacuum_pump += e.vacuum_pump;
            sum.heaters += e.heaters;
            sum.other += e.other;
        }
        sum
    }

    /// The tray whose wettest spot is dry last.
    pub fn last_tray(&self) -> Option<&TrayResult> {
        self.trays.iter().max_by(|a, b| {
            let key = |t: &TrayResult| t.dry_at_s.unwrap_or(f64::INFINITY);
            key(a).total_cmp(&key(b)).then(a.wettest_wet_frac.total_cmp(&b.wettest_wet_frac))
        })
    }
}

/// Answer for one tray. Times count from the start of the run.
#[derive(Clone, Debug, Serialize, Deserialize)]
#[non_exhaustive]
pub struct TrayResult {
    /// Name of the tray.
    pub name: String,
    /// Food on it.
    pub food: String,
    /// Food loaded, kg.
    pub loaded_kg: f64,
    /// Dry matter in it, kg.
    pub dry_matter_kg: f64,
    /// Water loaded, kg.
    pub water_kg: f64,
    /// Water left at the end, kg.
    pub water_left_kg: f64,
    /// Last ice gone, s; `None` if ice was left at the end.
    pub ice_gone_at_s: Option<f64>,
    /// Wettest spot under the target, s; `None` if never.
    pub dry_at_s: Option<f64>,
    /// Warmest the ice front became, K.
    pub front_max_k: f64,
    /// The same on average over ice and time, K: what its texture is judged by.
    pub front_mean_k: f64,
    /// Limit of the food's structure, K.
    pub collapse_k: f64,
    /// Smallest share of the freezable water that was ice while ice was left, 0 to 1.
    pub least_ice_share: f64,
    /// Warmest the dried food became, K.
    pub dried_max_k: f64,
    /// Mean moisture at the end, wet basis.
    pub mean_wet_frac: f64,
    /// Moisture of the wettest spot at the end, wet basis.
    pub wettest_wet_frac: f64,
    /// Time to freeze to the stated core temperature in the machine, s; `None` if it came frozen or never froze.
    pub frozen_at_s: Option<f64>,
    /// Time the core spent between 57 and 5 degC while freezing, s.
    pub warm_time_s: f64,
    /// Parts of the tray side by side; empty where it is alike all over.
    #[serde(default)]
    pub parts: Vec<PartResult>,
    /// Graded findings.
    pub flags: Vec<Flag>,
}

/// When a part of a tray was rid of its ice, and dry. Times count from the start of the run.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct PartResult {
    /// Whether it is the columns in which embedded pieces lie.
    pub with_pieces: bool,
    /// Factor on the heat from below: 1 where the contact is even.
    pub contact_factor: f64,
    /// Share of the tray's floor, 0 to 1.
    pub area_frac: f64,
    /// Last ice gone, s; `None` if ice was left at the end.
    pub ice_gone_at_s: Option<f64>,
    /// Wettest spot under the target, s; `None` if never.
    pub dry_at_s: Option<f64>,
}

/// Graded finding about one tray.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Flag {
    /// Front above the limit of tissue or gel: softens, keeps its shape.
    Softens,
    /// Front far above it: shrinks and turns chewy.
    Shrinks,
    /// Front above the collapse temperature of a free solution: collapses, may foam.
    Collapses,
    /// Less than half of the freezable water was ice: melts.
    Melts,
    /// Not frozen through when the air was pumped out: boils, foams, spatters.
    NotFrozen,
    /// Ice left at the end.
    IceLeft,
    /// Wettest spot above the target at the end.
    NotDry,
    /// Much fat: keeps shorter, may hold water back.
    Fatty,
}

/// Water of the load, kg.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct WaterSum {
    /// In the food at the start.
    pub loaded_kg: f64,
    /// Taken out.
    pub removed_kg: f64,
    /// In the food at the end.
    pub left_kg: f64,
}

/// Relative errors of the sums.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Balance {
    /// Water not accounted for over water loaded.
    pub mass_rel: f64,
    /// Heat not accounted for over heat through food and condenser.
    pub energy_rel: f64,
}

/// How near the machine came to its limits.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct MachineSummary {
    /// Mean chamber pressure while ice sublimed (vapour and air), Pa.
    pub mean_pressure_pa: f64,
    /// Highest chamber pressure while ice sublimed, Pa.
    pub max_pressure_pa: f64,
    /// Share of primary drying with heaters held back by pressure, 0 to 1.
    pub time_limited_frac: f64,
    /// Thickest ice on the condenser, m.
    pub ice_thickness_m: f64,
    /// That thickness over the room for ice, 0 to 1 and more; `None` in a prescribed rig.
    pub ice_room_frac: Option<f64>,
    /// Warmest the condenser's ice surface became while ice sublimed, K.
    pub condenser_max_k: f64,
    /// Coldest the condenser's metal became, K.
    pub condenser_min_k: f64,
}

/// A doubt or danger, as data; the words are the reader's business.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[non_exhaustive]
pub enum Warning {
    /// Freezing in the machine did not reach the stated core temperature in the time allowed.
    FreezingNotReached {
        /// Tray by position.
        tray: usize,
        /// Core temperature reached, K.
        reached_k: f64,
        /// Core temperature wanted, K.
        wanted_k: f64,
    },
    /// Ice would be left after the longest time the model follows, s; the run was given up.
    RunTooLong {
        /// That time, s.
        limit_s: f64,
    },
    /// The condenser cannot hold the vapour: pressure ran above this, Pa.
    CondenserTooWeak {
        /// Highest pressure, Pa.
        pressure_pa: f64,
    },
    /// More vapour came than the condenser takes: pressure stayed above the triple point, where ice melts instead of
    /// subliming; the run was given up.
    AboveTriplePoint {
        /// Vapour pressure then, Pa.
        pressure_pa: f64,
    },
    /// Air that leaks in keeps the pressure above where the heaters may work: the food will not dry.
    AirTooHigh {
        /// Air in the chamber, Pa.
        air_pa: f64,
        /// Pressure at which the heaters get nothing, Pa.
        limit_pa: f64,
    },
    /// More ice than there is room for.
    NoRoomForIce {
        /// Thickness at the end, m.
        thickness_m: f64,
        /// Room, m.
        room_m: f64,
    },
    /// Trays together are larger than the shelves.
    TraysExceedShelves {
        /// Trays, m2.
        trays_m2: f64,
        /// Shelves, m2.
        shelves_m2: f64,
    },
    /// Food stands too close to the shelf above.
    TrayTooFull {
        /// Tray by position.
        tray: usize,
        /// Height of the food, m.
        height_m: f64,
        /// Clear space, m.
        clear_m: f64,
    },
    /// Core was too long at temperatures where germs grow, s.
    SlowCooling {
        /// Tray by position.
        tray: usize,
        /// Time between 57 and 5 degC, s.
        time_s: f64,
    },
}

impl Warning {
    /// Whether the run was given up for this reason, before its end rule was met.
    pub fn gives_up(&self) -> bool {
        matches!(self, Self::RunTooLong { .. } | Self::AirTooHigh { .. } | Self::AboveTriplePoint { .. })
    }
}

/// State at one time.
#[derive(Clone, Debug, Serialize, Deserialize)]
#[non_exhaustive]
pub struct Sample {
    /// Time from the start of the run, s.
    pub time_s: f64,
    /// Stage it belongs to.
    pub stage: Stage,
    /// Water vapour in the chamber, Pa.
    pub vapour_pressure_pa: f64,
    /// Vapour and air together, Pa.
    pub chamber_pressure_pa: f64,
    /// Condenser metal, K.
    pub condenser_k: f64,
    /// Surface of the ice on the condenser, K.
    pub ice_surface_k: f64,
    /// Ice on the condenser, kg.
    pub condenser_ice_kg: f64,
    /// Electric power, W.
    pub power_w: ByConsumer,
    /// Electric energy since the start, J.
    pub energy_j: ByConsumer,
    /// Trays in the order of the load.
    pub trays: Vec<TraySample>,
}

/// State of one tray at one time.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct TraySample {
    /// Share of the freezable ice still there (1 before drying starts), 0 to 1.
    pub ice_left_frac: f64,
    /// Coldest ice front among the elements that still hold ice (while freezing: the slowest point; with the ice gone:
    /// the slowest point of the dry food), K.
    pub front_k: f64,
    /// Warmest of the same, K.
    pub front_warmest_k: f64,
    /// Shelf under the tray, K.
    pub shelf_k: f64,
    /// Surface of the food, K.
    pub surface_k: f64,
    /// Water left, kg per kg dry matter.
    pub water_per_dry: f64,
    /// Vapour leaving the tray, kg/s.
    pub vapour_kg_per_s: f64,
    /// Parts of the tray side by side, once it dries; empty where it is alike all over.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub parts: Vec<PartSample>,
}

impl TraySample {
    /// State of a part; of a tray that is alike all over, that of the tray.
    pub fn part(&self, part: usize) -> PartSample {
        let all = PartSample { ice_left_frac: self.ice_left_frac, front_k: self.front_k, surface_k: self.surface_k };
        self.parts.get(part).copied().unwrap_or(all)
    }
}

/// State of one part of a tray at one time.
#[derive(Clone, Copy, Debug, Serialize, Deserialize)]
pub struct PartSample {
    /// Share of its freezable ice still there, 0 to 1.
    pub ice_left_frac: f64,
    /// Ice front, K.
    pub front_k: f64,
    /// Surface of the food, K.
    pub surface_k: f64,
}
