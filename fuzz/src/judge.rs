//! Whether an answer can be true: every number finite, nothing below nothing, nothing colder or warmer than it can be.

use icefront_core::result::{BatchResult, ByConsumer, Sample, Stage, TrayResult};
use serde_json::Value;

/// Ice melts above this, K.
const MELTING_K: f64 = 273.15;
/// Nothing in a household machine is colder, K.
const COLDEST_K: f64 = 150.0;
/// Nothing in a run is warmer, K.
const WARMEST_K: f64 = 600.0;
/// Highest pressure, Pa.
const HIGHEST_PA: f64 = 2e5;
/// Largest relative error of a balance.
const BALANCE: f64 = 1e-6;
/// Round-off.
const ROUND_OFF: f64 = 1e-9;
/// Round-off of a temperature, K.
const ROUND_OFF_K: f64 = 1e-6;

/// Notes the first number that cannot be.
struct Judge {
    found: Option<String>,
}

impl Judge {
    fn number(&mut self, what: &str, value: f64, low: f64, high: f64) {
        if self.found.is_none() && !(value >= low && value <= high) {
            self.found = Some(format!("{what} is {value}, not between {low} and {high}"));
        }
    }

    fn positive(&mut self, what: &str, value: f64) {
        self.number(what, value, -ROUND_OFF, f64::MAX);
    }

    fn temperature(&mut self, what: &str, kelvin: f64) {
        self.number(what, kelvin, COLDEST_K, WARMEST_K);
    }

    fn share(&mut self, what: &str, value: f64) {
        self.number(what, value, -ROUND_OFF, 1.0 + ROUND_OFF);
    }

    fn energy(&mut self, what: &str, energy: &ByConsumer) {
        for (consumer, value) in [
            ("compressor", energy.compressor),
            ("vacuum pump", energy.vacuum_pump),
            ("heaters", energy.heaters),
            ("other", energy.other),
        ] {
            self.positive(&format!("{what} of the {consumer}"), value);
        }
    }
}

/// Whether a run can be true.
///
/// # Errors
/// The first number that cannot.
pub fn run(result: &BatchResult) -> Result<(), String> {
    let mut judge = Judge { found: None };
    let is_cabinet = result.energy_j().total() > 0.0;
    for stage in Stage::ALL {
        let (time_s, energy) = (&result.stage_s[stage], &result.energy_by_stage_j[stage]);
        judge.positive(&format!("time of {}", stage.name()), *time_s);
        judge.energy(&format!("energy during {}", stage.name()), energy);
    }
    let water = &result.water;
    judge.positive("water loaded", water.loaded_kg);
    judge.number("water left", water.left_kg, -ROUND_OFF, water.loaded_kg * (1.0 + ROUND_OFF));
    judge.number("water removed", water.removed_kg, -ROUND_OFF, water.loaded_kg * (1.0 + ROUND_OFF));
    judge.number("error of the water balance", result.balance.mass_rel.abs(), 0.0, BALANCE);
    judge.number("error of the heat balance", result.balance.energy_rel.abs(), 0.0, BALANCE);
    judge.number("highest pressure", result.machine.max_pressure_pa, 0.0, HIGHEST_PA);
    judge.number("mean pressure", result.machine.mean_pressure_pa, 0.0, HIGHEST_PA);
    judge.share("share of the time limited", result.machine.time_limited_frac);
    judge.positive("thickness of ice", result.machine.ice_thickness_m);
    if is_cabinet {
        judge.temperature("coldest condenser", result.machine.condenser_min_k);
        judge.temperature("warmest condenser", result.machine.condenser_max_k);
    }
    let total_s = result.total_s() * (1.0 + ROUND_OFF) + ROUND_OFF;
    result.trays.iter().for_each(|tray| one_tray(&mut judge, tray, total_s));
    history(&mut judge, &result.history, is_cabinet);
    judge.found.map_or(Ok(()), Err)
}

fn one_tray(judge: &mut Judge, tray: &TrayResult, total_s: f64) {
    judge.positive("food loaded", tray.loaded_kg);
    judge.positive("dry matter", tray.dry_matter_kg);
    judge.number("water left on a tray", tray.water_left_kg, -ROUND_OFF, tray.water_kg * (1.0 + ROUND_OFF));
    judge.share("mean moisture", tray.mean_wet_frac);
    judge.share("wettest moisture", tray.wettest_wet_frac);
    judge.share("least share of ice", tray.least_ice_share);
    judge.number("warmest front", tray.front_max_k, COLDEST_K, MELTING_K + ROUND_OFF_K);
    judge.temperature("warmest dried food", tray.dried_max_k);
    judge.positive("warm time", tray.warm_time_s);
    let parts = tray.parts.iter().flat_map(|part| [part.ice_gone_at_s, part.dry_at_s]);
    let times = [tray.ice_gone_at_s, tray.dry_at_s, tray.frozen_at_s].into_iter().chain(parts);
    times.flatten().for_each(|time_s| judge.number("a time of a tray", time_s, -ROUND_OFF, total_s));
}

