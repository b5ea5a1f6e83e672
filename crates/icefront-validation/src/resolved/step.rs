//! One implicit step: the front's temperature as a root over both profiles.

use super::Resolution;
use super::profile::{Desorption, Dried, DriedHeat, Frozen, REFERENCE_K};
use crate::ideal::{FrontPoint, Layer, VAPOUR_J_PER_KG_K};
use icefront_core::constants::GAS_CONSTANT_J_PER_MOL_K;
use icefront_core::error::ModelError;
use icefront_core::numerics::components::{Components, components_by_field};
use icefront_core::numerics::root;
use icefront_core::numerics::stepper::ImplicitEuler;
use icefront_core::primary::surface_kinetics_m2_s_pa_per_kg;
use icefront_core::water;

/// State of the layer, per m2.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct LayerState {
    /// Thickness of the dried part, m.
    pub(super) dried_m: f64,
    /// Ice sublimed, kg.
    pub(super) sublimed_kg: f64,
    /// Sorbed water desorbed, kg.
    pub(super) desorbed_kg: f64,
    /// Heat taken in from below and above, J.
    pub(super) heat_in_j: f64,
    /// Latent heat with what the vapour carries off, and enthalpy transferred from frozen to dried food, J.
    pub(super) heat_out_j: f64,
    /// Heat in the cells of the dried part, J.
    pub(super) dried_heat_j: Vec<f64>,
    /// Sorbed water in them, kg.
    pub(super) sorbed_kg: Vec<f64>,
    /// Heat in the cells of the frozen part, J.
    pub(super) frozen_heat_j: Vec<f64>,
}

components_by_field!(LayerState {
    dried_m,
    sublimed_kg,
    desorbed_kg,
    heat_in_j,
    heat_out_j,
    dried_heat_j,
    sorbed_kg,
    frozen_heat_j,
});

const SETTLED: f64 = 1e-8;
const MOST_ROUNDS: usize = 60;
const ROOT_K: f64 = 1e-11;
/// Step for the slope of the isotherm, K.
const SLOPE_K: f64 = 0.01;
/// Residual that stands for a front that passes the bottom, W/m2.
const TOO_FAR_W: f64 = -1e6;
/// Bracket around the last front temperature, K, and where widening ends.
const FIRST_BRACKET_K: f64 = 0.05;
const COLDEST_K: f64 = 150.0;
const WARMEST_K: f64 = 330.0;
/// Dried layer thinner than this share of the depth counts as none.
const NONE: f64 = 1e-7;

/// The layer with what the last round of the step left as a first guess for the next.
pub(super) struct System<'a> {
    layer: Layer<'a>,
    resolution: Resolution,
    /// Whether there is a front; after its last ice the dried part reaches down to what heats it from below.
    iced: bool,
    round: Round,
}

/// Values that are repeated until they agree.
#[derive(Clone)]
struct Round {
    front_k: f64,
    surface_k: f64,
    vapour_kg_per_s: f64,
    /// Dried cells: temperature, K, and held water, kg/kg dry.
    dried_k: Vec<f64>,
    held: Vec<f64>,
    /// Frozen cells, J/kg.
    frozen: Vec<f64>,
}

/// Way of the vapour: what the front's own vapour meets, and what that of desorption adds.
struct Path {
    /// At the cells, Pa.
    middle_pa: Vec<f64>,
    /// m2 s Pa/kg.
    resistance: f64,
    offset_pa: f64,
}

/// What a front temperature brings about.
struct Trial {
    grown_m: f64,
    dried: DriedHeat,
    in_below_w: f64,
    residual_w: f64,
}

impl<'a> System<'a> {
    pub(super) fn new(layer: Layer<'a>, resolution: Resolution, start_k: f64) -> Self {
        let round = Round {
            front_k: start_k,
            surface_k: start_k,
            vapour_kg_per_s: 0.0,
            dried_k: vec![start_k; resolution.dried],
            held: vec![layer.model.curve.unfrozen_per_dry(start_k); resolution.dried],
            frozen: vec![layer.model.curve.enthalpy_j_per_kg(start_k); resolution.frozen],
        };
        Self { layer, resolution, iced: true, round }
    }

