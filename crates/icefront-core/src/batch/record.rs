//! Keeps what happened: samples over time, verdicts per tray, sums per stage. Reads states, never changes them.

use super::cabinet::{Drive, Stack, StackTray};
use super::drying::Drying;
use super::freezing::CabinetFreezing;
use super::state::{
    COMPRESSOR, COOLED, DEPOSITED, DEPTHS, FRONT, HANDED, HEATERS, HELD, ICE, LEAKED, LIMITED, PASSED, PRESSURE,
    PUMPED, SPENT, SUBLIMED, TOP, VAPOUR, WALL,
};
use super::wet_frac;
use crate::freezing::before::{SetOut, crossing, warm_share};
use crate::load::{EndRule, Freezing};
use crate::machine::{Cabinet, vapour_path};
use crate::result::{
    Balance, BatchResult, ByConsumer, Flag, MachineSummary, Sample, Stage, TrayResult, TraySample, Warning, WaterSum,
};

/// Below this share of freezable water as ice the food counts as melted. Source: limits of the model's own.
const MELTED_SHARE: f64 = 0.75;
/// Fat per dry matter above which a tray is called fatty (`common practice, no source`).
const FATTY_PER_DRY: f64 = 0.25;
/// Vapour pressure that no food bears while it holds ice, Pa (ice at -5 degC has 402 Pa).
const TOO_WEAK_PA: f64 = 400.0;
/// Longest time from 57 to 5 degC, s. Source: US FDA Food Code 3-501.14(A): 6 h in all.
const COOLING_LIMIT_S: f64 = 6.0 * 3_600.0;
/// The first hour of primary drying does not count for the machine's means: it only comes down.
const SETTLING_S: f64 = 3_600.0;

/// Verdict on a tray while the run goes on.
#[derive(Clone, Debug)]
struct Track {
    ice_gone_at_s: Option<f64>,
    dry_at_s: Option<f64>,
    front_max_k: f64,
    dried_max_k: f64,
    least_ice_share: f64,
    frozen_at_s: Option<f64>,
    warm_time_s: f64,
    core_k: f64,
    not_frozen: bool,
    wettest_per_dry: f64,
}

/// Everything noted so far.
pub struct Recorder {
    history: Vec<Sample>,
    tracks: Vec<Track>,
    stage_s: [f64; 5],
    energy: [ByConsumer; 5],
    warnings: Vec<Warning>,
    /// Compressor energy used before drying began, J.
    pub compressor_before_drying_j: f64,
    target_per_dry: f64,
    balance: Balance,
    water: WaterSum,
    machine: MachineSummary,
    limited_s: f64,
    pressure_time: (f64, f64),
    drying_start_s: f64,
    heat_error_j: f64,
    heat_through_j: f64,
    trays_left_kg: Vec<f64>,
    trays_mean: Vec<f64>,
    end_state: (f64, f64),
}

/// Default moisture that counts as dry where the end rule names none, wet basis (`common practice, no source`).
const DRY_WET_FRAC: f64 = 0.03;

