//! Samples and sums recorded during freezing and evacuation.

use super::Recorder;
use crate::batch::cabinet::{Drive, Stack, StackTray};
use crate::batch::freezing::{CabinetFreezing, FreezingState};
use crate::constants::STANDARD_ATMOSPHERE_PA;
use crate::freezing::before::{crossing, warm_share};
use crate::machine::{Cabinet, vapour_path};
use crate::result::{ByConsumer, Sample, Stage, TraySample, Warning};

/// Longest time from 57 to 5 degC, s. Source: US FDA Food Code 3-501.14(A): 6 h in all.
const COOLING_LIMIT_S: f64 = 6.0 * 3_600.0;

impl Recorder {
    /// Sample while air is in or goes out.
    pub fn freezing_sample(&mut self, stack: &Stack<'_>, state: &FreezingState, time_s: f64, stage: Stage) {
        let Drive::Machine { cabinet, refrigerator, .. } = &stack.drive else { return };
        let pump_w = if stage == Stage::Evacuation { cabinet.vacuum.power_w } else { 0.0 };
        let power_w = ByConsumer {
            compressor: refrigerator.at(state.coil_k).power_w,
            vacuum_pump: pump_w,
            heaters: 0.0,
            other: cabinet.controls_w,
        };
        let mut energy_j = self.history.last().map_or_else(ByConsumer::default, |s| s.energy_j);
        let last_s = self.history.last().map_or(0.0, |s| s.time_s);
        let before = energy_j;
        energy_j.compressor = state.compressor_j;
        energy_j.vacuum_pump += pump_w * (time_s - last_s);
        energy_j.other += cabinet.controls_w * (time_s - last_s);
        self.add_energy(stage, &before, &energy_j);
        let trays = (0..stack.trays.len()).map(|i| {
            let (st, tray) = (&stack.trays[i], &state.trays[i]);
            let cells = &tray.enthalpy_j_per_kg;
            let core_k = st.column.thermal_centre_k(cells);
            TraySample {
                ice_left_frac: 1.0,
                front_k: core_k,
                front_warmest_k: core_k,
                shelf_k: tray.metal_k,
                surface_k: st.column.temperature_k(cells[if st.column.is_piece() { 0 } else { cells.len() - 1 }]),
                water_per_dry: st.water_kg() / st.dry_kg(),
                vapour_kg_per_s: 0.0,
                parts: Vec::new(),
            }
        });
        let air_pa = if stage == Stage::Freezing {
            STANDARD_ATMOSPHERE_PA
        } else {
            pump_down_pa(cabinet, time_s - self.stage_s[Stage::Freezing])
        };
        self.history.push(Sample {
            time_s,
            stage,
            vapour_pressure_pa: 0.0,
            chamber_pressure_pa: air_pa,
            condenser_k: state.coil_k,
            ice_surface_k: state.coil_k,
            condenser_ice_kg: 0.0,
            power_w,
            energy_j,
            trays: trays.collect(),
        });
    }

    /// After a step of freezing.
    pub fn freezing_step(
        &mut self,
        stack: &Stack<'_>,
        system: &CabinetFreezing<'_>,
        state: &FreezingState,
        time_s: f64,
        h_s: f64,
    ) {
        let Drive::Machine { cabinet, .. } = &stack.drive else { return };
        for (i, st) in stack.trays.iter().enumerate() {
            if !system.inside(i) {
                continue;
            }
            let core_k = st.column.thermal_centre_k(&state.trays[i].enthalpy_j_per_kg);
            let track = &mut self.tracks[i];
            track.warm_time_s += warm_share(track.core_k, core_k) * h_s;
            if track.frozen_at_s.is_none() && core_k <= cabinet.freeze_core_k {
                track.frozen_at_s = Some(time_s - h_s + h_s * crossing(track.core_k, core_k, cabinet.freeze_core_k));
            }
            track.core_k = core_k;
        }
        self.freezing_sample(stack, state, time_s, Stage::Freezing);
    }

    /// Says which trays did not get cold enough.
    pub fn freezing_verdict(
        &mut self,
        stack: &Stack<'_>,
        system: &CabinetFreezing<'_>,
        state: &FreezingState,
        cabinet: &Cabinet,
    ) {
        for (i, st) in stack.trays.iter().enumerate() {
            let reached_k = st.column.thermal_centre_k(&state.trays[i].enthalpy_j_per_kg);
            if system.inside(i) && reached_k > cabinet.freeze_core_k + 0.01 {
                self.warn(Warning::FreezingNotReached { tray: i, reached_k, wanted_k: cabinet.freeze_core_k });
            }
        }
    }

    /// Notes whether a tray is frozen when the vacuum comes.
    pub fn check_frozen(&mut self, tray: usize, st: &StackTray<'_>, cells: &[f64]) {
        let thermal_centre_k = st.column.thermal_centre_k(cells);
        self.tracks[tray].not_frozen = st.tray.model.curve.frozen_share(thermal_centre_k) < 0.5;
        if self.tracks[tray].warm_time_s > COOLING_LIMIT_S {
            let time_s = self.tracks[tray].warm_time_s;
            self.warn(Warning::SlowCooling { tray, time_s });
        }
    }

    /// Heat sum of freezing and evacuation: change of content against leak less cooling. Where hardly any heat goes through,
    /// that of the metal for one kelvin is what round-off is measured by.
    pub fn close_freezing_balance(&mut self, change_j: f64, leaked_j: f64, cooled_j: f64, metal_j_per_k: f64) {
        self.heat_error_j += (change_j - (leaked_j - cooled_j)).abs();
        self.heat_through_j += (leaked_j.abs() + cooled_j.abs()).max(metal_j_per_k);
    }
}

fn pump_down_pa(cabinet: &Cabinet, time_s: f64) -> f64 {
    let v = &cabinet.vacuum;
    let floor = vapour_path::air_pressure_pa(v);
    floor + (STANDARD_ATMOSPHERE_PA - floor) * libm::exp(-time_s * v.speed_m3_per_s / v.volume_m3)
}
