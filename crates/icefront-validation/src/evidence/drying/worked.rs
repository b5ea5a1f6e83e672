//! Worked operating points and exact slabs: every input is published, nothing is drawn.

use icefront_core::batch::Precision;
use icefront_core::constants::ZERO_CELSIUS_K;
use icefront_core::food::DriedMatrix;
use icefront_core::water;
use icefront_kitchen::evidence::Predicted;

use crate::evidence::EvidenceError;
use crate::evidence::case::{Case, read};
use crate::evidence::draws::Pick;
use crate::evidence::drying::course::Course;
use crate::evidence::drying::inputs::{RunInputs, run_named};

const CHECKS: &str = include_str!("../../../data/published/drying_worked.csv");

/// The checks.
pub fn cases() -> Result<Vec<Case>, EvidenceError> {
    read("drying_worked.csv", CHECKS)
}

/// Tolerance of fine steps over the default one.
const FINE: f64 = 1.0 / 1024.0;

/// One figure of a slab between a surface at constant temperature and an adiabatic face.
pub fn predict(case: &Case) -> Result<Predicted, EvidenceError> {
    let precision = match case.word("steps")? {
        "default" => Precision::default(),
        "fine" => Precision { tolerance: FINE, ..Precision::default() },
        _ => return Err(case.unknown()),
    };
    let course = |thickness: f64| Ok::<_, EvidenceError>(Course::even(&slab(case, thickness)?.load, &precision)?);
    let predicted = match case.quantity.as_str() {
        "front temperature" => course(1.0)?.front_at_ice_k(0.5) - ZERO_CELSIUS_K,
        "front pressure" => water::ice_vapour_pressure_pa(course(1.0)?.front_at_ice_k(0.5)),
        "time until this share of the ice is left" => course(1.0)?.ice_left_s(case.number("left")?) / 3_600.0,
        "time of the last ice" => course(1.0)?.ice_gone_s() / 3_600.0,
        "time of the last ice, twice as thick over once" => course(2.0)?.ice_gone_s() / course(1.0)?.ice_gone_s(),
        _ => return Err(case.unknown()),
    };
    Ok(predicted.into())
}

/// The slab of the row, its thickness times a factor: transport as published, and none of what the example leaves out
/// (water that stays behind, warming of food and vapour, pressure in permeability and conductivity).
fn slab(case: &Case, thickness: f64) -> Result<RunInputs, EvidenceError> {
    let mut inputs = run_named(case, case.word("run")?)?.inputs(&Pick::typical())?;
    let (k, permeability) = (case.number("k_dry")?, case.number("permeability")?);
    let ice_kg_per_m3 = case.number("ice_kg_per_m3")?;
    for tray in &mut inputs.load.trays {
        let curve = &mut tray.model.curve;
        curve.unfreezable_frac = 0.0;
        curve.freezing_point_k = ZERO_CELSIUS_K;
        curve.heat_capacity_frozen_j_per_kg_k = 1.0;
        tray.model.density_kg_per_m3 = ice_kg_per_m3 / curve.water_frac;
        let matrix = DriedMatrix { knudsen_share: 1.0, permeability_kg_per_m_s_pa: 1.0, ..tray.model.dried.clone() };
        tray.model.dried = DriedMatrix {
            // published for the layer at the mean temperature of its surface and the printed front
            permeability_kg_per_m_s_pa: permeability / matrix.permeability_at(0.0, case.kelvin("layer_c")?),
            conductivity_vacuum_w_per_m_k: k,
            conductivity_gas_w_per_m_k: 0.0,
            heat_capacity_j_per_kg_k: 0.0,
            ..matrix
        };
        tray.contact.vapour_heat_capacity_j_per_kg_k = Some(0.0);
        if let icefront_core::shape::Shape::Layer { depth_m } = &mut tray.shape {
            *depth_m *= thickness;
        }
    }
    Ok(inputs)
}
