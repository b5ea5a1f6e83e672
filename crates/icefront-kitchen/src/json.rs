//! Answers as JSON, all by one convention.
//!
//! An answer is a value with SI numbers, the unit in each field's name. In its JSON the numbers stand in the units of the
//! kitchen, and the keys say so: `ready_s` becomes `ready_h`, `front_max_k` becomes `front_max_c`. A group passes its unit
//! on: all of `energy_j` is in kWh. Infinite and unknown numbers are `null`; seven digits, since the last bits differ
//! between machines and mean nothing. `docs/json.md` lists all keys.

use icefront_core::ranges::Quantiles;
use icefront_core::units::{Duration, Energy, Length, Temperature, Volume};
use serde::Serialize;
use serde_json::{Map, Value};

/// Version of the convention: it changes when a key is renamed or goes.
pub const SCHEMA: u32 = 1;

/// A quantity that a run predicts.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Predicted {
    /// 10, 50 and 90 % of the samples; only where some were made.
    #[serde(flatten)]
    pub drawn: Option<Quantiles>,
    /// The run with the middle of every number.
    pub typical_run: f64,
}

impl Predicted {
    /// What the typical run says where nothing was drawn; NaN where it is not known.
    pub fn undrawn(typical_run: Option<f64>) -> Self {
        Self { drawn: None, typical_run: typical_run.unwrap_or(f64::NAN) }
    }
}

/// An answer's key and its unit in JSON.
#[derive(Clone, Copy)]
pub struct Unit {
    inside: &'static str,
    /// Ending of the key in JSON.
    pub outside: &'static str,
    /// What the ending stands for.
    pub name: &'static str,
    convert: fn(f64) -> f64,
}

/// Endings of keys, the first that fits holds.
const UNITS: [Unit; 17] = {
    const fn unit(inside: &'static str, outside: &'static str, name: &'static str, convert: fn(f64) -> f64) -> Unit {
        Unit { inside, outside, name, convert }
    }
    const fn kept(ending: &'static str, name: &'static str) -> Unit {
        unit(ending, ending, name, same)
    }
    [
        kept("_m_per_s", "m/s"),
        unit("_kg_per_s", "_kg_per_h", "kg/h", |x| 3_600.0 * x),
        kept("_per_kwh", "per kWh"),
        unit("_s", "_h", "h", |x| Duration::from_seconds(x).hours()),
        unit("_j", "_kwh", "kWh", |x| Energy::from_joules(x).kilowatt_hours()),
        unit("_k", "_c", "degC", |x| Temperature::from_kelvin(x).celsius()),
        unit("_m3", "_ml", "ml", |x| 1e3 * Volume::from_cubic_metres(x).litres()),
        unit("_m", "_mm", "mm", |x| Length::from_metres(x).millimetres()),
        kept("_h", "h"),
        kept("_c", "degC"),
        kept("_kwh", "kWh"),
        kept("_kj", "kJ"),
        kept("_kg", "kg"),
        kept("_g", "g"),
        kept("_ml", "ml"),
        kept("_m2", "m2"),
        kept("_pa", "Pa"),
    ]
};

fn same(value: f64) -> f64 {
    value
}

/// The unit that a field's name ends with.
pub fn unit(field: &str) -> Option<Unit> {
    UNITS.into_iter().find(|unit| field.ends_with(unit.inside))
}

/// The key of a field in JSON.
pub fn key(field: &str) -> String {
    let unit = unit(field).and_then(|unit| Some(field.strip_suffix(unit.inside)?.to_string() + unit.outside));
    unit.unwrap_or_else(|| field.to_string())
}

/// An answer as JSON text, one line feed at its end.
///
/// # Errors
/// If the answer cannot be written as JSON.
pub fn text(answer: &impl Serialize) -> Result<String, serde_json::Error> {
    pretty(&value(answer)?)
}

/// An answer as a tree of JSON, with the versions of the convention and of icefront in it.
///
/// # Errors
/// If the answer cannot be written as JSON.
pub fn value(answer: &impl Serialize) -> Result<Value, serde_json::Error> {
    Ok(stamped(in_kitchen_units(serde_json::to_value(answer)?, same)))
}

/// Text of a table of given numbers: digits and units as they are.
///
/// # Errors
/// If the table cannot be written as JSON.
pub fn exact(table: &impl Serialize) -> Result<String, serde_json::Error> {
    pretty(&stamped(serde_json::to_value(table)?))
}

fn pretty(value: &Value) -> Result<String, serde_json::Error> {
    Ok(serde_json::to_string_pretty(value)? + "\n")
}

fn stamped(answer: Value) -> Value {
    let versions = [("schema", Value::from(SCHEMA)), ("icefront", Value::from(env!("CARGO_PKG_VERSION")))];
    let mut all: Map<String, Value> = versions.map(|(key, value)| (key.to_string(), value)).into_iter().collect();
    if let Value::Object(answer) = answer {
        all.extend(answer);
    }
    Value::Object(all)
}

/// Converts by the endings of the keys. A key over text is a name, whatever it ends with.
fn in_kitchen_units(value: Value, convert: fn(f64) -> f64) -> Value {
    match value {
        Value::Number(number) if number.is_f64() => Value::from(rounded(convert(number.as_f64().unwrap_or(f64::NAN)))),
        Value::Array(list) => list.into_iter().map(|inner| in_kitchen_units(inner, convert)).collect(),
        Value::Object(answer) => answer
            .into_iter()
            .map(|(field, inner)| match unit(&field) {
                Some(unit) if !inner.is_string() => (key(&field), in_kitchen_units(inner, unit.convert)),
                _ => (field, in_kitchen_units(inner, convert)),
            })
            .collect(),
        other => other,
    }
}

/// Seven digits: the last bits differ between machines and mean nothing.
pub fn rounded(value: f64) -> f64 {
    format!("{value:.6e}").parse().unwrap_or(value)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[derive(Serialize)]
    struct Answer {
        zero_h: f64,
        parts: Vec<Option<f64>>,
        never: f64,
        time_s: Predicted,
        words: Group,
    }

    #[derive(Serialize)]
    struct Group {
        name_k: &'static str,
        energy_j: [f64; 2],
        wall_k: f64,
        wind_m_per_s: f64,
    }

    #[test]
    fn numbers_are_rounded_and_converted_and_keys_keep_their_order() {
        let answer = Answer {
            zero_h: 1.0 / 3.0,
            parts: vec![Some(2.0e9 / 3.0), None],
            never: f64::INFINITY,
            time_s: Predicted {
                drawn: Some(Quantiles { low: 1_800.0, typical: 3_600.0, high: f64::INFINITY }),
                typical_run: 7_200.0,
            },
            words: Group { name_k: "text", energy_j: [3.6e6, 0.0], wall_k: 273.15, wind_m_per_s: 2.0 },
        };
        let expected = serde_json::json!({
            "schema": SCHEMA,
            "icefront": env!("CARGO_PKG_VERSION"),
            "zero_h": 0.3333333,
            "parts": [666666700.0, null],
            "never": null,
            "time_h": { "low": 0.5, "median": 1.0, "high": null, "typical_run": 2.0 },
            "words": { "name_k": "text", "energy_kwh": [1.0, 0.0], "wall_c": 0.0, "wind_m_per_s": 2.0 },
        });
        assert_eq!(text(&answer).unwrap(), serde_json::to_string_pretty(&expected).unwrap() + "\n");
        assert_eq!(value(&Predicted::undrawn(None)).unwrap()["typical_run"], Value::Null);
    }
}
