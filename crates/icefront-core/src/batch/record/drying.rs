//! Recorded while the stack dries: verdicts per tray, samples, sums and balances.

use super::{Recorder, log_share};
use crate::batch::cabinet::{Drive, Stack};
use crate::batch::drying::Drying;
use crate::batch::state::{DryingState, ElementState};
use crate::food::FoodModel;
use crate::primary::Body;
use crate::result::{ByConsumer, PartSample, Sample, Stage, TraySample, Warning};

/// Vapour pressure too high for any food that still has ice, Pa (ice at -5 degC has 402 Pa).
const TOO_WEAK_PA: f64 = 400.0;
/// The last of an element's ice, as a share of it, is too little to spoil the food: it does not count for findings.
const LAST_ICE_FRAC: f64 = 0.02;
/// Where less of an element's ice than this is left, a cook does not see that it melts (`common practice, no source`).
const SEEN_ICE_FRAC: f64 = 0.05;
/// The first hour of primary drying does not count for the machine's means, unless there is no more of it: it only comes
/// down.
const SETTLING_S: f64 = 3_600.0;

impl Recorder {
    /// Sample at the start of drying.
    pub fn start_drying(&mut self, stack: &Stack<'_>, system: &Drying<'_>, state: &DryingState) {
        self.drying_start_s = self.stage_s[Stage::Freezing] + self.stage_s[Stage::Evacuation];
        let coil_k = state.machine.coil_k;
        (self.machine.condenser_min_k, self.machine.condenser_max_k) = (coil_k, coil_k);
        self.drying_sample(stack, system, state, 0.0, Stage::PrimaryDrying);
    }

    /// After a step of drying from `t_s` to `t_s + h_s` (counted from the end of evacuation).
    pub fn drying_step(
        &mut self,
        stack: &Stack<'_>,
        system: &Drying<'_>,
        before: &DryingState,
        after: &DryingState,
        t_s: f64,
        h_s: f64,
    ) {
        let had_ice = self.tracks.iter().any(|t| t.ice_gone_at_s.is_none());
        let mut first = 0;
        let start_s = self.drying_start_s;
        for (i, st) in stack.trays.iter().enumerate() {
            let track = &mut self.tracks[i];
            for (part, seen) in st.parts.iter().zip(&mut track.parts) {
                let range = first..first + part.bodies.len();
                first = range.end;
                let (before, after) = (&before.elements[range.clone()], &after.elements[range]);
                let elements = part.bodies.iter().zip(after);
                // each element is judged by its own ice: in a bed the outer layers are dry and warm long before the last
                for (body, element) in elements.clone() {
                    if element.has_ice(body.dry_kg) {
                        track.front_max_k = track.front_max_k.max(ice_front_k(&part.model, element));
                    }
                    if body.dry_kg - element.passed_kg > LAST_ICE_FRAC * body.dry_kg {
                        let ice_kg = body.dry_kg - element.passed_kg;
                        track.front_k_kg_s += ice_front_k(&part.model, element) * ice_kg * h_s;
                        track.front_kg_s += ice_kg * h_s;
                        if ice_kg > SEEN_ICE_FRAC * body.dry_kg {
                            let share = part.model.curve.frozen_share(element.front_k);
                            track.least_ice_share = track.least_ice_share.min(share);
                        }
                    }
                    track.dried_max_k = track.dried_max_k.max(element.surface_k);
                }
                if seen.ice_gone_at_s.is_none() && !elements.clone().any(|(body, element)| element.has_ice(body.dry_kg))
                {
                    let left = |(body, element): (&Body, &ElementState)| body.dry_kg - element.passed_kg;
                    let left_before: f64 = part.bodies.iter().zip(before).map(left).sum();
                    // the front went on from its last rate until nothing was left
                    let last_rate: f64 = before.iter().map(|element| element.front_rate_kg_per_s).sum();
                    let slowing = part.bodies.iter().map(Body::last_ice_slowing).fold(1.0, f64::max);
                    let share = (slowing * left_before / (last_rate.max(1e-300) * h_s)).clamp(0.0, 1.0);
                    seen.ice_gone_at_s = Some(start_s + t_s + share * h_s);
                }
                let loaded = part.model.water_per_dry();
                let wettest = elements
                    .map(|(body, element)| element.largest_moisture_per_dry(body.dry_kg, loaded))
                    .fold(0.0, f64::max);
                if seen.dry_at_s.is_none() && wettest <= self.target_per_dry {
                    let share = log_share(seen.wettest_per_dry, wettest, self.target_per_dry);
                    seen.dry_at_s = Some(start_s + t_s + share * h_s);
                }
                seen.wettest_per_dry = wettest;
            }
            // the tray is as far as its last part
            track.ice_gone_at_s = last(track.parts.iter().map(|p| p.ice_gone_at_s));
            track.dry_at_s = last(track.parts.iter().map(|p| p.dry_at_s));
            track.wettest_per_dry = track.parts.iter().map(|p| p.wettest_per_dry).fold(0.0, f64::max);
        }
        let has_ice = self.tracks.iter().any(|t| t.ice_gone_at_s.is_none());
        if had_ice {
            let end_s = if has_ice {
                t_s + h_s
            } else {
                let last = self.tracks.iter().filter_map(|t| t.ice_gone_at_s).fold(0.0, f64::max);
                last - start_s
            };
            self.stage_s[Stage::PrimaryDrying] = end_s;
            let pressure_pa = after.machine.vapour_pa + system.air_in_chamber_pa(t_s + h_s);
            let coil_k = after.machine.coil_k;
            if t_s <= SETTLING_S && t_s + h_s > SETTLING_S {
                self.pressure_time = (0.0, 0.0);
                (self.machine.max_pressure_pa, self.machine.condenser_max_k) = (pressure_pa, coil_k);
            }
            self.pressure_time.0 += pressure_pa * h_s;
            self.pressure_time.1 += h_s;
            self.machine.max_pressure_pa = self.machine.max_pressure_pa.max(pressure_pa);
            self.machine.condenser_max_k = self.machine.condenser_max_k.max(coil_k);
            self.limited_s = after.machine.limited_s;
        }
        self.machine.condenser_min_k = self.machine.condenser_min_k.min(after.machine.coil_k);
        let stage = if had_ice { Stage::PrimaryDrying } else { Stage::SecondaryDrying };
        self.drying_sample(stack, system, after, t_s + h_s, stage);
    }

