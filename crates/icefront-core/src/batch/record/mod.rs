//! Keeps what happened: samples over time, verdicts per tray, sums per stage. Reads states, never changes them.

mod drying;
mod freezing;

use super::cabinet::{Drive, Stack, StackTray};
use super::parts::Part;
use super::wet_frac;
use crate::constants::STANDARD_ATMOSPHERE_PA;
use crate::food::{Structure, Texture};
use crate::freezing::before::SetOut;
use crate::load::{EndRule, Freezing};
use crate::result::{
    Balance, BatchResult, ByConsumer, ByStage, Flag, MachineSummary, PartResult, Sample, Stage, TrayResult, Warning,
    WaterSum,
};

/// Below this share of freezable water as ice the food counts as melted. Source: limits of the model's own.
const MELTED_SHARE: f64 = 0.5;
/// Fat per dry matter above which a tray is called fatty (`common practice, no source`).
const FATTY_PER_DRY: f64 = 0.25;

/// Verdict on a tray while the run goes on.
#[derive(Clone, Debug)]
struct Track {
    ice_gone_at_s: Option<f64>,
    dry_at_s: Option<f64>,
    /// Warmest ice front.
    front_max_k: f64,
    /// Ice fronts while an element held more than its last ice, weighted with that ice and time, and the sum of the weights.
    front_k_kg_s: f64,
    front_kg_s: f64,
    dried_max_k: f64,
    least_ice_share: f64,
    frozen_at_s: Option<f64>,
    warm_time_s: f64,
    core_k: f64,
    not_frozen: bool,
    wettest_per_dry: f64,
    parts: Vec<PartTrack>,
}

/// When a part of a tray was rid of its ice, and dry.
#[derive(Clone, Copy, Debug)]
struct PartTrack {
    ice_gone_at_s: Option<f64>,
    dry_at_s: Option<f64>,
    wettest_per_dry: f64,
}

impl Track {
    /// Times by part, if the tray has more than one.
    fn part_results(&self, st: &StackTray<'_>) -> Vec<PartResult> {
        if st.parts.len() < 2 {
            return Vec::new();
        }
        let result = |(part, track): (&Part, &PartTrack)| PartResult {
            with_pieces: part.with_pieces,
            contact_factor: part.below_factor,
            area_frac: part.area_m2 / st.tray.area_m2,
            ice_gone_at_s: track.ice_gone_at_s,
            dry_at_s: track.dry_at_s,
        };
        st.parts.iter().zip(&self.parts).map(result).collect()
    }
}