fn history(judge: &mut Judge, history: &[Sample], is_cabinet: bool) {
    let mut last_s = f64::NEG_INFINITY;
    for sample in history {
        judge.number("a time of the history", sample.time_s, last_s.max(0.0), f64::MAX);
        last_s = sample.time_s;
        judge.number("pressure of the history", sample.chamber_pressure_pa, 0.0, HIGHEST_PA);
        judge.number("vapour pressure of the history", sample.vapour_pressure_pa, 0.0, HIGHEST_PA);
        judge.positive("ice of the history", sample.condenser_ice_kg);
        if is_cabinet {
            judge.temperature("condenser of the history", sample.condenser_k);
            judge.temperature("ice surface of the history", sample.ice_surface_k);
            judge.energy("power of the history", &sample.power_w);
            judge.energy("energy of the history", &sample.energy_j);
        }
        for tray in &sample.trays {
            judge.share("ice left of the history", tray.ice_left_frac);
            judge.temperature("front of the history", tray.front_k);
            judge.temperature("shelf of the history", tray.shelf_k);
            judge.temperature("surface of the history", tray.surface_k);
            judge.positive("water of the history", tray.water_per_dry);
            judge.number("vapour of the history", tray.vapour_kg_per_s, f64::MIN, f64::MAX);
        }
    }
}

/// Whether a text that is shown to people holds a number that is none, as Rust writes it.
///
/// # Errors
/// The word and where it stands.
pub fn text(shown: &str) -> Result<(), String> {
    // the parser of sheets names what it would have taken for a number
    let shown = shown.replace("expected `inf`", "").replace("expected `nan`", "");
    for (at, line) in shown.lines().enumerate() {
        let is_word = |c: char| c.is_alphanumeric() || c == '_';
        let mut words = line.split(|c: char| !is_word(c));
        if let Some(word) = words.find(|word| matches!(*word, "NaN" | "inf")) {
            return Err(format!("the answer says {word} in line {}: {line}", at + 1));
        }
    }
    Ok(())
}

/// Whether the numbers of an answer in JSON can be: none huge, no time, energy or chance below nothing.
///
/// # Errors
/// The key and its value.
pub fn json(value: &Value) -> Result<(), String> {
    walk("", value)
}

fn walk(key: &str, value: &Value) -> Result<(), String> {
    match value {
        Value::Object(table) => table.iter().try_for_each(|(key, value)| walk(key, value)),
        Value::Array(list) => list.iter().try_for_each(|value| walk(key, value)),
        Value::Number(number) => {
            let number = number.as_f64().unwrap_or(f64::NAN);
            let not_below_zero =
                ["_h", "_kwh", "_s", "_kg", "_pa", "_w", "chance"].iter().any(|end| key.ends_with(end));
            let low = if not_below_zero { -ROUND_OFF } else { -1e12 };
            let high = if key.starts_with("chance") { 1.0 + ROUND_OFF } else { 1e15 };
            if number >= low && number <= high {
                return Ok(());
            }
            Err(format!("`{key}` is {number}"))
        }
        _ => Ok(()),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_that_cannot_be_are_found() {
        assert!(text("invalid float, expected `inf`").is_ok() && text("`inf` h").is_err());
        assert!(text("it takes 3 h\nand NaN kWh").is_err() && text("infants like bananas").is_ok());
        let value = |text: &str| serde_json::from_str::<Value>(text).unwrap();
        assert!(json(&value(r#"{"a": [{"total_h": -1.5}]}"#)).is_err());
        assert!(json(&value(r#"{"a": [{"total_h": 1.5, "room_c": -20}]}"#)).is_ok());
        let load = include_str!("../corpus/plan/demonstration.toml");
        let mut result = crate::probe::plan(load, None, 0).unwrap().result;
        assert_eq!(run(&result), Ok(()));
        let good = result.trays[0].front_max_k;
        result.trays[0].front_max_k = 296.0;
        assert!(run(&result).unwrap_err().contains("warmest front"));
        result.trays[0].front_max_k = good;
        result.stage_s[Stage::Evacuation] = -5400.0;
        assert!(run(&result).unwrap_err().contains("evacuation"));
    }
}
