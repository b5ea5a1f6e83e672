//! Numbers and values as JSON, the same way in every answer.

use serde::Serialize;
use serde_json::Value;

/// A value as JSON text: keys are its fields, in SI with the unit in the name; seven digits, since the last bits differ
/// between machines and mean nothing.
pub fn text(value: &impl Serialize) -> Result<String, serde_json::Error> {
    let mut value = serde_json::to_value(value)?;
    round(&mut value);
    Ok(serde_json::to_string_pretty(&value)? + "\n")
}

fn round(value: &mut Value) {
    match value {
        Value::Number(number) if number.is_f64() => {
            let rounded = number.as_f64().and_then(|x| format!("{x:.6e}").parse::<f64>().ok());
            *value = rounded.map_or(Value::Null, Value::from);
        }
        Value::Array(list) => list.iter_mut().for_each(round),
        Value::Object(map) => map.values_mut().for_each(round),
        _ => {}
    }
}

/// Seven digits: the last bits differ between machines and mean nothing.
pub fn rounded(value: f64) -> f64 {
    format!("{value:.6e}").parse().unwrap_or(value)
}

/// Rounded; `None` where it is not known.
pub fn known(value: f64) -> Option<f64> {
    Some(rounded(value)).filter(|v| v.is_finite())
}