    pub(super) fn start(&self, start_k: f64) -> LayerState {
        let (n, m) = (self.resolution.dried, self.resolution.frozen);
        let cell_kg = self.layer.model.density_kg_per_m3 * self.layer.depth_m / m as f64;
        LayerState {
            dried_m: 0.0,
            sublimed_kg: 0.0,
            desorbed_kg: 0.0,
            heat_in_j: 0.0,
            heat_out_j: 0.0,
            dried_heat_j: vec![0.0; n],
            sorbed_kg: vec![0.0; n],
            frozen_heat_j: vec![cell_kg * self.layer.model.curve.enthalpy_j_per_kg(start_k); m],
        }
    }

    fn dry_kg_per_m3(&self) -> f64 {
        self.layer.model.density_kg_per_m3 * self.layer.model.dry_frac()
    }

    pub(super) fn heat_j(&self, state: &LayerState) -> f64 {
        state.dried_heat_j.iter().sum::<f64>() + state.frozen_heat_j.iter().sum::<f64>()
    }

    pub(super) fn water_kg(&self, state: &LayerState) -> f64 {
        let frozen_m = self.layer.depth_m - state.dried_m;
        frozen_m * self.layer.model.density_kg_per_m3 * self.layer.model.water_frac()
            + state.sorbed_kg.iter().sum::<f64>()
    }

    /// From now on there is no front: what is left ahead of it is handed to the dried part.
    pub(super) fn lose_the_last_ice(&mut self, state: &mut LayerState) {
        let left_m = self.layer.depth_m - state.dried_m;
        let n = self.resolution.dried as f64;
        let left_kg = left_m * self.dry_kg_per_m3() * self.layer.model.curve.unfrozen_per_dry(self.round.front_k);
        // its ice counts as sublimed, its heat as carried off
        state.sublimed_kg += left_m * self.layer.model.density_kg_per_m3 * self.layer.model.water_frac() - left_kg;
        state.heat_out_j += state.frozen_heat_j.iter().sum::<f64>();
        state.frozen_heat_j.fill(0.0);
        state.sorbed_kg.iter_mut().for_each(|kg| *kg += left_kg / n);
        state.dried_m = self.layer.depth_m;
        let cell_kg = self.dry_kg_per_m3() * state.dried_m / n;
        let capacity_j_per_k = cell_kg * self.layer.model.dried.heat_capacity_j_per_kg_k;
        for (j, held) in self.round.held.iter_mut().enumerate() {
            *held = state.sorbed_kg[j] / cell_kg;
            self.round.dried_k[j] = REFERENCE_K + state.dried_heat_j[j] / capacity_j_per_k;
        }
        self.round.vapour_kg_per_s = 0.0;
        self.iced = false;
    }

    pub(super) fn held_point(&self, state: &LayerState, time_s: f64) -> super::HeldPoint {
        let depths = 10;
        let cells = self.resolution.dried / depths;
        let depth_kg = self.dry_kg_per_m3() * state.dried_m / depths as f64;
        let held = state.sorbed_kg.chunks(cells).map(|depth| depth.iter().sum::<f64>() / depth_kg);
        super::HeldPoint { time_s, mean_per_dry: self.held_per_dry(state), wettest_per_dry: held.fold(0.0, f64::max) }
    }

    pub(super) fn held_per_dry(&self, state: &LayerState) -> f64 {
        state.sorbed_kg.iter().sum::<f64>() / (self.dry_kg_per_m3() * state.dried_m)
    }

    pub(super) fn point(&self, state: &LayerState, time_s: f64) -> FrontPoint {
        FrontPoint {
            time_s,
            dried_share: state.dried_m / self.layer.depth_m,
            front_k: self.round.front_k,
            surface_k: self.round.surface_k,
            vapour_kg_per_m2_s: self.round.vapour_kg_per_s,
        }
    }

