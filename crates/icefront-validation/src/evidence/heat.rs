//! Heat between shelf, tray and food: gas gaps and radiation.

use icefront_core::machine::heat_paths::{
    effective_emissivity, free_molecular_w_per_m2_k_pa, gas_gap_w_per_m2_k, radiation_w_per_m2_k,
};
use icefront_kitchen::evidence::Predicted;

use crate::evidence::EvidenceError;
use crate::evidence::case::{Case, read};

const CHECKS: &str = include_str!("../../data/published/shelf_heat_transfer.csv");

/// The checks.
pub fn cases() -> Result<Vec<Case>, EvidenceError> {
    read("shelf_heat_transfer.csv", CHECKS)
}

/// One coefficient.
pub fn predict(case: &Case) -> Result<Predicted, EvidenceError> {
    let factor = || Ok::<_, EvidenceError>(effective_emissivity(case.number("e1")?, case.number("e2")?));
    let predicted = match case.quantity.as_str() {
        "free-molecular conductance per pascal" => free_molecular_w_per_m2_k_pa(case.kelvin("t_c")?),
        "gas gap" => {
            let (gap_m, a) = (case.number("gap_mm")? / 1e3, case.number("accommodation")?);
            gas_gap_w_per_m2_k(gap_m, case.number("p_pa")?, case.kelvin("t_c")?, a)
        }
        "factor of two grey plates" => factor()?,
        "radiation coefficient" => radiation_w_per_m2_k(factor()?, case.kelvin("hot_c")?, case.kelvin("cold_c")?),
        _ => return Err(case.unknown()),
    };
    Ok(predicted.into())
}
