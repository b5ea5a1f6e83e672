//! What stays the same when food is cut or filled otherwise: its weight, its depth, both or neither. "Half as large" means
//! little without it.

use icefront_core::load::Tray;
use serde::Serialize;

/// What trays of food have in common.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub struct Kept {
    /// The weight.
    pub weight: bool,
    /// The depth: how high the food stands.
    pub depth: bool,
}

/// Weights and depths closer than this are the same: nearer than a kitchen's scale and ruler.
const SAME: f64 = 0.005;

impl Kept {
    /// Of a tray and the same tray changed.
    pub fn of(before: &Tray, after: &Tray) -> Self {
        let weight_kg = |t: &Tray| t.model.density_kg_per_m3 * t.area_m2 * t.shape.volume_per_area_m();
        let same = |of: &dyn Fn(&Tray) -> f64| (of(after) / of(before) - 1.0).abs() < SAME;
        Self { weight: same(&weight_kg), depth: same(&|t| t.shape.height_m()) }
    }

    /// What both keep.
    #[must_use]
    pub fn and(self, other: Self) -> Self {
        Self { weight: self.weight && other.weight, depth: self.depth && other.depth }
    }

    /// `the weight stays, the depth changes`
    pub fn words(self) -> &'static str {
        match (self.weight, self.depth) {
            (true, true) => "weight and depth stay",
            (true, false) => "the weight stays, the depth changes",
            (false, true) => "the depth stays, the weight changes",
            (false, false) => "weight and depth change",
        }
    }
}