    /// Desorption in the current round.
    fn desorption(&self, thickness_m: f64, middle_pa: &[f64]) -> Desorption {
        let matrix = &self.layer.model.dried;
        let n = self.resolution.dried;
        let cell_kg = self.dry_kg_per_m3() * thickness_m / n as f64;
        let zeros = || vec![0.0; n];
        let mut out = Desorption { rates: zeros(), floors: zeros(), desorbing: zeros(), per_k: zeros(), at_k: zeros() };
        for (j, &pa) in middle_pa.iter().enumerate() {
            let (t, x) = (self.round.dried_k[j], self.round.held[j]);
            let floor = matrix.equilibrium_water_per_dry(t, pa);
            let warmer = matrix.equilibrium_water_per_dry(t + SLOPE_K, pa);
            let activation_per_k = matrix.desorption_activation_j_per_mol / (GAS_CONSTANT_J_PER_MOL_K * t * t);
            out.floors[j] = floor.min(x);
            out.rates[j] = matrix.desorption_rate_per_s(t, x);
            out.at_k[j] = t;
            if x > floor {
                let rate_kg = cell_kg * out.rates[j];
                out.desorbing[j] = rate_kg * (x - floor);
                out.per_k[j] = rate_kg * (activation_per_k * (x - floor) + (floor - warmer) / SLOPE_K);
            }
        }
        out
    }

    /// Vapour path through the dried part for the flow through its faces.
    fn path(&self, thickness_m: f64, flow: &[f64]) -> Path {
        let matrix = &self.layer.model.dried;
        let n = self.resolution.dried;
        let front = flow[n];
        let skin = matrix.skin_resistance_m2_s_pa_per_kg;
        let mut path = Path { middle_pa: Vec::with_capacity(n), resistance: skin, offset_pa: (flow[0] - front) * skin };
        let mut p = self.layer.chamber.vapour_pa + flow[0] * skin;
        let half_m = 0.5 * thickness_m / n as f64;
        for j in 0..n {
            let t = self.round.dried_k[j];
            // K is linear in p, so K dp = N dz is a quadratic
            let bare = matrix.permeability_at(0.0, t);
            let per_pa = matrix.permeability_at(1.0, t) - bare;
            for (half, flow) in [flow[j], flow[j + 1]].into_iter().enumerate() {
                let here = bare + per_pa * p;
                let resistance = 2.0 * half_m / (here + (here * here + 2.0 * per_pa * flow * half_m).sqrt());
                p += flow * resistance;
                path.resistance += resistance;
                path.offset_pa += (flow - front) * resistance;
                if half == 0 {
                    path.middle_pa.push(p);
                }
            }
        }
        path
    }

    /// Vapour through the faces from the surface to the front.
    fn flow(&self, front_kg_per_s: f64, desorbing: &[f64]) -> Vec<f64> {
        let n = self.resolution.dried;
        let mut flow = vec![front_kg_per_s; n + 1];
        for j in (0..n).rev() {
            flow[j] = flow[j + 1] + desorbing[j];
        }
        flow
    }

    /// Both profiles for a front temperature; `None` if the front would pass the bottom.
    fn trial(
        &self,
        front_k: f64,
        h_s: f64,
        old: &LayerState,
        path: &Path,
        desorption: &Desorption,
        round: &mut Round,
    ) -> Option<Trial> {
        let (layer, model) = (&self.layer, self.layer.model);
        if !self.iced {
            return Some(self.without_ice(front_k, h_s, old, desorption, round));
        }
        let drive_pa = water::ice_vapour_pressure_pa(front_k) - layer.chamber.vapour_pa - path.offset_pa;
        let vapour = drive_pa.max(0.0) / (path.resistance + surface_kinetics_m2_s_pa_per_kg(front_k));
        let grown_m = vapour * h_s / (model.density_kg_per_m3 * model.curve.ice_frac(front_k));
        let new_m = old.dried_m + grown_m;
        if new_m.is_nan() || new_m >= layer.depth_m {
            return None;
        }
        let above = (layer.above.coefficient_w_per_m2_k(self.round.surface_k), layer.above.from_k);
        let dried = if new_m > NONE * layer.depth_m {
            let flow = self.flow(vapour, &desorption.desorbing);
            self.dried(h_s, old, new_m, &flow, desorption, above).solve(front_k, &mut round.dried_k)
        } else {
            round.dried_k.fill(front_k);
            let in_w = above.0 * (above.1 - front_k);
            let out_w = vapour * VAPOUR_J_PER_KG_K * (front_k - REFERENCE_K);
            DriedHeat { surface_k: front_k, to_front_w: in_w, in_w, out_w, desorbing_w: 0.0 }
        };
        let frozen = Frozen {
            h_s,
            old_m: layer.depth_m - old.dried_m,
            new_m: layer.depth_m - new_m,
            density: model.density_kg_per_m3,
            conductivity: model.conductivity_frozen_w_per_m_k,
            curve: &model.curve,
            old_j: &old.frozen_heat_j,
            below: (layer.below.w_per_m2_k, layer.below.from_k),
        };
        let (from_frozen_w, in_below_w) = frozen.solve(front_k, &mut round.frozen)?;
        let residual_w = from_frozen_w + dried.to_front_w - vapour * water::heat_of_sublimation_j_per_kg(front_k);
        round.front_k = front_k;
        round.surface_k = dried.surface_k;
        round.vapour_kg_per_s = vapour;
        Some(Trial { grown_m, dried, in_below_w, residual_w })
    }

