//! Heat from a tray to air and sky.

use icefront_core::constants::ZERO_CELSIUS_K;
use icefront_core::freezing::{before, surface};
use icefront_kitchen::evidence::Predicted;

use crate::evidence::EvidenceError;
use crate::evidence::case::{Case, read};

const CHECKS: &str = include_str!("../../data/published/convection.csv");

/// The checks.
pub fn cases() -> Result<Vec<Case>, EvidenceError> {
    read("convection.csv", CHECKS)
}

/// One coefficient, or the temperature of the sky.
pub fn predict(case: &Case) -> Result<Predicted, EvidenceError> {
    let predicted = match case.quantity.as_str() {
        "plate in still air" => {
            let up = case.word("face")? == "up";
            surface::natural_plate_w_per_m2_k(case.kelvin("t_c")?, case.kelvin("air_c")?, case.number("length_m")?, up)
        }
        "wall in still air" => {
            surface::natural_wall_w_per_m2_k(case.kelvin("t_c")?, case.kelvin("air_c")?, case.number("height_m")?)
        }
        "plate in a stream" => {
            let speed = case.number("v_m_per_s")?;
            surface::forced_plate_w_per_m2_k(speed, case.kelvin("film_c")?, case.number("length_m")?)
        }
        "outdoor wind" => surface::wind_w_per_m2_k(case.number("v_m_per_s")?),
        "clear sky" => before::clear_sky_k(case.kelvin("air_c")?, case.kelvin("dew_c")?) - ZERO_CELSIUS_K,
        _ => return Err(case.unknown()),
    };
    Ok(predicted.into())
}