/// Everything recorded so far.
pub struct Recorder {
    pub(super) history: Vec<Sample>,
    tracks: Vec<Track>,
    stage_s: ByStage<f64>,
    energy: ByStage<ByConsumer>,
    warnings: Vec<Warning>,
    /// Compressor energy used before drying began, J.
    pub compressor_before_drying_j: f64,
    pub(super) target_per_dry: f64,
    balance: Balance,
    water: WaterSum,
    machine: MachineSummary,
    limited_s: f64,
    pressure_time: (f64, f64),
    pub(super) drying_start_s: f64,
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
            front_k_kg_s: 0.0,
            front_kg_s: 0.0,
            dried_max_k: f64::NEG_INFINITY,
            least_ice_share: 1.0,
            frozen_at_s: None,
            warm_time_s: 0.0,
            core_k: match st.tray.freezing {
                Freezing::InMachine { loaded_k } | Freezing::Frozen { loaded_k } => loaded_k,
                Freezing::Before { start_k, .. } => start_k,
            },
            not_frozen: false,
            wettest_per_dry: st.parts.iter().map(|part| part.model.water_per_dry()).fold(0.0, f64::max),
            parts: st
                .parts
                .iter()
                .map(|p| PartTrack { ice_gone_at_s: None, dry_at_s: None, wettest_per_dry: p.model.water_per_dry() })
                .collect(),
        };
        let mut warnings = Vec::new();
        if let Drive::Machine { cabinet, .. } = &stack.drive {
            let trays_m2 = stack.area_m2();
            if trays_m2 > cabinet.shelf_area_m2 * 1.02 {
                warnings.push(Warning::TraysExceedShelves { trays_m2, shelves_m2: cabinet.shelf_area_m2 });
            }
            for (tray, st) in stack.trays.iter().enumerate() {
                let height_m = st.tray.shape.height_m();
                if cabinet.is_too_high(height_m) {
                    warnings.push(Warning::TrayTooFull { tray, height_m, clear_m: cabinet.clear_height_m });
                }
            }
        }
        Self {
            history: Vec::with_capacity(256),
            tracks: stack.trays.iter().map(track).collect(),
            stage_s: ByStage::default(),
            energy: ByStage::default(),
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
        self.stage_s[Stage::Evacuation]
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
        self.stage_s[stage] = time_s;
    }

    fn add_energy(&mut self, stage: Stage, before: &ByConsumer, after: &ByConsumer) {
        let e = &mut self.energy[stage];
        e.compressor += after.compressor - before.compressor;
        e.vacuum_pump += after.vacuum_pump - before.vacuum_pump;
        e.heaters += after.heaters - before.heaters;
        e.other += after.other - before.other;
    }

    /// Adds defrost.
    pub fn defrost(&mut self, time_s: f64, energy: ByConsumer, power_w: ByConsumer) {
        self.stage_s[Stage::Defrost] = time_s;
        self.energy[Stage::Defrost] = energy;
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
            end.chamber_pressure_pa = STANDARD_ATMOSPHERE_PA;
            first.chamber_pressure_pa = end.chamber_pressure_pa;
            self.history.push(first);
            self.history.push(end);
        }
    }

    /// The answer.
    pub fn result(self, stack: &Stack<'_>) -> BatchResult {
        let mut trays = Vec::with_capacity(stack.trays.len());
        for (i, st) in stack.trays.iter().enumerate() {
            let track = &self.tracks[i];
            let dry = st.dry_kg();
            // the lowest collapse temperature counts for the tray
            let limits = st.parts.iter().map(|p| p.model.limit);
            let limit = limits.min_by(|a, b| a.collapse_k.total_cmp(&b.collapse_k)).unwrap_or(st.tray.model.limit);
            let wettest = wet_frac(track.wettest_per_dry);
            // where drying never began, or the first step took all ice, the food is as it was last seen
            let seen = self.history.last().and_then(|sample| sample.trays.get(i));
            let seen_with_ice =
                self.history.iter().rev().filter_map(|sample| sample.trays.get(i)).find(|t| t.ice_left_frac >= 1.0);
            let or_seen = |most_k: f64, seen_k: Option<f64>| {
                if most_k.is_finite() { most_k } else { seen_k.unwrap_or(track.core_k) }
            };
            let mut flags = Vec::new();
            if track.not_frozen {
                flags.push(Flag::NotFrozen);
            }
            let front_max_k = or_seen(track.front_max_k, seen_with_ice.map(|t| t.front_warmest_k));
            let front_mean_k = if track.front_kg_s > 0.0 { track.front_k_kg_s / track.front_kg_s } else { front_max_k };
            match (limit.texture(front_mean_k), limit.kind) {
                (Texture::Keeps, _) => {}
                (Texture::Softens, _) => flags.push(Flag::Softens),
                (Texture::Shrinks, Structure::Solution) => flags.push(Flag::Collapses),
                (Texture::Shrinks, _) => flags.push(Flag::Shrinks),
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
            if st.parts.iter().any(|p| p.model.fat_per_dry > FATTY_PER_DRY) {
                flags.push(Flag::Fatty);
            }
            flags.sort();
            trays.push(TrayResult {
                name: st.tray.name.clone(),
                food: st.tray.food.clone(),
                loaded_kg: dry + st.water_kg(),
                dry_matter_kg: dry,
                water_kg: st.water_kg(),
                water_left_kg: self.trays_left_kg[i],
                ice_gone_at_s: track.ice_gone_at_s,
                dry_at_s: track.dry_at_s,
                front_max_k,
                front_mean_k,
                collapse_k: limit.collapse_k,
                least_ice_share: track.least_ice_share,
                dried_max_k: or_seen(track.dried_max_k, seen.map(|t| t.surface_k)),
                mean_wet_frac: wet_frac(self.trays_mean[i]),
                wettest_wet_frac: wettest,
                frozen_at_s: track.frozen_at_s,
                warm_time_s: track.warm_time_s,
                parts: track.part_results(st),
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

/// Share of a step at which a value that falls exponentially from `a` to `b` met `level`.
pub(super) fn log_share(a: f64, b: f64, level: f64) -> f64 {
    if a <= level {
        return 0.0;
    }
    if b <= 0.0 || a <= b {
        return 1.0;
    }
    (libm::log(a / level) / libm::log(a / b)).clamp(0.0, 1.0)
}