    /// The dried part alone; `bottom_k` is the temperature of its underside.
    fn without_ice(
        &self,
        bottom_k: f64,
        h_s: f64,
        old: &LayerState,
        desorption: &Desorption,
        round: &mut Round,
    ) -> Trial {
        let layer = &self.layer;
        let above = (layer.above.coefficient_w_per_m2_k(self.round.surface_k), layer.above.from_k);
        let flow = self.flow(0.0, &desorption.desorbing);
        let dried = self.dried(h_s, old, old.dried_m, &flow, desorption, above).solve(bottom_k, &mut round.dried_k);
        let in_below_w = layer.below.w_per_m2_k * (layer.below.from_k - bottom_k);
        round.front_k = bottom_k;
        round.surface_k = dried.surface_k;
        round.vapour_kg_per_s = 0.0;
        Trial { grown_m: 0.0, residual_w: in_below_w + dried.to_front_w, dried, in_below_w }
    }

    /// Front temperature at which heat and vapour agree, and what it brings about.
    fn settle(
        &self,
        h_s: f64,
        old: &LayerState,
        path: &Path,
        desorption: &Desorption,
        round: &mut Round,
    ) -> Result<Trial, ModelError> {
        let mut residual = |front_k: f64| match self.trial(front_k, h_s, old, path, desorption, round) {
            Some(trial) => trial.residual_w,
            None => TOO_FAR_W,
        };
        let (mut low_k, mut high_k) = (self.round.front_k - FIRST_BRACKET_K, self.round.front_k + FIRST_BRACKET_K);
        while residual(low_k) < 0.0 && low_k > COLDEST_K {
            low_k -= 2.0 * (self.round.front_k - low_k);
        }
        while residual(high_k) > 0.0 && high_k < WARMEST_K {
            high_k += 2.0 * (high_k - self.round.front_k);
        }
        let front_k = root::bracketed("front temperature", low_k, high_k, ROOT_K, residual)?;
        self.trial(front_k, h_s, old, path, desorption, round).ok_or(ModelError::NotConverged {
            what: "front of the resolved layer",
            at_s: 0.0,
            residual: front_k,
            limit: ROOT_K,
        })
    }

    fn dried<'b>(
        &self,
        h_s: f64,
        old: &'b LayerState,
        new_m: f64,
        flow: &'b [f64],
        desorption: &'b Desorption,
        above: (f64, f64),
    ) -> Dried<'b> {
        let matrix = &self.layer.model.dried;
        Dried {
            h_s,
            old_m: old.dried_m,
            new_m,
            capacity: self.dry_kg_per_m3() * matrix.heat_capacity_j_per_kg_k,
            conductivity: matrix.conductivity_at(self.layer.chamber.vapour_pa + self.layer.chamber.air_pa),
            old_j: &old.dried_heat_j,
            flow,
            heat_of_desorption: matrix.heat_of_desorption_j_per_kg,
            desorption,
            above,
        }
    }
}

