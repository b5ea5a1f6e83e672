//! A time that never comes is infinite in memory and `null` in a file: JSON has no infinity.

use serde::{Deserialize, Deserializer, Serialize, Serializer};

fn written(value: f64) -> Option<f64> {
    value.is_finite().then_some(value)
}

fn read(value: Option<f64>) -> f64 {
    value.unwrap_or(f64::INFINITY)
}

pub fn serialize<S: Serializer>(value: &f64, to: S) -> Result<S::Ok, S::Error> {
    written(*value).serialize(to)
}

pub fn deserialize<'a, D: Deserializer<'a>>(from: D) -> Result<f64, D::Error> {
    Option::deserialize(from).map(read)
}

/// The same for the numbers of several trays.
pub mod of_trays {
    use super::{Deserialize, Deserializer, Serialize, Serializer, read, written};

    pub fn serialize<S: Serializer>(trays: &[[f64; 4]], to: S) -> Result<S::Ok, S::Error> {
        trays.iter().map(|tray| tray.map(written)).collect::<Vec<_>>().serialize(to)
    }

    pub fn deserialize<'a, D: Deserializer<'a>>(from: D) -> Result<Vec<[f64; 4]>, D::Error> {
        Ok(Vec::<[Option<f64>; 4]>::deserialize(from)?.into_iter().map(|tray| tray.map(read)).collect())
    }
}
