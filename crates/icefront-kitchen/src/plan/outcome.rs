//! Whether a run was stopped, and what it costs.

use icefront_core::load::Load;
use icefront_core::machine::Dryer;
use icefront_core::result::{BatchResult, Warning};

use crate::format;

/// Whether the run was stopped before its end rule was met.
pub fn stopped(result: &BatchResult) -> bool {
    result.warnings.iter().any(Warning::gives_up)
}

/// Cost of the whole run in the cook's currency, where there is a price and a machine that uses power.
pub fn cost(load: &Load, result: &BatchResult) -> Option<f64> {
    match load.dryer {
        Dryer::Cabinet(_) => Some(load.tariff.price_per_kwh? * format::kilowatt_hours(result.energy_j().total())),
        Dryer::Prescribed(_) => None,
    }
}
