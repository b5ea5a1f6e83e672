//! Dried food: isotherms, desorption, what never froze, and conductivity.

use icefront_core::food::{
    Band, Composition, DESORPTION_ACTIVATION_J_PER_MOL, DriedMatrix, DryingClass, Food, HEAT_OF_DESORPTION_J_PER_KG,
};
use icefront_kitchen::evidence::Predicted;

use crate::evidence::EvidenceError;
use crate::evidence::case::{Case, read};

const CHECKS: &str = include_str!("../../data/published/sorption.csv");

/// The checks.
pub fn cases() -> Result<Vec<Case>, EvidenceError> {
    read("sorption.csv", CHECKS)
}

/// One equilibrium or rate.
pub fn predict(case: &Case) -> Result<Predicted, EvidenceError> {
    Ok(match case.quantity.as_str() {
        "isotherm of a class" => {
            class_food(case)?.model()?.dried.isotherm.water_per_dry(case.number("activity")?).into()
        }
        "monolayer of a class" => class_food(case)?.model()?.dried.isotherm.monolayer_per_dry.into(),
        "desorption rate of nearly dry food" => {
            let food = class_food(case)?;
            let mut matrix = food.model()?.dried;
            matrix.desorption_activation_j_per_mol = DESORPTION_ACTIVATION_J_PER_MOL.typical;
            let t = case.kelvin("t_c")?;
            let mut at = |rate_40c_per_s: f64| {
                matrix.desorption_rate_40c_per_s = rate_40c_per_s;
                1e4 * matrix.desorption_rate_per_s(t, 0.0)
            };
            let rate = food.spread().desorption;
            of_band(Band::new(at(rate.low), at(rate.typical), at(rate.high)))
        }
        "heat of desorption" => of_band(HEAT_OF_DESORPTION_J_PER_KG.times(1e-3)),
        "activation of desorption" => of_band(DESORPTION_ACTIVATION_J_PER_MOL.times(1e-3)),
        "water that never freezes" => {
            let food = class_food(case)?;
            of_band(food.spread().unfreezable.times(1.0 / food.composition.fat_free_dry()))
        }
        "conductivity of the dried layer" => {
            let food = class_food(case)?;
            let gas = DriedMatrix { conductivity_vacuum_w_per_m_k: 0.0, ..food.model()?.dried };
            let gas_w_per_m_k = gas.conductivity_at(case.number("p_pa")?);
            let Band { low, typical, high } = food.spread().conductivity;
            of_band(Band::new(low + gas_w_per_m_k, typical + gas_w_per_m_k, high + gas_w_per_m_k))
        }
        _ => return Err(case.unknown()),
    })
}

/// What a table calls usual, with its range.
fn of_band(band: Band) -> Predicted {
    Predicted { value: band.typical, low: Some(band.low), high: Some(band.high) }
}

/// A food of a class; only what the class sets is used.
fn class_food(case: &Case) -> Result<Food, EvidenceError> {
    let class = match case.word("class")? {
        "cut fruit" => DryingClass::CutFruit,
        "vegetable" => DryingClass::Vegetable,
        "starchy" => DryingClass::Starchy,
        "meat or fish" => DryingClass::LeanMeatOrFish,
        _ => return Err(case.unknown()),
    };
    let composition = Composition { water: 0.8, carbohydrate: 0.1, protein: 0.1, ..Composition::default() };
    Ok(Food::new("any", "invented", composition, class))
}
