//! A time that never comes is infinite in memory and `null` in a file: JSON has no infinity.

use serde::{Deserialize, Deserializer, Serialize, Serializer};

pub fn serialize<S: Serializer>(value: &f64, to: S) -> Result<S::Ok, S::Error> {
    Some(*value).filter(|v| v.is_finite()).serialize(to)
}

pub fn deserialize<'a, D: Deserializer<'a>>(from: D) -> Result<f64, D::Error> {
    Ok(Option::deserialize(from)?.unwrap_or(f64::INFINITY))
}
