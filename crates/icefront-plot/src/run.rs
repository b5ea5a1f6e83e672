//! A run checked for drawing, and its history as rows of points.

use icefront_core::result::{BatchResult, ByConsumer, Sample, Stage, TraySample};

use crate::error::{PlotError, all_finite, finite};

/// The first steps of a stage are over after this time, s, or after this share of a short one.
const SETTLES_S: f64 = 600.0;
const SETTLES_SHARE: f64 = 0.1;

/// Whether food dries at this time.
pub(crate) fn dries(sample: &Sample) -> bool {
    matches!(sample.stage, Stage::PrimaryDrying | Stage::SecondaryDrying)
}

/// A run whose history can be drawn: at least two times, all finite.
pub(crate) struct Run<'a> {
    pub result: &'a BatchResult,
    /// Where the time axis ends, s.
    pub end_s: f64,
}

impl<'a> Run<'a> {
    pub(crate) fn checked(result: &'a BatchResult) -> Result<Self, PlotError> {
        result.history.iter().try_for_each(check_sample)?;
        all_finite("time", result.trays.iter().filter_map(|tray| tray.ice_gone_at_s))?;
        result.energy_by_stage_j.values().try_for_each(|by| check_consumers("energy", by))?;
        let last_s = result.history.iter().map(|sample| sample.time_s).fold(0.0, f64::max);
        let end_s = last_s.max(finite("stage length", result.total_s())?);
        if result.history.len() < 2 || last_s <= 0.0 {
            return Err(PlotError::EmptySeries("history"));
        }
        Ok(Self { result, end_s })
    }

    /// One value over time, where there is one.
    pub(crate) fn series(&self, value: impl Fn(&Sample) -> Option<f64>) -> Vec<(f64, f64)> {
        self.result.history.iter().filter_map(|sample| Some((sample.time_s, value(sample)?))).collect()
    }

    /// The same without the first minutes of a stage, where the first steps of a run start from a guess.
    pub(crate) fn settled(&self, stage: Stage, value: impl Fn(&Sample) -> Option<f64>) -> Vec<(f64, f64)> {
        let stages = self.result.stage_s.iter();
        let before_s: f64 = stages.take_while(|(before, _)| *before != stage).map(|(_, length_s)| length_s).sum();
        let from_s = before_s + SETTLES_S.min(SETTLES_SHARE * self.result.stage_s[stage]);
        self.series(|sample| value(sample).filter(|_| sample.stage != stage || sample.time_s >= from_s))
    }

    /// One value of tray `index` over time, until the food is taken out.
    pub(crate) fn tray_series(&self, index: usize, value: impl Fn(&TraySample) -> f64) -> Vec<(f64, f64)> {
        self.series(|sample| (sample.stage < Stage::Defrost).then(|| sample.trays.get(index).map(&value)).flatten())
    }
}

fn check_sample(sample: &Sample) -> Result<(), PlotError> {
    finite("time", sample.time_s)?;
    finite("condenser temperature", sample.condenser_k)?;
    finite("condenser temperature", sample.ice_surface_k)?;
    finite("condenser ice", sample.condenser_ice_kg)?;
    finite("pressure", sample.vapour_pressure_pa)?;
    finite("pressure", sample.chamber_pressure_pa)?;
    check_consumers("power", &sample.power_w)?;
    check_consumers("energy", &sample.energy_j)?;
    for tray in &sample.trays {
        finite("ice left", tray.ice_left_frac)?;
        finite("front temperature", tray.front_k)?;
        finite("shelf temperature", tray.shelf_k)?;
        finite("surface temperature", tray.surface_k)?;
        finite("water", tray.water_per_dry)?;
    }
    Ok(())
}

fn check_consumers(what: &'static str, by: &ByConsumer) -> Result<(), PlotError> {
    all_finite(what, [by.compressor, by.vacuum_pump, by.heaters, by.other])
}
