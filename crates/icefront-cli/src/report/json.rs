//! The answer as JSON. Every predicted quantity is an object `{"typical": x}`, with `null` where it is not known.
//! The keys are described in `docs/json.md`.

use icefront_core::load::Load;
use icefront_core::machine::Dryer;
use icefront_core::result::{BatchResult, ByConsumer, TrayResult};
use icefront_core::units::{Duration, Temperature};
use serde::Serialize;

use super::{cautions, cost, flags, stopped};
use crate::show;

/// The report as JSON text, one line feed at its end.
pub fn json(load: &Load, result: &BatchResult) -> Result<String, serde_json::Error> {
    Ok(serde_json::to_string_pretty(&report(load, result))? + "\n")
}

#[derive(Serialize)]
struct Report {
    time_h: Times,
    trays: Vec<Tray>,
    energy_kwh: Energy,
    water_kg: Water,
    cost: Cost,
    balance: Balance,
    cautions: Vec<String>,
}

#[derive(Serialize)]
struct Typical {
    typical: Option<f64>,
}

#[derive(Serialize)]
struct Times {
    total: Typical,
    freezing: Typical,
    evacuation: Typical,
    primary_drying: Typical,
    secondary_drying: Typical,
    defrost: Typical,
    food_ready: Typical,
}

#[derive(Serialize)]
struct Tray {
    tray: String,
    food: String,
    dry_at_h: Typical,
    ice_gone_at_h: Typical,
    front_max_c: Typical,
    residual_moisture: Typical,
    flags: Vec<String>,
}

#[derive(Serialize)]
struct Energy {
    total: Typical,
    compressor: Typical,
    vacuum_pump: Typical,
    heaters: Typical,
    other: Typical,
    by_stage: ByStage,
}

#[derive(Serialize)]
struct ByStage {
    freezing: Typical,
    evacuation: Typical,
    primary_drying: Typical,
    secondary_drying: Typical,
    defrost: Typical,
}

#[derive(Serialize)]
struct Water {
    loaded: Typical,
    removed: Typical,
    left: Typical,
}

#[derive(Serialize)]
struct Cost {
    typical: Option<f64>,
    currency: Option<String>,
}

#[derive(Serialize)]
struct Balance {
    mass_rel: f64,
    energy_rel: f64,
}

fn report(load: &Load, result: &BatchResult) -> Report {
    let cost = cost(load, result);
    Report {
        time_h: times(result),
        trays: result.trays.iter().map(tray).collect(),
        energy_kwh: energy(load, result),
        water_kg: Water {
            loaded: known(result.water.loaded_kg),
            removed: known(result.water.removed_kg),
            left: known(result.water.left_kg),
        },
        cost: Cost { typical: cost.map(rounded), currency: cost.map(|_| load.tariff.currency.clone()) },
        balance: Balance { mass_rel: result.balance.mass_rel, energy_rel: result.balance.energy_rel },
        cautions: cautions::cautions(load, result),
    }
}

fn known(value: f64) -> Typical {
    Typical { typical: Some(rounded(value)).filter(|v| v.is_finite()) }
}

/// Seven digits: the last bits differ between machines and mean nothing.
fn rounded(value: f64) -> f64 {
    format!("{value:.6e}").parse().unwrap_or(value)
}

fn hours(seconds: f64) -> Typical {
    known(Duration::from_seconds(seconds).hours())
}

fn times(result: &BatchResult) -> Times {
    let [freezing, evacuation, primary_drying, secondary_drying, defrost] = result.stage_s.map(hours);
    let unless_stopped = |seconds: f64| hours(if stopped(result) { f64::NAN } else { seconds });
    let (total, food_ready) = (unless_stopped(result.total_s()), unless_stopped(result.food_ready_s()));
    Times { total, freezing, evacuation, primary_drying, secondary_drying, defrost, food_ready }
}

fn tray(tray: &TrayResult) -> Tray {
    Tray {
        tray: tray.name.clone(),
        food: tray.food.clone(),
        dry_at_h: hours(tray.dry_at_s.unwrap_or(f64::NAN)),
        ice_gone_at_h: hours(tray.ice_gone_at_s.unwrap_or(f64::NAN)),
        front_max_c: known(Temperature::from_kelvin(tray.front_max_k).celsius()),
        residual_moisture: known(tray.wettest_wet_frac),
        flags: tray.flags.iter().map(|flag| flags::id(*flag)).collect(),
    }
}

/// A rig has no machine, so its electricity is not known.
fn energy(load: &Load, result: &BatchResult) -> Energy {
    let is_cabinet = matches!(load.dryer, Dryer::Cabinet(_));
    let kwh = |joules: f64| known(if is_cabinet { show::kilowatt_hours(joules) } else { f64::NAN });
    let stages = result.energy_by_stage_j.map(|by| kwh(by.total()));
    let [freezing, evacuation, primary_drying, secondary_drying, defrost] = stages;
    let ByConsumer { compressor, vacuum_pump, heaters, other } = result.energy_j();
    Energy {
        total: kwh(result.energy_j().total()),
        compressor: kwh(compressor),
        vacuum_pump: kwh(vacuum_pump),
        heaters: kwh(heaters),
        other: kwh(other),
        by_stage: ByStage { freezing, evacuation, primary_drying, secondary_drying, defrost },
    }
}
