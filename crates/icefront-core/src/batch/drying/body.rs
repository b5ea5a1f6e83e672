//! One front during one step: resistances, desorption, and the heat paths that lead to it.

use super::desorption::{Desorption, Start};
use crate::batch::cabinet::{Stack, StackTray};
use crate::batch::parts::Part;
use crate::batch::state::{DEPTHS, ElementState};
use crate::load::Freezing;
use crate::machine::Contact;
use crate::machine::heat_paths::{ThinGas, effective_emissivity, gas_gap_w_per_m2_k, radiation_w_per_m2_k};
use crate::primary::{Arrangement, FrontStep, surface_kinetics_m2_s_pa_per_kg};
use crate::shape::PieceForm;
use crate::water;

/// Ideal-gas heat capacity of water vapour near 0 degC, J/(kg K). Source: IAPWS R6-95.
const VAPOUR_J_PER_KG_K: f64 = 1_860.0;

/// A front with ice does not warm more than this within a step, K: what does has lost its last ice in it.
const LARGEST_WARMING_K: f64 = 1.0;

/// Over a smaller share of the dry matter than this the difference of two shells is round-off.
const LEAST_AHEAD: f64 = 1e-6;

/// What a front needs during one step.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct BodyStep {
    /// Place in the stack: tray, part of it, and body of that.
    pub(super) tray: usize,
    pub(super) part: usize,
    pub(super) layer: usize,
    /// All dry matter, kg.
    pub(super) dry_kg: f64,
    /// Heat capacity of its vapour, J/(kg K).
    pub(super) vapour_j_per_kg_k: f64,
    // from the state before the step
    /// How much more an error in dry matter passed counts in time than at the start: the front of a ball slows down.
    pub(super) error_weight: f64,
    /// From what is below, W/(m2 K) and m2.
    pub(super) below_w_per_m2_k: f64,
    pub(super) below_m2: f64,
    permeability_kg_per_m_s_pa: f64,
    conductivity_w_per_m_k: f64,
    dried_layer_per_m: f64,
    dried_layer_slope_per_m: f64,
    vapour_w_per_k: f64,
    // of the step
    pub(super) front: FrontStep,
    /// Front to surface through the dried layer, W/K.
    pub(super) dried_layer_w_per_k: f64,
    /// From what is below to the front of a layer or the surface of pieces, W/K.
    pub(super) below_w_per_k: f64,
    /// Share of the path from below to the front that is frozen food (0 for pieces).
    pub(super) frozen_share: f64,
    pub(super) desorption: Desorption,
}

impl BodyStep {
    /// A body of a tray, before any step.
    pub(super) fn new(st: &StackTray<'_>, tray: usize, part: usize, layer: usize) -> Self {
        Self {
            tray,
            part,
            layer,
            dry_kg: st.parts[part].bodies[layer].dry_kg,
            vapour_j_per_kg_k: st.tray.contact.vapour_heat_capacity_j_per_kg_k.unwrap_or(VAPOUR_J_PER_KG_K),
            ..Self::default()
        }
    }

    /// Quantities that depend only on the old state.
    pub(super) fn start(&mut self, part: &Part, old: &ElementState, vapour_pa: f64, total_pa: f64) {
        let b = &part.bodies[self.layer];
        let matrix = &part.model.dried;
        let passed = (old.passed_kg / b.dry_kg).min(1.0);
        let (front_k, top_k) = (old.front_k, old.surface_k);
        let front_pa = water::ice_vapour_pressure_pa(front_k.min(273.15));
        self.permeability_kg_per_m_s_pa = matrix.permeability_at(0.5 * (front_pa + vapour_pa), 0.5 * (front_k + top_k));
        self.conductivity_w_per_m_k = matrix.conductivity_at(total_pa);
        let (dried_layer, dried_layer_slope) = b.shell_per_m(passed);
        self.dried_layer_per_m = dried_layer;
        self.dried_layer_slope_per_m = dried_layer_slope;
        self.vapour_w_per_k = old.sublimation_kg_per_s * self.vapour_j_per_kg_k;
        let mut left_kg = (b.dry_kg - old.passed_kg).max(0.0);
        if left_kg < 1e-9 * b.dry_kg {
            left_kg = 0.0;
        }
        self.error_weight = b.slowing(left_kg / b.dry_kg, dried_layer);
        self.front.left_kg = left_kg;
        self.front.warmest_k = front_k + LARGEST_WARMING_K;
        self.front.resistance_pa_s_per_kg =
            (matrix.skin_resistance_m2_s_pa_per_kg + surface_kinetics_m2_s_pa_per_kg(front_k)) / b.surface_m2
                + dried_layer / self.permeability_kg_per_m_s_pa;
        let heat_path = b.own_heat_shell_per_m(passed, left_kg > 0.0).unwrap_or(dried_layer);
        let start = Start {
            matrix,
            element: old,
            dry_kg: b.dry_kg,
            front_k,
            top_k,
            vapour_pa,
            front_pa: if left_kg > 0.0 { front_pa.max(vapour_pa) } else { vapour_pa },
            resistance_k_per_w: heat_path / self.conductivity_w_per_m_k,
        };
        // a cut layer, or pieces on their tray, without ice are warmed from floor to top as any other
        let upright = b.ends_upright() && left_kg <= 0.0;
        let front = match b.cut {
            _ if upright => 1.0,
            Some(cut) => cut.way(passed),
            None => dried_layer,
        };
        self.desorption.start(&start, |k, middle| {
            let at_middle = match middle {
                _ if upright => (k as f64 + 0.5) / DEPTHS as f64,
                Some(share) => b.place(share),
                None => part.places[self.layer][k],
            };
            if front > 0.0 { (at_middle / front).min(1.0) } else { 1.0 }
        });
    }

