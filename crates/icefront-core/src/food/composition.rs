//! Composition of a food by mass.

use serde::{Deserialize, Serialize};

/// Mass fractions of a food; water + protein + fat + carbohydrate + fibre + ash = 1.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Composition {
    /// Water.
    pub water: f64,
    /// Protein.
    pub protein: f64,
    /// Fat.
    pub fat: f64,
    /// Carbohydrate without fibre, sugars included.
    pub carbohydrate: f64,
    /// Dietary fibre.
    pub fibre: f64,
    /// Ash, salt included.
    pub ash: f64,
    /// Sugars, a part of `carbohydrate`.
    pub sugars: f64,
    /// Salt (sodium chloride), a part of `ash`.
    pub salt: f64,
}
