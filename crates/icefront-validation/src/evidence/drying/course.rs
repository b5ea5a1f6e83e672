//! One run over time, and the moments at which something was measured.
//!
//! Contact within a published tray is uneven. The last ice is that of the larger part, where one probe is likelier to be, or of
//! the whole tray, which the slowest of several probes comes near to; the front temperature is that of the coldest part.

use icefront_core::ModelError;
use icefront_core::batch::{Precision, plan_with};
use icefront_core::load::Load;

/// Water and ice of one tray over time.
pub struct Course {
    points: Vec<Point>,
    ice_gone_s: Option<f64>,
    tray_ice_gone_s: Option<f64>,
}

#[derive(Clone, Copy)]
struct Point {
    time_s: f64,
    water_per_dry: f64,
    ice_left: f64,
    front_k: f64,
}

impl Course {
    /// Runs a load of one tray as a batch is run.
    pub fn of(load: &Load) -> Result<Self, ModelError> {
        Self::with(load, &Precision::default())
    }

    /// Runs it with other steps or strips.
    pub fn with(load: &Load, precision: &Precision) -> Result<Self, ModelError> {
        let result = plan_with(load, precision)?;
        let points = result.history.iter().filter_map(|sample| {
            let tray = sample.trays.first()?;
            Some(Point {
                time_s: sample.time_s,
                water_per_dry: tray.water_per_dry,
                ice_left: tray.ice_left_frac,
                front_k: tray.front_k,
            })
        });
        let ice_gone_s = result.trays.first().and_then(|tray| match tray.parts.len() {
            0 => tray.ice_gone_at_s,
            parts => tray.parts[parts / 2].ice_gone_at_s,
        });
        let tray_ice_gone_s = result.trays.first().and_then(|tray| tray.ice_gone_at_s);
        Ok(Self { points: points.collect(), ice_gone_s, tray_ice_gone_s })
    }

    /// Last ice of the larger part gone, s; infinite if never.
    pub fn ice_gone_s(&self) -> f64 {
        self.ice_gone_s.unwrap_or(f64::INFINITY)
    }

    /// Last ice of the whole tray gone, s; infinite if never.
    pub fn tray_ice_gone_s(&self) -> f64 {
        self.tray_ice_gone_s.unwrap_or(f64::INFINITY)
    }

    /// This fraction of the ice is left, s; infinite if never.
    pub fn ice_left_s(&self, share: f64) -> f64 {
        let crossed = self.points.windows(2).find(|pair| pair[1].ice_left <= share);
        crossed.map_or(f64::INFINITY, |pair| {
            let part = (pair[0].ice_left - share) / (pair[0].ice_left - pair[1].ice_left);
            pair[0].time_s + part.clamp(0.0, 1.0) * (pair[1].time_s - pair[0].time_s)
        })
    }

    /// Mean moisture falls to this, s; infinite if never.
    pub fn dry_s(&self, wet_frac: f64) -> f64 {
        self.falls_to_s(wet_frac / (1.0 - wet_frac))
    }

    /// Water falls to this fraction of the initial water, s; infinite if never.
    pub fn ratio_s(&self, moisture_ratio: f64) -> f64 {
        self.points.first().map_or(f64::INFINITY, |start| self.falls_to_s(moisture_ratio * start.water_per_dry))
    }

    fn falls_to_s(&self, water_per_dry: f64) -> f64 {
        let pairs = self.points.windows(2);
        let crossed = pairs.map(|pair| (pair[0], pair[1])).find(|(_, after)| after.water_per_dry <= water_per_dry);
        crossed.map_or(f64::INFINITY, |(before, after)| {
            // held water leaves exponentially
            let share = (before.water_per_dry / water_per_dry).ln() / (before.water_per_dry / after.water_per_dry).ln();
            before.time_s + share.clamp(0.0, 1.0) * (after.time_s - before.time_s)
        })
    }

    /// Mean moisture at a time, wet basis.
    pub fn wet_frac_at(&self, time_s: f64) -> f64 {
        let water = self.at(time_s, |point| point.water_per_dry);
        water / (1.0 + water)
    }

    /// Water over water at the start at a time.
    pub fn ratio_at(&self, time_s: f64) -> f64 {
        self.points.first().map_or(f64::NAN, |start| self.at(time_s, |point| point.water_per_dry) / start.water_per_dry)
    }

    /// Front temperature at a time, K.
    pub fn front_at_k(&self, time_s: f64) -> f64 {
        self.at(time_s, |point| point.front_k)
    }

    /// Front temperature when this fraction of the ice is left, K.
    pub fn front_at_ice_k(&self, ice_left: f64) -> f64 {
        let found = self.points.iter().find(|point| point.ice_left <= ice_left);
        found.map_or(f64::NAN, |point| point.front_k)
    }

    /// Linear between samples, the last value after the end.
    fn at(&self, time_s: f64, value: impl Fn(&Point) -> f64) -> f64 {
        let after = self.points.partition_point(|point| point.time_s < time_s);
        match (self.points.get(after.wrapping_sub(1)), self.points.get(after)) {
            (Some(a), Some(b)) => {
                let share = (time_s - a.time_s) / (b.time_s - a.time_s);
                value(a) + share * (value(b) - value(a))
            }
            (Some(last), None) => value(last),
            (None, Some(first)) => value(first),
            (None, None) => f64::NAN,
        }
    }
}