    /// Quantities that depend on the length of the step too: dried layer and frozen part as they will be on average over the step if the
    /// front keeps its pace.
    pub(super) fn over(&mut self, part: &Part, old: &ElementState, h_s: f64) {
        let b = &part.bodies[self.layer];
        let ice = self.front.left_kg > 0.0;
        let passed = (old.passed_kg / b.dry_kg).min(1.0);
        let ahead = (old.front_rate_kg_per_s * h_s / b.dry_kg).min(1.0 - passed);
        let middle = passed + 0.5 * ahead;
        // a layer a micrometre thin stands for none
        let thinnest = 1e-6 / b.surface_m2;
        let mean_dried_layer = b.mean_shell_per_m(passed, passed + ahead);
        let vapour_shell = mean_dried_layer.max(thinnest);
        let heat_shell = b.own_heat_shell_per_m(middle, ice).map_or(vapour_shell, |own| own.max(thinnest));
        let exchange = self.vapour_w_per_k * vapour_shell / self.conductivity_w_per_m_k;
        let bernoulli = if exchange > 1e-6 { exchange / libm::expm1(exchange) } else { 1.0 };
        self.dried_layer_w_per_k = self.conductivity_w_per_m_k / heat_shell * bernoulli;
        self.front.h_s = h_s;
        let slope = if ahead > LEAST_AHEAD {
            (mean_dried_layer - self.dried_layer_per_m) / ahead
        } else {
            0.5 * self.dried_layer_slope_per_m
        };
        self.front.growth_pa_s2_per_kg2 = slope * h_s / (b.dry_kg * self.permeability_kg_per_m_s_pa);
        let frozen_m = if part.is_layer() { b.frozen_path_m(middle, ice) } else { 0.0 };
        let frozen = frozen_m / part.model.conductivity_frozen_w_per_m_k;
        let path = 1.0 / self.below_w_per_m2_k + frozen;
        self.below_w_per_k = self.below_m2 / path;
        self.frozen_share = frozen / path;
        self.desorption.over(h_s);
    }
}

/// Shelf to food, W per m2 of tray and kelvin.
///
/// A layer lies on its tray: tray-to-shelf gap with direct contact (a tray without a shelf faces its surroundings, a black
/// enclosure, across the clear height), a lining, and for food with a flat face that was
/// loaded frozen the gap between food and tray, in series. Pieces touch with a flat face or hover over the mean gap of
/// a round one; the bare part of the tray radiates to them.
pub(crate) fn below_coefficient(
    stack: &Stack<'_>,
    st: &StackTray<'_>,
    part: &Part,
    total_pa: f64,
    shelf_k: f64,
    food_k: f64,
) -> f64 {
    let contact = &stack.contact;
    let mean_k = 0.5 * (shelf_k + food_k);
    let vapour = ThinGas::new(total_pa, mean_k, contact.accommodation);
    let gas = |gap_m| vapour.gap_w_per_m2_k(gap_m);
    let emissivity = effective_emissivity(part.model.dried.emissivity, contact.emissivity_below);
    let radiation = radiation_w_per_m2_k(emissivity, shelf_k, food_k);
    let tray = if stack.open_below() {
        gas(stack.clear_height_m) + radiation_w_per_m2_k(contact.emissivity_below, shelf_k, food_k)
    } else {
        contact.direct_w_per_m2_k + gas(contact.gap_m * st.tray.gap_times) + radiation
    };
    let mut resistance = 1.0 / tray;
    if st.tray.lined {
        resistance += 1.0 / (gas(contact.lining_gap_m) + radiation);
    }
    // food that was set out unfrozen has frozen onto its own tray
    let block = match st.tray.freezing {
        Freezing::Frozen { .. } => 1.0 / (gas(contact.frozen_block_gap_m) + radiation),
        _ => 0.0,
    };
    match part.arrangement {
        Arrangement::Layer { .. } => 1.0 / (resistance + block),
        Arrangement::Pieces { form, coverage, .. } => {
            let hover_m = form.lying().mean_gap_m;
            let facing = match form {
                PieceForm::Brick { .. } => 1.0 / (resistance + block),
                _ => 1.0 / (resistance + 1.0 / (gas(hover_m) + radiation)),
            };
            coverage * facing + (1.0 - coverage).max(0.0) / (resistance + 1.0 / radiation.max(1e-9))
        }
    }
}

/// Between two layers of pieces, W per m2 of tray and kelvin: vapour in the gaps (a third of a piece's height on
/// average, `from memory`) and radiation from piece to piece; touching points carry nothing. In series with them half
/// of either piece, as far as it is dried (`dried_m`: both halves together); ice conducts fifty times as well.
pub(super) fn between_coefficient(
    part: &Part,
    contact: &Contact,
    total_pa: f64,
    below_k: f64,
    above_k: f64,
    dried_m: f64,
) -> f64 {
    let Arrangement::Pieces { form, .. } = part.arrangement else { return 0.0 };
    let mean_k = 0.5 * (below_k + above_k);
    let e = part.model.dried.emissivity;
    let gap = gas_gap_w_per_m2_k(form.lying().height_m / 3.0, total_pa, mean_k, contact.accommodation)
        + radiation_w_per_m2_k(effective_emissivity(e, e), below_k, above_k);
    1.0 / (1.0 / gap + dried_m / part.model.dried.conductivity_at(total_pa))
}
