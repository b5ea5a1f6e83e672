//! Worked operating points and exact slabs: every input is published, nothing is drawn.

use icefront_core::batch::Precision;
use icefront_core::constants::ZERO_CELSIUS_K;
use icefront_core::food::{DriedMatrix, FoodModel};
use icefront_core::load::{ContactOverride, Freezing, Load};
use icefront_core::machine::Dryer;
use icefront_core::shape::Shape;
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

/// Where the shortest time of the heated layer is looked for, Pa.
const PRESSURES_PA: [f64; 6] = [5.0, 10.0, 20.0, 50.0, 100.0, 200.0];

/// One figure of a slab between a surface at constant temperature and an adiabatic face.
pub fn predict(case: &Case) -> Result<Predicted, EvidenceError> {
    let precision = match case.word("steps")? {
        "default" => Precision { contact_strips: 1, ..Precision::default() },
        "fine" => Precision { tolerance: FINE, contact_strips: 1, ..Precision::default() },
        _ => return Err(case.unknown()),
    };
    let course = |thickness: f64| Ok::<_, EvidenceError>(Course::with(&slab(case, thickness)?.load, &precision)?);
    let heated =
        |pressure_pa: f64| Ok::<_, EvidenceError>(Course::with(&heated_layer(case, pressure_pa)?, &precision)?);
    let predicted = match case.quantity.as_str() {
        "front temperature" => course(1.0)?.front_at_ice_k(0.5) - ZERO_CELSIUS_K,
        "front pressure" => water::ice_vapour_pressure_pa(course(1.0)?.front_at_ice_k(0.5)),
        "time until this share of the ice is left" => course(1.0)?.ice_left_s(case.number("left")?) / 3_600.0,
        "time of the last ice" => course(1.0)?.ice_gone_s() / 3_600.0,
        "time of the last ice, twice as thick over once" => course(2.0)?.ice_gone_s() / course(1.0)?.ice_gone_s(),
        "time of the last ice, heated on both faces" => heated(case.number("p_pa")?)?.ice_gone_s() / 3_600.0,
        "time of the last ice at a pressure over the shortest" => {
            let times: Result<Vec<f64>, EvidenceError> =
                PRESSURES_PA.map(|pa| Ok(heated(pa)?.ice_gone_s())).into_iter().collect();
            heated(case.number("p_pa")?)?.ice_gone_s() / times?.into_iter().fold(f64::INFINITY, f64::min)
        }
        "front at a pressure less that at a fifth of it" => {
            let front_k = |pa: f64| Ok::<_, EvidenceError>(heated(pa)?.front_at_ice_k(0.5));
            front_k(case.number("p_pa")?)? - front_k(0.2 * case.number("p_pa")?)?
        }
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
        let density_kg_per_m3 = ice_kg_per_m3 / tray.model.water_frac();
        only_ice(&mut tray.model, density_kg_per_m3);
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
        if let Shape::Layer { depth_m } = &mut tray.shape {
            *depth_m *= thickness;
        }
    }
    Ok(inputs)
}

/// All water freezes and nothing takes up heat.
fn only_ice(model: &mut FoodModel, density_kg_per_m3: f64) {
    model.curve.unfreezable_frac = 0.0;
    model.curve.freezing_point_k = ZERO_CELSIUS_K;
    model.curve.heat_capacity_frozen_j_per_kg_k = 1.0;
    model.density_kg_per_m3 = density_kg_per_m3;
}

/// The layer on a shelf with radiation from above, whose shelf coefficient and resistance go with the pressure.
fn heated_layer(case: &Case, pressure_pa: f64) -> Result<Load, EvidenceError> {
    let mut load = run_named(case, case.word("run")?)?.inputs(&Pick::typical())?.load;
    let surroundings_k = case.kelvin("surroundings_c")?;
    let (ice, solids) = (case.number("ice_kg_per_m3")?, case.number("solids_kg_per_m3")?);
    for tray in &mut load.trays {
        tray.model.curve.water_frac = ice / (ice + solids);
        only_ice(&mut tray.model, ice + solids);
        tray.model.conductivity_frozen_w_per_m_k = case.number("k_frozen")?;
        tray.model.dried = DriedMatrix {
            permeability_kg_per_m_s_pa: 1.0,
            knudsen_share: 1.0,
            skin_resistance_m2_s_pa_per_kg: case.number("resistance_per_pa")? * pressure_pa,
            conductivity_vacuum_w_per_m_k: case.number("k_dry")?,
            conductivity_gas_w_per_m_k: 0.0,
            heat_capacity_j_per_kg_k: 0.0,
            ..tray.model.dried.clone()
        };
        let at_1 = tray.model.dried.permeability_at(pressure_pa, case.kelvin("layer_c")?);
        tray.model.dried.permeability_kg_per_m_s_pa = 1.0 / (case.number("resistance_per_m")? * at_1);
        tray.contact = ContactOverride {
            below_w_per_m2_k: Some(3.85 + 0.352 * pressure_pa / (1.0 + pressure_pa / 34.0)),
            emissivity_above: Some(case.number("emissivity")?),
            gas_above_w_per_m2_k: Some(0.0),
            vapour_heat_capacity_j_per_kg_k: Some(0.0),
        };
        tray.freezing = Freezing::Frozen { loaded_k: case.kelvin("start_c")? };
        tray.shape = Shape::Layer { depth_m: case.number("depth_mm")? / 1e3 };
    }
    if let Dryer::Prescribed(rig) = &mut load.dryer {
        rig.heated_above = true;
        for point in &mut rig.schedule {
            (point.shelf_k, point.vapour_pressure_pa, point.air_pressure_pa) = (surroundings_k, pressure_pa, 0.0);
        }
    }
    Ok(load)
}
