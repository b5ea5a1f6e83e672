//! Refrigeration cycle, compressor curves, pump-down, and the electricity of a whole batch.

use serde::Deserialize;

use icefront_core::machine::refrigeration::compressor_cooling_and_power_w;
use icefront_core::machine::{Refrigeration, Vacuum, vapour_path};
use icefront_core::plan;
use icefront_kitchen::evidence::Predicted;
use icefront_kitchen::sheet;
use icefront_kitchen::storage::Memory;
use icefront_kitchen::style::Look;

use crate::evidence::EvidenceError;
use crate::evidence::case::{Case, read};

const CYCLE: &str = include_str!("../../data/published/refrigeration_cycle.csv");
const CURVES: &str = include_str!("../../data/published/compressor_curves.csv");
const FITS: &str = include_str!("../../data/published/compressor_fits.csv");
const PUMP: &str = include_str!("../../data/published/pump_and_energy.csv");

const HOUR_S: f64 = 3_600.0;
const JOULES_PER_KWH: f64 = 3.6e6;

/// Cycle checks.
pub fn cycle_cases() -> Result<Vec<Case>, EvidenceError> {
    read("refrigeration_cycle.csv", CYCLE)
}

/// Suction gas of the model's curves, K, and of the cycles: 10 K above evaporation.
const RETURN_GAS_K: f64 = 291.45;
const SUPERHEAT_K: f64 = 10.0;

/// The cycle without losses: a perfect compressor of 1 m3/s.
pub fn cycle(case: &Case) -> Result<Predicted, EvidenceError> {
    let perfect = Refrigeration {
        swept_m3_per_s: 1.0,
        clearance: 0.0,
        isentropic_efficiency: 1.0,
        loss_w: 0.0,
        power_limit_w: f64::INFINITY,
        wall_conductance_w_per_k: 1.0,
        hot_side_conductance_w_per_k: 1.0,
    };
    let evaporating_k = case.kelvin("evaporating_c")?;
    let (cooling_w, power_w) = compressor_cooling_and_power_w(&perfect, evaporating_k, case.kelvin("condensing_c")?);
    // suction gas is 10 K above evaporation in the cycles, at room temperature in the model: less dense, more work per kg
    let warming = RETURN_GAS_K / (evaporating_k + SUPERHEAT_K);
    let predicted = match case.quantity.as_str() {
        "isentropic coefficient of performance" => cooling_w / power_w * warming,
        "cooling per swept volume" => cooling_w * warming / 1e3,
        _ => return Err(case.unknown()),
    };
    Ok(predicted.into())
}

/// Points of the compressor curves that were not used in the fit.
pub fn compressor_cases() -> Result<Vec<Case>, EvidenceError> {
    read("compressor_curves.csv", CURVES)
}

#[derive(Deserialize)]
struct Fit {
    id: String,
    swept_m3_per_h: f64,
    clearance: f64,
    isentropic_efficiency: f64,
    loss_w: f64,
}

/// Cooling or power of a fitted compressor.
pub fn compressor(case: &Case) -> Result<Predicted, EvidenceError> {
    let wanted = case.word("compressor")?;
    let fits: Vec<Fit> = read("compressor_fits.csv", FITS)?;
    let key = || EvidenceError::Key { id: case.id.clone(), key: wanted.into() };
    let fit = fits.into_iter().find(|fit| fit.id == wanted).ok_or_else(key)?;
    let machine = Refrigeration {
        swept_m3_per_s: fit.swept_m3_per_h / HOUR_S,
        clearance: fit.clearance,
        isentropic_efficiency: fit.isentropic_efficiency,
        loss_w: fit.loss_w,
        power_limit_w: f64::INFINITY,
        wall_conductance_w_per_k: 1.0,
        hot_side_conductance_w_per_k: 1.0,
    };
    let (evaporating_k, condensing_k) = (case.kelvin("evaporating_c")?, case.kelvin("condensing_c")?);
    let (cooling_w, power_w) = compressor_cooling_and_power_w(&machine, evaporating_k, condensing_k);
    match case.quantity.as_str() {
        "cooling" => Ok(cooling_w.into()),
        "electric power" => Ok(power_w.into()),
        _ => Err(case.unknown()),
    }
}

/// Pump-down and energy checks.
pub fn pump_cases() -> Result<Vec<Case>, EvidenceError> {
    read("pump_and_energy.csv", PUMP)
}

/// One pump-down, or the electricity of the demonstration.
pub fn pump(case: &Case) -> Result<Predicted, EvidenceError> {
    let vacuum = || {
        Ok::<_, EvidenceError>(Vacuum {
            volume_m3: case.number("volume_m3")?,
            speed_m3_per_s: case.number("speed_m3_per_h")? / HOUR_S,
            ultimate_pa: case.number("ultimate_pa")?,
            power_w: 0.0,
            leak_pa_m3_per_s: case.number("leak_pa_m3_per_s")?,
        })
    };
    let predicted = match case.quantity.as_str() {
        // from any pressure: down from one atmosphere to the second less down to the first
        "pump-down time" => {
            let vacuum = vacuum()?;
            let to = |pressure_pa| vapour_path::pump_down_s(&vacuum, pressure_pa);
            to(case.number("to_pa")?) - to(case.number("from_pa")?)
        }
        "pressure that the pump holds" => vapour_path::air_pressure_pa(&vacuum()?),
        "electricity per water removed" => demonstration_kwh_per_kg(case)?,
        _ => return Err(case.unknown()),
    };
    Ok(predicted.into())
}

fn demonstration_kwh_per_kg(case: &Case) -> Result<f64, EvidenceError> {
    let key = |what: String| EvidenceError::Key { id: case.id.clone(), key: what };
    let sheet = sheet::read(&sheet::demonstration(), &Memory::default()).map_err(|bad| key(bad.render(Look::Bare)))?;
    let result = plan(&sheet.load)?;
    Ok(result.energy_j().total() / JOULES_PER_KWH / result.water.removed_kg)
}
