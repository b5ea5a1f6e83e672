//! The run over time as CSV: one row per time, the unit in each column's name, a group of columns per tray.

use icefront_core::result::BatchResult;
use icefront_core::units::{Duration, Temperature};

use crate::format::kilowatt_hours;

const COMMON: &str = "time_h,stage,vapour_pressure_pa,chamber_pressure_pa,condenser_c,ice_surface_c,condenser_ice_kg,\
                      power_compressor_w,power_vacuum_pump_w,power_heaters_w,power_other_w,energy_compressor_kwh,\
                      energy_vacuum_pump_kwh,energy_heaters_kwh,energy_other_kwh";
const PER_TRAY: &str =
    "ice_left_frac,front_c,front_warmest_c,shelf_c,surface_c,water_per_dry_kg_per_kg,vapour_kg_per_s";

/// The history as CSV text.
pub fn csv(result: &BatchResult) -> Result<Vec<u8>, csv::Error> {
    let mut table = csv::Writer::from_writer(Vec::new());
    table.write_record(header(result.trays.len()))?;
    let celsius = |kelvin: f64| number(Temperature::from_kelvin(kelvin).celsius());
    for sample in &result.history {
        let (power, energy) = (sample.power_w, sample.energy_j);
        let mut row = vec![
            number(Duration::from_seconds(sample.time_s).hours()),
            sample.stage.name().replace(' ', "_"),
            number(sample.vapour_pressure_pa),
            number(sample.chamber_pressure_pa),
            celsius(sample.condenser_k),
            celsius(sample.ice_surface_k),
            number(sample.condenser_ice_kg),
        ];
        row.extend([power.compressor, power.vacuum_pump, power.heaters, power.other].map(number));
        let energies = [energy.compressor, energy.vacuum_pump, energy.heaters, energy.other];
        row.extend(energies.map(|joules| number(kilowatt_hours(joules))));
        for tray in &sample.trays {
            row.extend([
                number(tray.ice_left_frac),
                celsius(tray.front_k),
                celsius(tray.front_warmest_k),
                celsius(tray.shelf_k),
                celsius(tray.surface_k),
                number(tray.water_per_dry),
                number(tray.vapour_kg_per_s),
            ]);
        }
        table.write_record(row)?;
    }
    table.into_inner().map_err(|e| csv::Error::from(e.into_error()))
}

fn header(trays: usize) -> Vec<String> {
    let per_tray = (1..=trays).flat_map(|tray| PER_TRAY.split(',').map(move |name| format!("tray_{tray}_{name}")));
    COMMON.split(',').map(String::from).chain(per_tray).collect()
}

/// Six digits; empty where there is no value.
fn number(value: f64) -> String {
    if !value.is_finite() {
        return String::new();
    }
    let magnitude = value.abs();
    if magnitude != 0.0 && !(1e-4..1e7).contains(&magnitude) {
        return format!("{value:.5e}");
    }
    let decimals = if magnitude < 1e-4 { 0 } else { (5 - libm::log10(magnitude).floor() as i32).clamp(0, 9) as usize };
    format!("{value:.decimals$}")
}
