//! Sorption isotherms and desorption rates of dried food.

use icefront_core::food::{
    Composition, DESORPTION_ACTIVATION_J_PER_MOL, DryingClass, Food, HEAT_OF_DESORPTION_J_PER_KG,
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
            Predicted { value: at(rate.typical), low: Some(at(rate.low)), high: Some(at(rate.high)) }
        }
        "heat of desorption" => {
            let band = HEAT_OF_DESORPTION_J_PER_KG;
            Predicted { value: band.typical / 1e3, low: Some(band.low / 1e3), high: Some(band.high / 1e3) }
        }
        _ => return Err(case.unknown()),
    })
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