impl ImplicitEuler for System<'_> {
    type State = LayerState;

    fn step(&mut self, t_s: f64, h_s: f64, old: &LayerState, new: &mut LayerState) -> Result<(), ModelError> {
        let n = self.resolution.dried;
        let model = self.layer.model;
        let dry = self.dry_kg_per_m3();
        let mut thickness_m = old.dried_m;
        let mut desorbing = vec![0.0; n];
        let mut apart = f64::INFINITY;
        for _ in 0..MOST_ROUNDS {
            let path = self.path(thickness_m, &self.flow(self.round.vapour_kg_per_s, &desorbing));
            let desorption = self.desorption(thickness_m, &path.middle_pa);
            let mut round = self.round.clone();
            let trial = self.settle(h_s, old, &path, &desorption, &mut round)?;
            thickness_m = old.dried_m + trial.grown_m;
            let entering = model.curve.unfrozen_per_dry(round.front_k);
            if thickness_m > NONE * self.layer.depth_m {
                let above = (0.0, 0.0);
                self.dried(h_s, old, thickness_m, &[], &desorption, above).held(
                    &old.sorbed_kg,
                    dry,
                    entering,
                    &mut round.held,
                );
            } else {
                round.held.fill(entering);
            }
            apart = round.apart(&self.round);
            self.round = round;
            desorbing = desorption.desorbing;
            if apart < SETTLED {
                self.finish(h_s, old, new, thickness_m, &trial);
                return Ok(());
            }
        }
        Err(ModelError::NotConverged { what: "resolved step", at_s: t_s, residual: apart, limit: SETTLED })
    }

    fn error_norm(&self, full: &LayerState, half: &LayerState) -> f64 {
        let thickness = (full.dried_m - half.dried_m).abs() / self.layer.depth_m;
        let latent_j = self.layer.model.density_kg_per_m3 * self.layer.depth_m * 2.8e6;
        let heat = (self.heat_j(full) - self.heat_j(half)).abs() / latent_j;
        thickness.max(heat) / self.resolution.tolerance
    }

    fn admissible(&self, old: &LayerState, state: &LayerState) -> bool {
        state.dried_m >= old.dried_m
            && (state.dried_m < self.layer.depth_m || !self.iced)
            && state.sorbed_kg.iter().all(|&x| x >= 0.0)
            && state.all_finite()
    }
}

impl System<'_> {
    fn finish(&self, h_s: f64, old: &LayerState, new: &mut LayerState, thickness_m: f64, trial: &Trial) {
        let (n, m) = (self.resolution.dried, self.resolution.frozen);
        let (model, round) = (self.layer.model, &self.round);
        let (dry, density) = (self.dry_kg_per_m3(), model.density_kg_per_m3);
        let capacity = dry * model.dried.heat_capacity_j_per_kg_k;
        let dried_m = thickness_m / n as f64;
        let frozen_m = (self.layer.depth_m - thickness_m) / m as f64;
        new.dried_m = thickness_m;
        new.sublimed_kg = old.sublimed_kg + round.vapour_kg_per_s * h_s;
        let mut held_kg = 0.0;
        for j in 0..n {
            new.dried_heat_j[j] = capacity * dried_m * (round.dried_k[j] - REFERENCE_K);
            new.sorbed_kg[j] = dry * dried_m * round.held[j];
            held_kg += new.sorbed_kg[j] - old.sorbed_kg[j];
        }
        for i in 0..m {
            new.frozen_heat_j[i] = density * frozen_m * round.frozen[i];
        }
        let front_k = round.front_k;
        let left_behind_kg = trial.grown_m * dry * model.curve.unfrozen_per_dry(front_k);
        new.desorbed_kg = old.desorbed_kg + left_behind_kg - held_kg;
        let handed_j =
            trial.grown_m * (density * model.curve.enthalpy_j_per_kg(front_k) - capacity * (front_k - REFERENCE_K));
        let sublimed_w = round.vapour_kg_per_s
            * (water::heat_of_sublimation_j_per_kg(front_k) - VAPOUR_J_PER_KG_K * (front_k - REFERENCE_K));
        let heat = &trial.dried;
        new.heat_in_j = old.heat_in_j + (heat.in_w + trial.in_below_w) * h_s;
        new.heat_out_j = old.heat_out_j + (heat.out_w + heat.desorbing_w + sublimed_w) * h_s + handed_j;
    }
}

impl Round {
    /// Largest difference: kelvins, hundredths of kg/kg, relative vapour flow.
    fn apart(&self, other: &Self) -> f64 {
        let kelvin = |a: &[f64], b: &[f64]| a.iter().zip(b).map(|(a, b)| (a - b).abs()).fold(0.0, f64::max);
        let flow = (self.vapour_kg_per_s - other.vapour_kg_per_s).abs();
        (self.front_k - other.front_k)
            .abs()
            .max((self.surface_k - other.surface_k).abs())
            .max(kelvin(&self.dried_k, &other.dried_k))
            .max(100.0 * kelvin(&self.held, &other.held))
            .max(flow / self.vapour_kg_per_s.max(1e-9))
    }
}