impl Recorder {
    /// A recorder for a stack.
    pub fn new(stack: &Stack<'_>) -> Self {
        let target = match stack.load.end {
            EndRule::WettestSpot { moisture_wet_frac } => moisture_wet_frac,
            _ => DRY_WET_FRAC,
        };
        let track = |st: &StackTray<'_>| Track {
            ice_gone_at_s: None,
            dry_at_s: None,
            front_max_k: f64::NEG_INFINITY,
            dried_max_k: f64::NEG_INFINITY,
            least_ice_share: 1.0,
            frozen_at_s: None,
            warm_time_s: 0.0,
            core_k: match st.tray.freezing {
                Freezing::InMachine { loaded_k } | Freezing::Frozen { loaded_k } => loaded_k,
                Freezing::Before { start_k, .. } => start_k,
            },
            not_frozen: false,
            wettest_per_dry: st.tray.model.water_frac() / st.tray.model.dry_frac(),
        };
        let mut warnings = Vec::new();
        if let Drive::Machine { cabinet, .. } = &stack.drive {
            let trays_m2 = stack.area_m2();
            if trays_m2 > cabinet.shelf_area_m2 * 1.02 {
                warnings.push(Warning::TraysExceedShelves { trays_m2, shelves_m2: cabinet.shelf_area_m2 });
            }
            for (tray, st) in stack.trays.iter().enumerate() {
                let height_m = st.tray.shape.height_m();
                if height_m > 0.8 * cabinet.clear_height_m {
                    warnings.push(Warning::TrayTooFull { tray, height_m, clear_m: cabinet.clear_height_m });
                }
            }
        }
        Self {
            history: Vec::with_capacity(256),
            tracks: stack.trays.iter().map(track).collect(),
            stage_s: [0.0; 5],
            energy: [ByConsumer::default(); 5],
            warnings,
            compressor_before_drying_j: 0.0,
            target_per_dry: target / (1.0 - target),
            balance: Balance::default(),
            water: WaterSum::default(),
            machine: MachineSummary::default(),
            limited_s: 0.0,
            pressure_time: (0.0, 0.0),
            drying_start_s: 0.0,
            heat_error_j: 0.0,
            heat_through_j: 0.0,
            trays_left_kg: Vec::new(),
            trays_mean: Vec::new(),
            end_state: (0.0, 273.15),
        }
    }

    /// Adds a warning.
    pub fn warn(&mut self, warning: Warning) {
        self.warnings.push(warning);
    }

    /// Length of evacuation, s.
    pub fn evacuation_s(&self) -> f64 {
        self.stage_s[1]
    }

    /// Condenser at the end of drying: ice, kg, and metal, K.
    pub fn condenser_at_end(&self) -> (f64, f64) {
        self.end_state
    }

    /// Notes what happened to a tray that was set out before loading.
    pub fn set_out(&mut self, tray: usize, out: &SetOut) {
        self.tracks[tray].warm_time_s = out.warm_time_s;
    }

    /// Notes the length of a stage.
    pub fn end_stage(&mut self, stage: Stage, time_s: f64) {
        self.stage_s[stage as usize] = time_s;
    }

    /// Sample while air is in or goes out.
    pub fn freezing_sample(
        &mut self,
        stack: &Stack<'_>,
        system: &CabinetFreezing<'_>,
        state: &[f64],
        time_s: f64,
        stage: Stage,
    ) {
        let Drive::Machine { cabinet, refrigerator, .. } = &stack.drive else { return };
        let m = system.machine();
        let pump_w = if stage == Stage::Evacuation { cabinet.vacuum.power_w } else { 0.0 };
        let power_w = ByConsumer {
            compressor: refrigerator.at(state[m]).power_w,
            vacuum_pump: pump_w,
            heaters: 0.0,
            other: cabinet.controls_w,
        };
        let mut energy_j = self.history.last().map_or_else(ByConsumer::default, |s| s.energy_j);
        let last_s = self.history.last().map_or(0.0, |s| s.time_s);
        let before = energy_j;
        energy_j.compressor = state[m + 1];
        energy_j.vacuum_pump += pump_w * (time_s - last_s);
        energy_j.other += cabinet.controls_w * (time_s - last_s);
        self.add_energy(stage, &before, &energy_j);
        let trays = (0..stack.trays.len()).map(|i| {
            let at = system.tray(i);
            let st = &stack.trays[i];
            let cells = &state[at + 1..at + 1 + st.column.cells()];
            let core_k = st.column.slowest_k(cells);
            TraySample {
                ice_left_frac: 1.0,
                front_k: core_k,
                shelf_k: state[at],
                surface_k: st.column.temperature_k(cells[if st.column.is_piece() { 0 } else { cells.len() - 1 }]),
                water_per_dry: st.tray.model.water_frac() / st.tray.model.dry_frac(),
                vapour_kg_per_s: 0.0,
            }
        });
        let air_pa = if stage == Stage::Freezing {
            crate::constants::STANDARD_ATMOSPHERE_PA
        } else {
            pump_down_pa(cabinet, time_s - self.stage_s[0])
        };
        self.history.push(Sample {
            time_s,
            stage,
            vapour_pressure_pa: 0.0,
            chamber_pressure_pa: air_pa,
            condenser_k: state[m],
            ice_surface_k: state[m],
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
        state: &[f64],
        time_s: f64,
        h_s: f64,
    ) {
        let Drive::Machine { cabinet, .. } = &stack.drive else { return };
        for (i, st) in stack.trays.iter().enumerate() {
            if !system.inside(i) {
                continue;
            }
            let at = system.tray(i);
            let core_k = st.column.slowest_k(&state[at + 1..at + 1 + st.column.cells()]);
            let track = &mut self.tracks[i];
            track.warm_time_s += warm_share(track.core_k, core_k) * h_s;
            if track.frozen_at_s.is_none() && core_k <= cabinet.freeze_core_k {
                track.frozen_at_s = Some(time_s - h_s + h_s * crossing(track.core_k, core_k, cabinet.freeze_core_k));
            }
            track.core_k = core_k;
        }
        self.freezing_sample(stack, system, state, time_s, Stage::Freezing);
    }

    /// Says which trays did not get cold enough.
    pub fn freezing_verdict(&mut self, stack: &Stack<'_>, system: &CabinetFreezing<'_>, state: &[f64], cabinet: &Cabinet) {
        for (i, st) in stack.trays.iter().enumerate() {
            let at = system.tray(i);
            let reached_k = st.column.slowest_k(&state[at + 1..at + 1 + st.column.cells()]);
            if system.inside(i) && reached_k > cabinet.freeze_core_k + 0.01 {
                self.warn(Warning::FreezingNotReached { tray: i, reached_k, wanted_k: cabinet.freeze_core_k });
            }
        }
    }

    /// Notes whether a tray is frozen when the vacuum comes.
    pub fn check_frozen(&mut self, tray: usize, st: &StackTray<'_>, cells: &[f64]) {
        let slowest_k = st.column.slowest_k(cells);
        self.tracks[tray].not_frozen = st.tray.model.curve.frozen_share(slowest_k) < 0.5;
        if self.tracks[tray].warm_time_s > COOLING_LIMIT_S {
            let time_s = self.tracks[tray].warm_time_s;
            self.warn(Warning::SlowCooling { tray, time_s });
        }
    }

    /// Heat sum of freezing and evacuation: change of content against leak less cooling.
    pub fn close_freezing_balance(&mut self, change_j: f64, net_in_j: f64, through_j: f64) {
        self.heat_error_j += (change_j - net_in_j).abs();
        self.heat_through_j += through_j.abs();
    }

    fn add_energy(&mut self, stage: Stage, before: &ByConsumer, after: &ByConsumer) {
        let e = &mut self.energy[stage as usize];
        e.compressor += after.compressor - before.compressor;
        e.vacuum_pump += after.vacuum_pump - before.vacuum_pump;
        e.heaters += after.heaters - before.heaters;
        e.other += after.other - before.other;
    }

    /// Sample at the start of drying.
    pub fn start_drying(&mut self, stack: &Stack<'_>, system: &Drying<'_>, state: &[f64]) {
        self.drying_start_s = self.stage_s[0] + self.stage_s[1];
        self.machine.condenser_min_k = state[system.layout().machine() + WALL];
        self.drying_sample(stack, system, state, 0.0, Stage::PrimaryDrying);
    }

    /// After a step of drying from `t_s` to `t_s + h_s` (counted from the end of evacuation).
    pub fn drying_step(
        &mut self,
        stack: &Stack<'_>,
        system: &Drying<'_>,
        before: &[f64],
        after: &[f64],
        t_s: f64,
        h_s: f64,
    ) {
        let had_ice = self.tracks.iter().any(|t| t.ice_gone_at_s.is_none());
        let layout = system.layout();
        let m = layout.machine();
        let mut body = 0;
        let start_s = self.drying_start_s;
        for (i, st) in stack.trays.iter().enumerate() {
            let bodies = body..body + st.bodies.len();
            body = bodies.end;
            let left = |state: &[f64]| {
                bodies.clone().zip(&st.bodies).map(|(b, d)| d.dry_kg - state[layout.body(b) + PASSED]).sum::<f64>()
            };
            let total: f64 = st.bodies.iter().map(|b| b.dry_kg).sum();
            let (left_before, left_after) = (left(before), left(after));
            let track = &mut self.tracks[i];
            for b in bodies.clone() {
                let at = layout.body(b);
                if left_after > 0.02 * total {
                    track.front_max_k = track.front_max_k.max(after[at + FRONT]);
                    let share = st.tray.model.curve.frozen_share(after[at + FRONT]);
                    track.least_ice_share = track.least_ice_share.min(share);
                }
                track.dried_max_k = track.dried_max_k.max(after[at + TOP]);
            }
            if track.ice_gone_at_s.is_none() && left_after <= 1e-6 * total {
                // the front kept its last pace until nothing was left
                let pace = (left_before - left_after).max(1e-300) / h_s;
                let last_pace: f64 = bodies.clone().map(|b| before[layout.body(b) + super::state::PACE]).sum();
                let share = (left_before / (pace.max(last_pace) * h_s)).clamp(0.0, 1.0);
                track.ice_gone_at_s = Some(start_s + t_s + share * h_s);
            }
            let wettest = bodies.clone().zip(&st.bodies).map(|(b, d)| {
                wettest_per_dry(&after[layout.body(b)..], d.dry_kg, st.tray.model.water_frac() / st.tray.model.dry_frac())
            });
            let wettest = wettest.fold(0.0, f64::max);
            if track.dry_at_s.is_none() && wettest <= self.target_per_dry {
                let share = log_share(track.wettest_per_dry, wettest, self.target_per_dry);
                track.dry_at_s = Some(start_s + t_s + share * h_s);
            }
            track.wettest_per_dry = wettest;
        }
        let has_ice = self.tracks.iter().any(|t| t.ice_gone_at_s.is_none());
        if had_ice {
            let end_s = if has_ice {
                t_s + h_s
            } else {
                let last = self.tracks.iter().filter_map(|t| t.ice_gone_at_s).fold(0.0, f64::max);
                last - start_s
            };
            self.stage_s[Stage::PrimaryDrying as usize] = end_s;
            if t_s + h_s > SETTLING_S {
                let pressure = after[m + PRESSURE] + system.air_in_chamber_pa(t_s + h_s);
                self.pressure_time.0 += pressure * h_s;
                self.pressure_time.1 += h_s;
                self.machine.max_pressure_pa = self.machine.max_pressure_pa.max(pressure);
                self.machine.condenser_max_k = self.machine.condenser_max_k.max(after[m + WALL]);
            }
            self.limited_s = after[m + LIMITED];
        }
        self.machine.condenser_min_k = self.machine.condenser_min_k.min(after[m + WALL]);
        let stage = if had_ice { Stage::PrimaryDrying } else { Stage::SecondaryDrying };
        self.drying_sample(stack, system, after, t_s + h_s, stage);
    }

    fn drying_sample(&mut self, stack: &Stack<'_>, system: &Drying<'_>, state: &[f64], t_s: f64, stage: Stage) {
        let layout = system.layout();
        let m = layout.machine();
        let time_s = self.drying_start_s + t_s;
        let before = self.history.last().map_or_else(ByConsumer::default, |s| s.energy_j);
        let last_s = self.history.last().map_or(time_s, |s| s.time_s);
        let dt = time_s - last_s;
        let mut energy_j = before;
        let mut power_w = ByConsumer::default();
        let heaters_before = self.energy[2].heaters + self.energy[3].heaters;
        let heaters_j = state[m + HEATERS];
        if dt > 0.0 {
            power_w.heaters = (heaters_j - heaters_before) / dt;
        }
        energy_j.heaters += heaters_j - heaters_before;
        if let Drive::Machine { cabinet, refrigerator, .. } = &stack.drive {
            power_w.compressor = refrigerator.at(state[m + WALL]).power_w;
            power_w.vacuum_pump = cabinet.vacuum.power_w;
            power_w.other = cabinet.controls_w;
            energy_j.compressor = state[m + COMPRESSOR];
            energy_j.vacuum_pump += cabinet.vacuum.power_w * dt;
            energy_j.other += cabinet.controls_w * dt;
        }
        self.add_energy(stage, &before, &energy_j);
        let mut body = 0;
        let mut trays = Vec::with_capacity(stack.trays.len());
        for (i, st) in stack.trays.iter().enumerate() {
            let water_per_dry = st.tray.model.water_frac() / st.tray.model.dry_frac();
            let (mut dry, mut left, mut held, mut vapour) = (0.0, 0.0, 0.0, 0.0);
            let (mut front_k, mut surface_k): (f64, f64) = (f64::INFINITY, f64::NEG_INFINITY);
            for b in &st.bodies {
                let at = layout.body(body);
                dry += b.dry_kg;
                left += (b.dry_kg - state[at + PASSED]).max(0.0);
                held += state[at + HELD..at + HELD + DEPTHS].iter().sum::<f64>();
                vapour += state[at + VAPOUR];
                front_k = front_k.min(state[at + FRONT]);
                surface_k = surface_k.max(state[at + TOP]);
                body += 1;
            }
            trays.push(TraySample {
                ice_left_frac: left / dry,
                front_k,
                shelf_k: state[layout.shelf(i)],
                surface_k,
                water_per_dry: (left * water_per_dry + held) / dry,
                vapour_kg_per_s: vapour,
            });
        }
        let (condenser_k, ice_kg) = (state[m + WALL], state[m + ICE]);
        let vapour_pa = state[m + PRESSURE];
        self.history.push(Sample {
            time_s,
            stage,
            vapour_pressure_pa: vapour_pa,
            chamber_pressure_pa: vapour_pa + system.air_in_chamber_pa(t_s),
            condenser_k,
            ice_surface_k: system.ice_surface_k(state),
            condenser_ice_kg: ice_kg,
            power_w,
            energy_j,
            trays,
        });
    }

    /// Whether the end rule was met within a step; returns the share of the step at which it was.
    pub fn end_reached(
        &self,
        stack: &Stack<'_>,
        system: &Drying<'_>,
        before: &[f64],
        after: &[f64],
        t_s: f64,
        h_s: f64,
    ) -> Option<f64> {
        let layout = system.layout();
        match stack.load.end {
            EndRule::FixedTime { .. } => None,
            EndRule::WettestSpot { .. } => {
                let wettest = |state: &[f64]| all_wettest(stack, system, state);
                let (a, b) = (wettest(before), wettest(after));
                (b <= self.target_per_dry).then(|| log_share(a, b, self.target_per_dry))
            }
            EndRule::TemperaturesMeet { delta_k } => {
                let mut body = 0;
                let mut apart: f64 = 0.0;
                for (i, st) in stack.trays.iter().enumerate() {
                    let shelf_k = after[layout.shelf(i)];
                    for b in &st.bodies {
                        let at = layout.body(body);
                        if after[at + PASSED] < b.dry_kg * (1.0 - 1e-6) {
                            return None;
                        }
                        apart = apart.max((shelf_k - after[at + FRONT]).abs());
                        body += 1;
                    }
                }
                (apart <= delta_k).then_some(1.0)
            }
            EndRule::WeightConstant { loss_kg, over_s } => {
                let end_s = self.drying_start_s + t_s + h_s;
                let water = |trays: &[TraySample]| -> f64 {
                    trays.iter().zip(&stack.trays).map(|(s, st)| s.water_per_dry * tray_dry_kg(st)).sum()
                };
                let now_kg: f64 = total_water_kg(stack, system, after);
                let then = self.history.iter().rev().find(|s| s.time_s <= end_s - over_s)?;
                if then.stage < Stage::PrimaryDrying {
                    return None;
                }
                (water(&then.trays) - now_kg <= loss_kg).then_some(1.0)
            }
        }
    }

    /// Closes drying: sums, balances, what is left.
    pub fn end_drying(&mut self, stack: &Stack<'_>, system: &Drying<'_>, state: &[f64], t_s: f64, start_j: f64) {
        let layout = system.layout();
        let m = layout.machine();
        let primary = self.stage_s[Stage::PrimaryDrying as usize].min(t_s);
        self.stage_s[Stage::PrimaryDrying as usize] = primary;
        self.stage_s[Stage::SecondaryDrying as usize] = t_s - primary;
        let (mut body, mut gone) = (0, 0.0);
        for st in &stack.trays {
            let model = &st.tray.model;
            let (mut left, mut dry) = (0.0, 0.0);
            for b in &st.bodies {
                let at = layout.body(body);
                dry += b.dry_kg;
                left += (b.dry_kg - state[at + PASSED]) * model.water_frac() / model.dry_frac();
                left += state[at + HELD..at + HELD + DEPTHS].iter().sum::<f64>();
                gone += state[at + SUBLIMED];
                body += 1;
            }
            let loaded = dry * model.water_frac() / model.dry_frac();
            self.water.loaded_kg += loaded;
            self.water.left_kg += left;
            self.trays_left_kg.push(left);
            self.trays_mean.push(left / dry);
        }
        self.water.removed_kg = self.water.loaded_kg - self.water.left_kg;
        let caught = match &stack.drive {
            Drive::Machine { .. } => state[m + ICE] + state[m + PUMPED],
            Drive::Rig(_) => self.water.removed_kg,
        };
        self.balance.mass_rel = (self.water.removed_kg - caught).abs() / self.water.loaded_kg;
        debug_assert!(gone <= self.water.loaded_kg * 1.001);
        let change = system.heat_content_j(state) - start_j;
        let net = state[m + HEATERS] + state[m + LEAKED] + state[m + DEPOSITED]
            - state[m + COOLED]
            - state[m + SPENT]
            - state[m + HANDED];
        self.heat_error_j += (change - net).abs();
        self.heat_through_j += state[m + SPENT].abs() + state[m + DEPOSITED].abs();
        self.balance.energy_rel = self.heat_error_j / self.heat_through_j.max(1.0);
        self.end_state = (state[m + ICE], state[m + WALL]);
        if let Drive::Machine { cabinet, .. } = &stack.drive {
            let c = &cabinet.condenser;
            self.machine.ice_thickness_m = state[m + ICE] / (c.deposit_density_kg_per_m3 * c.area_m2);
            self.machine.ice_room_frac = Some(self.machine.ice_thickness_m / c.thickness_limit_m);
            if self.machine.ice_thickness_m > c.thickness_limit_m {
                let (thickness_m, room_m) = (self.machine.ice_thickness_m, c.thickness_limit_m);
                self.warn(Warning::NoRoomForIce { thickness_m, room_m });
            }
            if self.machine.max_pressure_pa > TOO_WEAK_PA {
                let pressure_pa = self.machine.max_pressure_pa;
                self.warn(Warning::CondenserTooWeak { pressure_pa });
            }
        }
        if self.pressure_time.1 > 0.0 {
            self.machine.mean_pressure_pa = self.pressure_time.0 / self.pressure_time.1;
        }
        if primary > 0.0 {
            self.machine.time_limited_frac = (self.limited_s / primary).min(1.0);
        }
    }

    /// Adds defrost.
    pub fn defrost(&mut self, time_s: f64, energy: ByConsumer, power_w: ByConsumer) {
        self.stage_s[Stage::Defrost as usize] = time_s;
        self.energy[Stage::Defrost as usize] = energy;
        if let Some(last) = self.history.last().cloned() {
            let mut first = last.clone();
            first.stage = Stage::Defrost;
            first.power_w = power_w;
            let mut end = first.clone();
            end.time_s += time_s;
            end.condenser_k = 273.15;
            end.ice_surface_k = 273.15;
            end.condenser_ice_kg = 0.0;
            end.energy_j.heaters += energy.heaters;
            end.chamber_pressure_pa = crate::constants::STANDARD_ATMOSPHERE_PA;
            first.chamber_pressure_pa = end.chamber_pressure_pa;
            self.history.push(first);
            self.history.push(end);
        }
    }

    /// The answer.
    pub fn result(self, stack: &Stack<'_>) -> BatchResult {
        let mut trays = Vec::with_capacity(stack.trays.len());
        for (i, st) in stack.trays.iter().enumerate() {
            let model = &st.tray.model;
            let track = &self.tracks[i];
            let dry = tray_dry_kg(st);
            let wettest = wet_frac(track.wettest_per_dry);
            let mut flags = Vec::new();
            if track.not_frozen {
                flags.push(Flag::NotFrozen);
            }
            if track.front_max_k > model.limit.collapse_k {
                flags.push(match model.limit.kind {
                    crate::food::Structure::Tissue => Flag::Softens,
                    crate::food::Structure::Solution => Flag::Collapses,
                });
            }
            if track.least_ice_share < MELTED_SHARE {
                flags.push(Flag::Melts);
            }
            if track.ice_gone_at_s.is_none() {
                flags.push(Flag::IceLeft);
            }
            if track.dry_at_s.is_none() {
                flags.push(Flag::NotDry);
            }
            if model.fat_per_dry > FATTY_PER_DRY {
                flags.push(Flag::Fatty);
            }
            flags.sort();
            trays.push(TrayResult {
                name: st.tray.name.clone(),
                food: st.tray.food.clone(),
                loaded_kg: dry / model.dry_frac(),
                dry_matter_kg: dry,
                water_kg: dry * model.water_frac() / model.dry_frac(),
                water_left_kg: self.trays_left_kg[i],
                ice_gone_at_s: track.ice_gone_at_s,
                dry_at_s: track.dry_at_s,
                front_max_k: track.front_max_k,
                collapse_k: model.limit.collapse_k,
                least_ice_share: track.least_ice_share,
                dried_max_k: track.dried_max_k,
                mean_wet_frac: wet_frac(self.trays_mean[i]),
                wettest_wet_frac: wettest,
                frozen_at_s: track.frozen_at_s,
                warm_time_s: track.warm_time_s,
                flags,
            });
        }
        BatchResult {
            stage_s: self.stage_s,
            trays,
            energy_by_stage_j: self.energy,
            water: self.water,
            balance: self.balance,
            machine: self.machine,
            warnings: self.warnings,
            history: self.history,
        }
    }
}

fn pump_down_pa(cabinet: &Cabinet, time_s: f64) -> f64 {
    let v = &cabinet.vacuum;
    let floor = vapour_path::air_pressure_pa(v);
    floor + (crate::constants::STANDARD_ATMOSPHERE_PA - floor) * (-time_s * v.speed_m3_per_s / v.volume_m3).exp()
}

fn tray_dry_kg(st: &StackTray<'_>) -> f64 {
    st.bodies.iter().map(|b| b.dry_kg).sum()
}

/// Wettest depth of one front, kg/kg dry; ice counts with all the food's water.
fn wettest_per_dry(body: &[f64], dry_kg: f64, whole_per_dry: f64) -> f64 {
    if body[PASSED] < dry_kg * (1.0 - 1e-6) {
        return whole_per_dry;
    }
    let cell_kg = dry_kg / DEPTHS as f64;
    body[HELD..HELD + DEPTHS].iter().fold(0.0, |worst: f64, held| worst.max(held / cell_kg))
}

fn all_wettest(stack: &Stack<'_>, system: &Drying<'_>, state: &[f64]) -> f64 {
    let layout = system.layout();
    let mut body = 0;
    let mut worst: f64 = 0.0;
    for st in &stack.trays {
        let whole = st.tray.model.water_frac() / st.tray.model.dry_frac();
        for b in &st.bodies {
            worst = worst.max(wettest_per_dry(&state[layout.body(body)..], b.dry_kg, whole));
            body += 1;
        }
    }
    worst
}

fn total_water_kg(stack: &Stack<'_>, system: &Drying<'_>, state: &[f64]) -> f64 {
    let layout = system.layout();
    let (mut body, mut sum) = (0, 0.0);
    for st in &stack.trays {
        let whole = st.tray.model.water_frac() / st.tray.model.dry_frac();
        for b in &st.bodies {
            let at = layout.body(body);
            sum += (b.dry_kg - state[at + PASSED]) * whole + state[at + HELD..at + HELD + DEPTHS].iter().sum::<f64>();
            body += 1;
        }
    }
    sum
}

/// Share of a step at which a value that falls exponentially from `a` to `b` met `level`.
fn log_share(a: f64, b: f64, level: f64) -> f64 {
    if a <= level {
        return 0.0;
    }
    if b <= 0.0 || a <= b {
        return 1.0;
    }
    ((a / level).ln() / (a / b).ln()).clamp(0.0, 1.0)
}
