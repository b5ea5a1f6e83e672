//! Freezing times: worked examples by Plank and Pham, and measured ones.

use icefront_core::constants::ZERO_CELSIUS_K;
use icefront_core::food::{Composition, DryingClass, Food};
use icefront_core::freezing::column::Column;
use icefront_core::shape::{PieceForm, Shape};
use icefront_kitchen::evidence::Predicted;

use crate::evidence::EvidenceError;
use crate::evidence::case::{Case, read};
use crate::evidence::draws::{Pick, picks};
use crate::evidence::freezing::cooling::{Cooling, Inputs};
use crate::evidence::row::Prediction;

const CHECKS: &str = include_str!("../../../data/published/freezing_times.csv");

/// The checks.
pub fn cases() -> Result<Vec<Case>, EvidenceError> {
    read("freezing_times.csv", CHECKS)
}

const HOUR_S: f64 = 3_600.0;
/// Longest time computed, s.
const LIMIT_S: f64 = 200.0 * HOUR_S;
/// Cells; finer than in a batch, so that the model is compared and not the grid.
const CELLS: usize = 20;

/// One freezing time, h.
pub fn predict(case: &Case) -> Result<Prediction, EvidenceError> {
    let predicted = match case.quantity.as_str() {
        "time to freeze, latent heat alone" => plank(case),
        "time until the centre is cold" => {
            let inputs = Inputs::of(case)?;
            let end_k = case.kelvin("end_c")?;
            hours_until(case, &inputs, case.kelvin("start_c")?, |column, state| column.thermal_centre_k(state) - end_k)
        }
        "time until the mean is cold" => {
            let inputs = Inputs::of(case)?;
            let end_k = case.kelvin("end_c")?;
            hours_until(case, &inputs, case.kelvin("start_c")?, move |column, state| {
                column.heat_j(state) / column.mass_kg.iter().sum::<f64>() - column.enthalpy_j_per_kg(end_k)
            })
        }
        "time until lean fish or meat is cold" => return measured(case),
        _ => Err(case.unknown()),
    };
    predicted.map(Into::into)
}

/// Plank's solution has the latent heat at one temperature and no heat capacity; here the heat capacities are small, since
/// they cannot be zero.
fn plank(case: &Case) -> Result<Predicted, EvidenceError> {
    /// A thousandth of water's.
    const NEARLY_NONE_J_PER_KG_K: f64 = 4.0;
    let (inputs, shift_k) = Inputs {
        density_kg_per_m3: case.number("rho")?,
        frozen_w_per_m_k: case.number("k_s")?,
        unfrozen_w_per_m_k: case.number("k_s")?,
        frozen_j_per_kg_k: NEARLY_NONE_J_PER_KG_K,
        unfrozen_j_per_kg_k: NEARLY_NONE_J_PER_KG_K,
        latent_j_per_kg: 1e3 * case.number("latent_kj")?,
        freezing_k: case.kelvin("freezing_c")?,
    }
    .sharp();
    let latent_j_per_kg = inputs.latent_j_per_kg;
    // frozen through: the slowest cell has given up its latent heat
    let left = |_: &Column, state: &[f64]| state.iter().fold(f64::NEG_INFINITY, |a, b| a.max(*b)) + latent_j_per_kg;
    let air_k = case.kelvin("air_c")? + shift_k;
    Ok(hours(case, &inputs, ZERO_CELSIUS_K, air_k, left)?.into())
}

fn hours_until(
    case: &Case,
    inputs: &Inputs,
    start_k: f64,
    left: impl Fn(&Column, &[f64]) -> f64,
) -> Result<Predicted, EvidenceError> {
    Ok(hours(case, inputs, start_k, case.kelvin("air_c")?, left)?.into())
}

fn hours(
    case: &Case,
    inputs: &Inputs,
    start_k: f64,
    air_k: f64,
    left: impl Fn(&Column, &[f64]) -> f64,
) -> Result<f64, EvidenceError> {
    let column = Column::new(&inputs.model()?, &shape(case)?, 1.0, CELLS);
    let surface = Cooling::new(&column, case.number("h")?, air_k, 1e-3 * inputs.latent_j_per_kg);
    let (time_s, _) = surface.run(start_k, LIMIT_S, |state| left(&column, state))?;
    Ok(time_s / HOUR_S)
}

/// A slab cooled on both faces is half of it with its middle closed.
fn shape(case: &Case) -> Result<Shape, EvidenceError> {
    let metres = |name| Ok::<_, EvidenceError>(case.number(name)? / 1e3);
    let form = match case.word("shape")? {
        "slab" => return Ok(Shape::Layer { depth_m: 0.5 * metres("thickness_mm")? }),
        "sphere" => PieceForm::Sphere { diameter_m: metres("diameter_mm")? },
        "brick" => PieceForm::Brick {
            length_m: metres("length_mm")?,
            width_m: metres("width_mm")?,
            height_m: metres("height_mm")?,
        },
        _ => return Err(case.unknown()),
    };
    Ok(Shape::Pieces { form, layers: 1, coverage: 1.0 })
}

/// A slab of lean fish or meat whose surface coefficient, start and end are only known roughly.
fn measured(case: &Case) -> Result<Prediction, EvidenceError> {
    // composition from memory: lean fish or meat with 78 % water
    let lean = Composition { water: 0.78, protein: 0.20, fat: 0.01, ash: 0.01, ..Composition::default() };
    let model = Food::new("lean fish or meat", "from memory", lean, DryingClass::LeanMeatOrFish).model()?;
    let between = |pick: &Pick, low, high| Ok::<_, EvidenceError>(pick.even(case.number(low)?, case.number(high)?));
    let one = |pick: Pick| {
        let half_m = 0.5 * between(&pick, "thickness_mm_low", "thickness_mm_high")? / 1e3;
        let surface_w_per_m2_k = between(&pick, "h_low", "h_high")?;
        let start_k = between(&pick, "start_c_low", "start_c_high")? + ZERO_CELSIUS_K;
        let end_k = between(&pick, "end_c_low", "end_c_high")? + ZERO_CELSIUS_K;
        let column = Column::new(&model, &Shape::Layer { depth_m: half_m }, 1.0, CELLS);
        let air_k = case.kelvin("air_c")?;
        let cooling = Cooling::new(&column, surface_w_per_m2_k, air_k, 1_000.0);
        let (time_s, _) = cooling.run(start_k, LIMIT_S, |state| column.thermal_centre_k(state) - end_k)?;
        Ok(time_s / HOUR_S)
    };
    let hours: Result<Vec<f64>, EvidenceError> = picks().map(one).collect();
    Ok(Prediction::of_draws(
        hours?,
        Some("surface coefficient; start and end temperature; thickness where it is a range".into()),
    ))
}
