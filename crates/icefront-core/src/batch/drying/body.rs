//! One front during one step: resistances, desorption, and the heat paths that lead to it.

use super::desorption::{Desorption, Start};
use crate::batch::cabinet::StackTray;
use crate::batch::state::{FRONT, PACE, PASSED, TOP, VAPOUR};
use crate::load::Freezing;
use crate::machine::Contact;
use crate::machine::heat_paths::{effective_emissivity, gas_gap_w_per_m2_k, radiation_w_per_m2_k};
use crate::primary::{Arrangement, FrontStep, surface_kinetics_m2_s_pa_per_kg};
use crate::shape::PieceForm;
use crate::water;

/// Ideal-gas heat capacity of water vapour near 0 degC, J/(kg K). Source: IAPWS R6-95.
const VAPOUR_J_PER_KG_K: f64 = 1_860.0;

/// What a front needs during one step.
#[derive(Clone, Copy, Debug)]
pub(super) struct BodyStep {
    pub(super) tray: usize,
    pub(super) slab: bool,
    /// All dry matter, kg.
    pub(super) dry_kg: f64,
    /// How much more an error in dry matter passed counts in time than at the start: the front of a ball slows down.
    pub(super) slowing: f64,
    pub(super) front: FrontStep,
    /// Front to surface through the dried shell, W/K.
    pub(super) shell_w_per_k: f64,
    /// Share of the path shelf-front that is frozen food (0 for pieces).
    pub(super) frozen_share: f64,
    pub(super) vapour_j_per_kg_k: f64,
    pub(super) desorption: Desorption,
}

/// Share of dry matter passed at the end of the step if the front kept its pace.
pub(super) fn predicted(old: &[f64], dry_kg: f64, h_s: f64) -> f64 {
    ((old[PASSED] + old[PACE] * h_s) / dry_kg).clamp(0.0, 1.0)
}

#[expect(clippy::too_many_arguments, reason = "gathers one body's numbers in one place")]
pub(super) fn body_step(
    st: &StackTray<'_>,
    tray: usize,
    layer: usize,
    slab: bool,
    old: &[f64],
    vapour_pa: f64,
    total_pa: f64,
    h_s: f64,
) -> BodyStep {
    let b = &st.bodies[layer];
    let model = &st.tray.model;
    let matrix = &model.dried;
    let passed = (old[PASSED] / b.dry_kg).min(1.0);
    let (front_k, top_k) = (old[FRONT], old[TOP]);
    let front_pa = water::ice_vapour_pressure_pa(front_k.min(273.15));
    let permeability = matrix.permeability_at(0.5 * (front_pa + vapour_pa), 0.5 * (front_k + top_k));
    let conductivity = matrix.conductivity_at(total_pa);
    let (shell, shell_slope) = b.shell_per_m(passed);
    let (shell_next, _) = b.shell_per_m(predicted(old, b.dry_kg, h_s));
    let vapour_j_per_kg_k = st.tray.contact.vapour_heat_capacity_j_per_kg_k.unwrap_or(VAPOUR_J_PER_KG_K);
    // a layer a micrometre thin stands for none
    let shell_w_per_k = conductivity / shell_next.max(1e-6 / b.surface_m2);
    let vapour_w_per_k = old[VAPOUR] * vapour_j_per_kg_k;
    let exchange = vapour_w_per_k / shell_w_per_k;
    let bernoulli = if exchange > 1e-6 { exchange / exchange.exp_m1() } else { 1.0 };
    let mut left_kg = (b.dry_kg - old[PASSED]).max(0.0);
    if left_kg < 1e-9 * b.dry_kg {
        left_kg = 0.0;
    }
    let start = Start {
        matrix,
        old,
        dry_kg: b.dry_kg,
        front_k,
        top_k,
        vapour_pa,
        front_pa: if left_kg > 0.0 { front_pa.max(vapour_pa) } else { vapour_pa },
        h_s,
    };
    let desorption = Desorption::new(&start, |k, middle| {
        let at_middle = middle.map_or(st.shells_per_m[layer][k], |share| b.shell_per_m(share).0);
        if shell > 0.0 { (at_middle / shell).min(1.0) } else { 1.0 }
    });
    BodyStep {
        tray,
        slab,
        dry_kg: b.dry_kg,
        slowing: b.slowing(left_kg / b.dry_kg),
        front: FrontStep {
            resistance_pa_s_per_kg: (matrix.skin_resistance_m2_s_pa_per_kg + surface_kinetics_m2_s_pa_per_kg(front_k))
                / b.surface_m2
                + shell / permeability,
            growth_pa_s2_per_kg2: shell_slope * h_s / (b.dry_kg * permeability),
            left_kg,
            h_s,
        },
        shell_w_per_k: shell_w_per_k * bernoulli,
        frozen_share: 0.0,
        vapour_j_per_kg_k,
        desorption,
    }
}

/// Shelf to food, W per m2 of tray and kelvin.
///
/// A layer lies on its tray: tray-to-shelf gap with direct contact, a lining, and for food with a flat face that was
/// loaded frozen the gap between food and tray, in series. Pieces touch with a flat face or hover over the mean gap of
/// a round one; the bare part of the tray radiates to them.
pub(crate) fn below_coefficient(
    st: &StackTray<'_>,
    contact: &Contact,
    total_pa: f64,
    shelf_k: f64,
    food_k: f64,
) -> f64 {
    let mean_k = 0.5 * (shelf_k + food_k);
    let gas = |gap_m: f64| gas_gap_w_per_m2_k(gap_m, total_pa, mean_k, contact.accommodation);
    let emissivity = effective_emissivity(st.tray.model.dried.emissivity, contact.emissivity_below);
    let radiation = radiation_w_per_m2_k(emissivity, shelf_k, food_k);
    let tray = contact.direct_w_per_m2_k + gas(contact.gap_m) + radiation;
    let mut resistance = 1.0 / tray;
    if st.tray.lined {
        resistance += 1.0 / (gas(contact.lining_gap_m) + radiation);
    }
    // food that was set out unfrozen has frozen onto its own tray
    let block = match st.tray.freezing {
        Freezing::Frozen { .. } => 1.0 / (gas(contact.frozen_block_gap_m) + radiation),
        _ => 0.0,
    };
    match st.arrangement {
        Arrangement::Layer { .. } => 1.0 / (resistance + block),
        Arrangement::Pieces { form, coverage, .. } => {
            let hover_m = form.core().mean_gap_m;
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
    st: &StackTray<'_>,
    contact: &Contact,
    total_pa: f64,
    below_k: f64,
    above_k: f64,
    dried_m: f64,
) -> f64 {
    let Arrangement::Pieces { form, .. } = st.arrangement else { return 0.0 };
    let mean_k = 0.5 * (below_k + above_k);
    let e = st.tray.model.dried.emissivity;
    let gap = gas_gap_w_per_m2_k(form.core().height_m / 3.0, total_pa, mean_k, contact.accommodation)
        + radiation_w_per_m2_k(effective_emissivity(e, e), below_k, above_k);
    1.0 / (1.0 / gap + dried_m / st.tray.model.dried.conductivity_at(total_pa))
}
