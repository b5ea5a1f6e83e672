//! The case that all methods solve: a frozen slab under fixed conditions, to its last ice.

use icefront_core::food::FoodModel;
use icefront_core::load::{EndRule, Load};
use icefront_validation::ideal::{Chamber, Heat, Layer};

#[path = "../../../tests/common/mod.rs"]
mod common;

/// Temperature of the whole slab at the start, K.
pub const START_K: f64 = 248.15;
/// Shelf below and above, K.
const SHELF_K: f64 = 313.15;

/// Invented food: 75 % water, 7 % of it unfreezable, freezing at -1 degC.
pub fn food() -> FoodModel {
    common::food(0.75, 0.07, -1.0)
}

/// Slab of 12.5 mm at 50 Pa between shelves of 40 degC.
pub fn slab(model: &FoodModel) -> Layer<'_> {
    Layer {
        model,
        depth_m: 0.0125,
        below: Heat { from_k: SHELF_K, w_per_m2_k: 20.0, emissivity: 0.0 },
        above: Heat { from_k: SHELF_K, w_per_m2_k: 0.0, emissivity: 0.7 },
        chamber: Chamber { vapour_pa: 50.0, air_pa: 0.0 },
    }
}

/// The slab as a tray in a rig. `time_s`, s, ends the run; the answer wanted is the last ice.
pub fn in_rig(slab: &Layer<'_>, time_s: f64) -> Load {
    let mut tray = common::layer(slab.model.clone(), slab.depth_m, 1.0);
    tray.contact.below_w_per_m2_k = Some(slab.below.w_per_m2_k);
    tray.contact.emissivity_above = Some(slab.above.emissivity);
    tray.contact.gas_above_w_per_m2_k = Some(slab.above.w_per_m2_k);
    let rig = common::rig(slab.below.from_k - 273.15, slab.chamber.vapour_pa);
    let mut load = common::load(rig, vec![tray]);
    load.end = EndRule::FixedTime { time_s };
    load
}
