//! What a cook reads during a run, and what a computed run would have shown at that time.

use crate::constants::{GAS_CONSTANT_J_PER_MOL_K, WATER_MOLAR_MASS_KG_PER_MOL};
use crate::load::Load;
use crate::machine::Dryer;
use crate::result::{BatchResult, Sample, Stage};

/// What is read.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Quantity {
    /// Food on a tray, without the tray, kg.
    Weight {
        /// Position of the tray.
        tray: usize,
    },
    /// Water a tray has lost since it was loaded, kg.
    WaterLost {
        /// Position of the tray.
        tray: usize,
    },
    /// Coldest part of the food, K.
    Product {
        /// Position of the tray.
        tray: usize,
    },
    /// Shelf under a tray, K.
    Shelf {
        /// Position of the tray.
        tray: usize,
    },
    /// Vapour and air in the chamber, Pa.
    Pressure,
    /// Electric energy since the start, J.
    Energy,
    /// Rise of the pressure with the way to condenser and pump closed, Pa/s.
    PressureRise,
    /// Water that ran out of the condenser at defrost, kg: what all trays have lost.
    Drained,
    /// When the pump was started, s; the time of the reading is its value.
    PumpStarted,
    /// When the end rule of the load was met, s; the time of the reading is its value.
    Finished,
}

impl Quantity {
    /// The tray it belongs to.
    pub fn tray(self) -> Option<usize> {
        match self {
            Self::Weight { tray } | Self::WaterLost { tray } | Self::Product { tray } | Self::Shelf { tray } => {
                Some(tray)
            }
            _ => None,
        }
    }

    /// Whether it can be read at all on this load.
    pub fn is_there(self, load: &Load) -> bool {
        let machine = matches!(load.dryer, Dryer::Cabinet(_));
        match self {
            Self::Energy | Self::PressureRise | Self::PumpStarted | Self::Drained => machine,
            other => other.tray().is_none_or(|tray| tray < load.trays.len()),
        }
    }
}

/// One reading.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Reading {
    /// Time from the start of the run, s.
    pub time_s: f64,
    /// What was read.
    pub quantity: Quantity,
    /// Its value, SI.
    pub value: f64,
}

/// Gas of the chamber while the valve is closed, K: about the room.
const GAS_K: f64 = 293.15;

impl Reading {
    /// What a run would have shown. After the run's own end weights stay and the machine goes on at its last power.
    pub fn predicted(&self, load: &Load, result: &BatchResult) -> f64 {
        let run = Course { result, time_s: self.time_s };
        match self.quantity {
            Quantity::Weight { tray } => {
                result.trays.get(tray).map_or(f64::NAN, |t| t.loaded_kg) - lost_kg(&run, result, tray)
            }
            Quantity::WaterLost { tray } => lost_kg(&run, result, tray),
            Quantity::Product { tray } => run.at(|s| s.trays.get(tray).map_or(f64::NAN, |t| t.front_k)),
            Quantity::Shelf { tray } => run.at(|s| s.trays.get(tray).map_or(f64::NAN, |t| t.shelf_k)),
            Quantity::Pressure => run.at(|s| s.chamber_pressure_pa),
            Quantity::Energy => run.at(|s| s.energy_j.total()) + run.after_end_j(),
            Quantity::PressureRise => match &load.dryer {
                Dryer::Cabinet(c) => {
                    let moles_per_s = run.vapour_kg_per_s(result) / WATER_MOLAR_MASS_KG_PER_MOL;
                    let gas_pa_m3_per_s = moles_per_s * GAS_CONSTANT_J_PER_MOL_K * GAS_K;
                    (gas_pa_m3_per_s + c.vacuum.leak_pa_m3_per_s) / c.vacuum.volume_m3
                }
                Dryer::Prescribed(_) => f64::NAN,
            },
            Quantity::Drained => (0..result.trays.len()).map(|tray| lost_kg(&run, result, tray)).sum(),
            Quantity::PumpStarted => result.stage_s[Stage::Freezing],
            Quantity::Finished => result.food_ready_s(),
        }
    }
}

/// Water that a tray has lost by a time of a run, kg; not a number for a tray that is not there.
pub(super) fn water_lost_kg(result: &BatchResult, tray: usize, time_s: f64) -> f64 {
    lost_kg(&Course { result, time_s }, result, tray)
}

fn lost_kg(run: &Course<'_>, result: &BatchResult, tray: usize) -> f64 {
    let Some(answer) = result.trays.get(tray) else { return f64::NAN };
    answer.water_kg - answer.dry_matter_kg * run.at(|s| s.trays.get(tray).map_or(f64::NAN, |t| t.water_per_dry))
}

/// A run at one time.
struct Course<'a> {
    result: &'a BatchResult,
    time_s: f64,
}

impl Course<'_> {
    /// The samples before and after that time (the last two beyond the end of drying), and the share of the way.
    fn around(&self) -> Option<(&Sample, &Sample, f64)> {
        let history = &self.result.history;
        let end = history.iter().position(|s| s.stage == Stage::Defrost).unwrap_or(history.len());
        let after = history[..end].iter().position(|s| s.time_s >= self.time_s).unwrap_or(end.checked_sub(1)?);
        let (a, b) = (history.get(after.saturating_sub(1))?, history.get(after)?);
        let share = (self.time_s - a.time_s) / (b.time_s - a.time_s).max(1e-9);
        Some((a, b, share.clamp(0.0, 1.0)))
    }

    /// A number at that time, linear between samples, the last one after the end of drying.
    fn at(&self, of: impl Fn(&Sample) -> f64) -> f64 {
        self.around().map_or(f64::NAN, |(a, b, share)| of(a) + share * (of(b) - of(a)))
    }

    /// Energy that a machine left on after its end has used, J.
    fn after_end_j(&self) -> f64 {
        let Some((_, last, _)) = self.around() else { return 0.0 };
        (self.time_s - last.time_s).max(0.0) * last.power_w.total()
    }

    /// Water leaving the food, kg/s; of the last step after the end.
    fn vapour_kg_per_s(&self, result: &BatchResult) -> f64 {
        let Some((a, b, _)) = self.around() else { return f64::NAN };
        let water = |s: &Sample| -> f64 {
            s.trays.iter().zip(&result.trays).map(|(t, tray)| t.water_per_dry * tray.dry_matter_kg).sum()
        };
        (water(a) - water(b)).max(0.0) / (b.time_s - a.time_s).max(1e-9)
    }
}
