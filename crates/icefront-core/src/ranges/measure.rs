//! What a cook could measure, with which tool, and what the tool would read in a given run.

use crate::constants::ZERO_CELSIUS_K;
use crate::load::Load;
use crate::result::{BatchResult, Sample, Stage};

/// A measurement with its tool.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Measurement {
    /// What is read.
    pub tool: Tool,
    /// Standard deviation of the tool's error, in the unit of the reading.
    pub error: f64,
}

/// Tools and what they read.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Tool {
    /// Kitchen scale before loading: one tray, kg.
    ScaleBefore {
        /// Position of the tray.
        tray: usize,
    },
    /// Ruler: height of the food on one tray, m.
    Ruler {
        /// Position of the tray.
        tray: usize,
    },
    /// Thermometer in the room, K.
    RoomThermometer,
    /// Clock and a probe: when the food was frozen and the pump could start, s.
    ClockAtFrozen,
    /// Plug meter: energy in the first hours under vacuum, J.
    PlugMeter {
        /// Hours under vacuum.
        after_h: f64,
    },
    /// Thermometer on one shelf in the first hours under vacuum, K.
    ShelfThermometer {
        /// Position of the tray.
        tray: usize,
        /// Hours under vacuum.
        after_h: f64,
    },
    /// The dryer's pressure gauge in the first hours under vacuum, Pa (error as a share of the reading).
    Gauge {
        /// Hours under vacuum.
        after_h: f64,
    },
    /// Kitchen scale in a pause: water a tray has lost by then, kg.
    ScaleInPause {
        /// Position of the tray.
        tray: usize,
        /// Hours under vacuum.
        after_h: f64,
    },
}

/// Hours under vacuum at which a reading during the run is taken.
const EARLY_H: f64 = 3.0;
/// Hours under vacuum after which a tray is weighed in a pause.
const PAUSE_H: f64 = 6.0;

/// What can be measured on a load; a tray in a pause only where the dryer can be paused. Errors: kitchen scale 5 g, ruler
/// 1 mm, thermometer 1 K, plug meter 1 %, gauge 15 %, clock 10 min (`common practice, no source`).
pub fn measurements(load: &Load) -> Vec<Measurement> {
    let mut all = Vec::new();
    for tray in 0..load.trays.len() {
        all.push(Measurement { tool: Tool::ScaleBefore { tray }, error: 0.005 });
        all.push(Measurement { tool: Tool::Ruler { tray }, error: 0.001 });
        if load.dryer.can_pause() {
            all.push(Measurement { tool: Tool::ScaleInPause { tray, after_h: PAUSE_H }, error: 0.005 });
        }
    }
    all.push(Measurement { tool: Tool::RoomThermometer, error: 1.0 });
    all.push(Measurement { tool: Tool::ClockAtFrozen, error: 600.0 });
    all.push(Measurement { tool: Tool::PlugMeter { after_h: EARLY_H }, error: 0.05 * 3.6e6 });
    all.push(Measurement { tool: Tool::ShelfThermometer { tray: load.trays.len() / 2, after_h: EARLY_H }, error: 1.0 });
    all.push(Measurement { tool: Tool::Gauge { after_h: EARLY_H }, error: 8.0 });
    all
}

impl Measurement {
    /// What the tool would read without its error. NaN where there is nothing to read (a rig has no plug meter).
    pub fn read(&self, load: &Load, result: &BatchResult) -> f64 {
        match self.tool {
            Tool::ScaleBefore { tray } => result.trays.get(tray).map_or(f64::NAN, |t| t.loaded_kg),
            Tool::Ruler { tray } => load.trays.get(tray).map_or(f64::NAN, |t| t.shape.height_m()),
            Tool::RoomThermometer => load.room_k,
            Tool::ClockAtFrozen => result.stage_s[Stage::Freezing],
            Tool::PlugMeter { after_h } => between(result, after_h, |s| s.energy_j.total()),
            Tool::ShelfThermometer { tray, after_h } => {
                between(result, after_h, |s| s.trays.get(tray).map_or(f64::NAN, |t| t.shelf_k - ZERO_CELSIUS_K))
            }
            Tool::Gauge { after_h } => between(result, after_h, |s| s.chamber_pressure_pa),
            Tool::ScaleInPause { tray, after_h } => {
                let Some(answer) = result.trays.get(tray) else { return f64::NAN };
                let water = between(result, after_h, |s| s.trays.get(tray).map_or(f64::NAN, |t| t.water_per_dry));
                answer.water_kg - water * answer.dry_matter_kg
            }
        }
    }
}

/// A number of the history some hours after the vacuum came, linear between samples; the last one if the run was over.
fn between(result: &BatchResult, after_h: f64, of: impl Fn(&Sample) -> f64) -> f64 {
    let at_s = result.stage_s[Stage::Freezing] + result.stage_s[Stage::Evacuation] + after_h * 3_600.0;
    let drying: Vec<&Sample> =
        result.history.iter().filter(|s| matches!(s.stage, Stage::PrimaryDrying | Stage::SecondaryDrying)).collect();
    let after = drying.iter().position(|s| s.time_s >= at_s);
    match after {
        Some(0) => drying.first().map_or(f64::NAN, |s| of(s)),
        Some(i) => {
            let (a, b) = (drying[i - 1], drying[i]);
            let share = (at_s - a.time_s) / (b.time_s - a.time_s).max(1e-9);
            of(a) + share * (of(b) - of(a))
        }
        None => drying.last().map_or(f64::NAN, |s| of(s)),
    }
}