    fn drying_sample(&mut self, stack: &Stack<'_>, system: &Drying<'_>, state: &DryingState, t_s: f64, stage: Stage) {
        let time_s = self.drying_start_s + t_s;
        let before = self.history.last().map_or_else(ByConsumer::default, |s| s.energy_j);
        let last_s = self.history.last().map_or(time_s, |s| s.time_s);
        let dt = time_s - last_s;
        let mut energy_j = before;
        let mut power_w = ByConsumer::default();
        let heaters_before = self.energy[Stage::PrimaryDrying].heaters + self.energy[Stage::SecondaryDrying].heaters;
        let heaters_j = state.machine.heaters_j;
        if dt > 0.0 {
            power_w.heaters = (heaters_j - heaters_before) / dt;
        }
        energy_j.heaters += heaters_j - heaters_before;
        if let Drive::Machine { cabinet, refrigerator, .. } = &stack.drive {
            power_w.compressor = refrigerator.at(state.machine.coil_k).power_w;
            power_w.vacuum_pump = cabinet.vacuum.power_w;
            power_w.other = cabinet.controls_w;
            energy_j.compressor = state.machine.compressor_j;
            energy_j.vacuum_pump += cabinet.vacuum.power_w * dt;
            energy_j.other += cabinet.controls_w * dt;
        }
        self.add_energy(stage, &before, &energy_j);
        let mut elements = state.elements.iter();
        let mut trays = Vec::with_capacity(stack.trays.len());
        for (i, st) in stack.trays.iter().enumerate() {
            let (mut dry, mut left, mut water_kg, mut vapour) = (0.0, 0.0, 0.0, 0.0);
            let (mut fronts, mut warmest_k) = (Fronts::default(), f64::NEG_INFINITY);
            // single-zone trays allocate nothing
            let zones = if st.parts.len() > 1 { st.parts.len() } else { 0 };
            let mut parts = Vec::with_capacity(zones);
            for part in &st.parts {
                let (mut part_dry, mut part_left) = (0.0, 0.0);
                let (mut part_fronts, mut surface_k) = (Fronts::default(), f64::NEG_INFINITY);
                for (body, element) in part.bodies.iter().zip(elements.by_ref()) {
                    let left_kg = (body.dry_kg - element.passed_kg).max(0.0);
                    part_dry += body.dry_kg;
                    part_left += if element.has_ice(body.dry_kg) { left_kg } else { 0.0 };
                    water_kg += left_kg * part.model.water_per_dry() + element.total_sorbed_kg();
                    vapour += element.sublimation_kg_per_s;
                    part_fronts.add(&part.model, element, body.dry_kg);
                    surface_k = surface_k.max(element.surface_k);
                }
                dry += part_dry;
                left += part_left;
                fronts.join(&part_fronts);
                warmest_k = warmest_k.max(surface_k);
                if zones > 0 {
                    parts.push(PartSample {
                        ice_left_frac: part_left / part_dry,
                        front_k: part_fronts.range_k().0,
                        surface_k,
                    });
                }
            }
            let (front_k, front_warmest_k) = fronts.range_k();
            trays.push(TraySample {
                ice_left_frac: left / dry,
                front_k,
                front_warmest_k,
                shelf_k: state.shelf_k[i],
                surface_k: warmest_k,
                water_per_dry: water_kg / dry,
                vapour_kg_per_s: vapour,
                parts,
            });
        }
        let (condenser_k, ice_kg) = (state.machine.coil_k, state.machine.ice_kg);
        let vapour_pa = state.machine.vapour_pa;
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

    /// Closes drying: sums, balances, what is left.
    pub fn end_drying(&mut self, stack: &Stack<'_>, system: &Drying<'_>, state: &DryingState, t_s: f64, start_j: f64) {
        let primary = self.stage_s[Stage::PrimaryDrying].min(t_s);
        self.stage_s[Stage::PrimaryDrying] = primary;
        self.stage_s[Stage::SecondaryDrying] = t_s - primary;
        let mut elements = state.elements.iter();
        for st in &stack.trays {
            let mut left = 0.0;
            for ((part, body), element) in st.bodies().zip(elements.by_ref()) {
                left += element.water_kg(body.dry_kg, part.model.water_per_dry());
            }
            self.water.loaded_kg += st.water_kg();
            self.water.left_kg += left;
            self.trays_left_kg.push(left);
            self.trays_mean.push(left / st.dry_kg());
        }
        self.water.removed_kg = self.water.loaded_kg - self.water.left_kg;
        let caught = match &stack.drive {
            Drive::Machine { .. } => state.machine.ice_kg + state.machine.pumped_kg,
            Drive::Rig(_) => self.water.removed_kg,
        };
        self.balance.mass_rel = (self.water.removed_kg - caught).abs() / self.water.loaded_kg;
        let change = system.heat_content_j(state) - start_j;
        let net = state.machine.heaters_j + state.machine.leaked_j + state.machine.deposited_j
            - state.machine.cooled_j
            - state.machine.latent_j
            - state.machine.transferred_j;
        self.heat_error_j += (change - net).abs();
        self.heat_through_j += state.machine.latent_j.abs() + state.machine.deposited_j.abs();
        self.balance.energy_rel = self.heat_error_j / self.heat_through_j.max(1.0);
        self.end_state = (state.machine.ice_kg, state.machine.coil_k);
        if let Drive::Machine { cabinet, .. } = &stack.drive {
            let c = &cabinet.condenser;
            self.machine.ice_thickness_m = state.machine.ice_kg / (c.deposit_density_kg_per_m3 * c.area_m2);
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
}

/// Temperature of the ice at an element's front, K: where the model's front is warmer than the freezing point, the ice
/// behind it has melted, and it melted at that point.
fn ice_front_k(model: &FoodModel, element: &ElementState) -> f64 {
    element.front_k.min(model.curve.freezing_point_k)
}

/// Coldest and warmest front of some elements: of those that still hold ice, or of all once none does.
#[derive(Clone, Copy, Debug, Default)]
struct Fronts {
    icy_k: Option<(f64, f64)>,
    dry_k: Option<(f64, f64)>,
}

impl Fronts {
    fn add(&mut self, model: &FoodModel, element: &ElementState, dry_kg: f64) {
        if element.has_ice(dry_kg) {
            let front_k = ice_front_k(model, element);
            self.icy_k = widened(self.icy_k, (front_k, front_k));
        } else {
            self.dry_k = widened(self.dry_k, (element.front_k, element.front_k));
        }
    }

    fn join(&mut self, other: &Self) {
        for (range, more) in [(&mut self.icy_k, other.icy_k), (&mut self.dry_k, other.dry_k)] {
            *range = more.map_or(*range, |more| widened(*range, more));
        }
    }

    fn range_k(&self) -> (f64, f64) {
        self.icy_k.or(self.dry_k).unwrap_or((f64::INFINITY, f64::NEG_INFINITY))
    }
}

fn widened(range: Option<(f64, f64)>, (low, high): (f64, f64)) -> Option<(f64, f64)> {
    Some(range.map_or((low, high), |(lowest, highest)| (lowest.min(low), highest.max(high))))
}

/// The latest of some times, if all have come.
fn last(times: impl IntoIterator<Item = Option<f64>>) -> Option<f64> {
    times.into_iter().try_fold(f64::NEG_INFINITY, |latest, time| Some(latest.max(time?)))
}
