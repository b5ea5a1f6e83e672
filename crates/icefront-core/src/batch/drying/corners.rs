//! Corners of the balances, on which a correction lands instead of jumping over them: where sublimation sets in, where
//! the frozen part thaws, where thermostat or pressure begin to set the heaters. Newton would jump to and fro over them.

use super::balance::Chamber;
use super::newton::Border;
use super::{Drying, Node, Now, thermostat_band};
use crate::batch::cabinet::Drive;
use crate::water;

/// Largest change of a temperature in one iteration, K.
pub(super) const LARGEST_MOVE_K: f64 = 8.0;
/// A driving pressure smaller than this share of the pressure counts as none.
const CORNER: f64 = 1e-9;
/// How near to a corner a front counts as there, K.
const AT_CORNER_K: f64 = 1e-7;
/// How far past a corner a move may end, as a share of the way or in kelvin.
const PAST_CORNER: f64 = 1e-6;
/// A driving pressure may change its sign by a jump no larger than this share of the pressure.
const SMALL_JUMP: f64 = 1e-3;

impl Drying<'_> {
    /// Share of a correction that may be taken so that the pressure does not jump over the band in which it holds the
    /// heaters back: outside the band the power does not answer to pressure, and Newton would jump to and fro.
    pub(super) fn to_pressure_corner(&self, border: &Border, deposit: f64, wall_k: f64, now: Option<Now>) -> f64 {
        let Drive::Machine { cabinet, air_pa, .. } = &self.stack.drive else { return 1.0 };
        let vapour = |share: f64| {
            self.chamber((deposit + share * border.deposit).max(0.0), wall_k + share * border.wall_k, now).vapour_pa
        };
        let (here, there) = (vapour(0.0), vapour(1.0));
        let (from, to) = (cabinet.heater.cutback_from_pa - air_pa, cabinet.heater.cutback_to_pa - air_pa);
        // a hair past the corner, into the band
        let hair = PAST_CORNER * (to - from);
        let band = |corner: f64, hair: f64| (corner + hair - here) / (there - here);
        let mut share: f64 = 1.0;
        if to.is_finite() && here > to && there < to {
            share = share.min(band(to, -hair));
        } else if to.is_finite() && here < from && there > from {
            share = share.min(band(from, hair));
        }
        for i in 0..self.nodes.len() {
            let Some((front_k, change_k)) = self.front_move(i, border) else { continue };
            let (a, b) = (
                water::ice_vapour_pressure_pa(front_k) - here,
                water::ice_vapour_pressure_pa(front_k + change_k) - there,
            );
            if a.abs() > CORNER * here && b.abs() > SMALL_JUMP * here && a * b < 0.0 {
                // a hair on the side on which it sublimes
                share = share.min(a / (a - b) * (1.0 - PAST_CORNER * a.signum()));
            }
        }
        share
    }

    /// Temperature of the front that hangs on a node, if it has ice, and its correction, K.
    fn front_move(&self, node: usize, border: &Border) -> Option<(f64, f64)> {
        let x = self.rhs[node];
        let change_k = x[0] + x[1] * border.deposit + x[2] * border.wall_k;
        match self.nodes[node] {
            Node::Front(b) if self.steps[b].front.left_kg > 0.0 => Some((self.temperature[node], change_k)),
            Node::Surface(b) if !self.steps[b].slab && self.steps[b].front.left_kg > 0.0 => {
                let leaf = &self.leaf_rows[b];
                let rhs = leaf.rhs[0] + leaf.rhs[1] * border.deposit + leaf.rhs[2] * border.wall_k;
                Some((self.leaf[b], (rhs - leaf.up * change_k) / leaf.diagonal))
            }
            _ => None,
        }
    }

    /// Moves a shelf's temperature, but not past the start of the thermostat's band from either side.
    fn move_shelf(&self, shelf_k: f64, change_k: f64, total_pa: f64) -> f64 {
        let target_k = shelf_k + change_k;
        let Drive::Machine { cabinet, .. } = &self.stack.drive else { return target_k };
        let (low_k, high_k) = thermostat_band(&cabinet.heater, total_pa);
        if shelf_k < low_k && target_k > low_k {
            low_k + PAST_CORNER
        } else if shelf_k > high_k && target_k < high_k {
            high_k - PAST_CORNER
        } else {
            target_k
        }
    }

    /// Temperature of a front at which its frozen part is at the freezing point on average, K.
    fn thawed_k(&self, body: usize, below_k: f64) -> f64 {
        let step = &self.steps[body];
        let half = 0.5 * step.frozen_share;
        (self.stack.trays[step.tray].tray.model.curve.freezing_point_k - half * below_k) / (1.0 - half)
    }

    /// Applies a correction; returns the largest move of a temperature before it was held, and the largest held back, K.
    pub(super) fn apply(&mut self, border: &Border, chamber: &Chamber, now: Option<Now>, share: f64) -> (f64, f64) {
        let frost_k = water::frost_point_k(chamber.vapour_pa);
        let total_pa = chamber.vapour_pa + self.air_pa(now);
        let mut largest: f64 = border.wall_k.abs();
        let mut held_back: f64 = (1.0 - share) * largest;
        for i in 0..self.nodes.len() {
            let x = self.rhs[i];
            let change = x[0] + x[1] * border.deposit + x[2] * border.wall_k;
            largest = largest.max(change.abs());
            let moved = (share * change).clamp(-LARGEST_MOVE_K, LARGEST_MOVE_K);
            let before_k = self.temperature[i];
            self.temperature[i] = match self.nodes[i] {
                Node::Front(b) => {
                    move_front(self.temperature[i], moved, frost_k, self.thawed_k(b, self.temperature[i - 1]))
                }
                Node::Shelf(_) => self.move_shelf(self.temperature[i], moved, total_pa),
                Node::Surface(_) => self.temperature[i] + moved,
            };
            held_back = held_back.max((self.temperature[i] - before_k - change).abs());
            if let Node::Surface(b) = self.nodes[i]
                && !self.steps[b].slab
            {
                let leaf = &self.leaf_rows[b];
                let rhs = leaf.rhs[0] + leaf.rhs[1] * border.deposit + leaf.rhs[2] * border.wall_k;
                let inner = (rhs - leaf.up * change) / leaf.diagonal;
                largest = largest.max(inner.abs());
                let inner_moved = (share * inner).clamp(-LARGEST_MOVE_K, LARGEST_MOVE_K);
                let before_k = self.leaf[b];
                self.leaf[b] = move_front(before_k, inner_moved, frost_k, self.thawed_k(b, before_k));
                held_back = held_back.max((self.leaf[b] - before_k - inner).abs());
            }
        }
        (if largest.is_nan() { f64::INFINITY } else { largest }, held_back)
    }
}

/// Moves a front's temperature, but not over a corner of its balance, over which Newton would jump to and fro: where
/// sublimation sets in (`frost_k`), and where (`thawed_k`) the frozen part is at its freezing point on average and its heat capacity
/// falls a hundredfold. From a corner it converges.
fn move_front(front_k: f64, change_k: f64, frost_k: f64, thawed_k: f64) -> f64 {
    let mut target_k = front_k + change_k;
    if (front_k - thawed_k).abs() > 2.0 * AT_CORNER_K && (front_k > thawed_k) != (target_k > thawed_k) {
        target_k = thawed_k - AT_CORNER_K;
    }
    let off_corner = (front_k - frost_k).abs() > AT_CORNER_K;
    if off_corner && (front_k > frost_k) != (target_k > frost_k) { frost_k } else { target_k }
}
