//! Refrigeration at a coil temperature: both heat exchangers balanced on a fine grid.
//!
//! ```text
//! T_e = T_coil - Q/UA_coil          T_c = T_room + (Q + P)/UA_hot          Q, P from the compressor at T_e, T_c
//! ```
//! (`docs/model.md`, M7 to M9.) The grid is twenty times as fine as that of the batch solver; between its points the
//! curve is taken straight, which leaves errors of about 1e-6 of the cooling. Valid from 195 to 300 K evaporating, held
//! constant outside.

use icefront_core::machine::Refrigeration;
use icefront_core::machine::refrigeration::compressor_cooling_and_power_w;

use super::root::{Bracket, falling_root};

const EVAPORATING_FROM_K: f64 = 195.0;
const EVAPORATING_TO_K: f64 = 300.0;
const GRID_K: f64 = 0.1;
/// The condensing temperature lies no further above the room than this, K.
const HOTTEST_K: f64 = 120.0;
const ROOT_K: f64 = 1e-9;

/// One point of the curve.
#[derive(Clone, Copy, Debug)]
pub struct Cooling {
    coil_k: f64,
    /// Heat taken from the coil, W.
    pub cooling_w: f64,
    /// Electric power, W.
    pub power_w: f64,
}

/// Cooling against coil temperature in one room.
#[derive(Clone, Debug)]
pub struct Refrigerator {
    points: Vec<Cooling>,
}

impl Refrigerator {
    /// Balances the machine in a room over its range.
    pub fn new(machine: &Refrigeration, room_k: f64) -> Self {
        let count = ((EVAPORATING_TO_K - EVAPORATING_FROM_K) / GRID_K).round() as usize;
        let points = (0..=count).map(|i| {
            let evaporating_k = EVAPORATING_FROM_K + i as f64 * GRID_K;
            let rejected_k = |condensing_k: f64| {
                let (cooling_w, power_w) = compressor_cooling_and_power_w(machine, evaporating_k, condensing_k);
                room_k + (cooling_w + power_w) / machine.hot_side_conductance_w_per_k - condensing_k
            };
            let bracket = Bracket { low: room_k, high: room_k + HOTTEST_K, within: ROOT_K };
            let condensing_k = falling_root(bracket, rejected_k);
            let (cooling_w, power_w) = compressor_cooling_and_power_w(machine, evaporating_k, condensing_k);
            Cooling { coil_k: evaporating_k + cooling_w / machine.wall_conductance_w_per_k, cooling_w, power_w }
        });
        Self { points: points.collect() }
    }

    /// At a coil temperature.
    pub fn at(&self, coil_k: f64) -> Cooling {
        let above = self.points.partition_point(|p| p.coil_k < coil_k).clamp(1, self.points.len() - 1);
        let (a, b) = (self.points[above - 1], self.points[above]);
        let share = ((coil_k - a.coil_k) / (b.coil_k - a.coil_k)).clamp(0.0, 1.0);
        Cooling {
            coil_k,
            cooling_w: a.cooling_w + share * (b.cooling_w - a.cooling_w),
            power_w: a.power_w + share * (b.power_w - a.power_w),
        }
    }
}
