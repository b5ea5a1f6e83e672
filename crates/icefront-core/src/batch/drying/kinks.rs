//! Corners of the balances, on which a correction lands instead of jumping over them: where sublimation sets in, where
//! the frozen part thaws, where thermostat or pressure begin to set the heaters. Newton would jump to and fro over them.

use super::assembly::Border;
use super::balance::Chamber;
use super::{Drying, Prescription, thermostat_band};
use crate::batch::cabinet::Drive;
use crate::primary::saturation;
use crate::water;

/// Largest change of a temperature in one iteration, K.
pub(super) const LARGEST_MOVE_K: f64 = 8.0;
/// A driving pressure smaller than this share of the pressure counts as none.
const CORNER: f64 = 1e-9;
/// A driving pressure may change its sign by a jump no larger than this share of the pressure.
const SMALL_JUMP: f64 = 1e-3;
/// How near to a corner a front counts as there, K.
const AT_CORNER_K: f64 = 1e-7;
/// Newton steps to the start of sublimation: from 20 K away to round-off.
const LANDING_STEPS: usize = 4;
/// How far into the band in which pressure holds the heaters back a move over its edge may end, as a share of it.
const INTO_BAND: f64 = 1e-3;
/// How far past a corner a move may end, as a share of the way or in kelvin.
const PAST_CORNER: f64 = 1e-6;
/// What a correction did, K: largest move wanted, and most of one that was held back.
pub(super) struct Moved {
    pub(super) largest_k: f64,
    pub(super) held_back_k: f64,
}

impl Moved {
    fn add(&mut self, wanted_k: f64, taken_k: f64) {
        // NaN must not count as converged
        let wanted = if wanted_k.is_finite() { wanted_k.abs() } else { f64::INFINITY };
        self.largest_k = self.largest_k.max(wanted);
        self.held_back_k = self.held_back_k.max((taken_k - wanted_k).abs());
    }
}

impl Drying<'_> {
    /// Share of a correction that may be taken so that the pressure does not jump over the band in which it holds the
    /// heaters back.
    pub(super) fn damping_to_band(&self, border: &Border, chamber: &Chamber) -> f64 {
        let Drive::Machine { heater, air_pa, .. } = &self.stack.drive else { return 1.0 };
        let Some(cutback) = heater.cutback else { return 1.0 };
        let (from, to) = (cutback.from_pa - air_pa, cutback.to_pa - air_pa);
        let here = chamber.vapour_pa;
        let vapour_pa = |share: f64| self.chamber_after(border, share).vapour_pa;
        let there = vapour_pa(1.0);
        // a little past the corner, into the band
        let past = INTO_BAND * (to - from);
        let wanted = if here > to && there < to {
            to - past
        } else if here < from && there > from {
            from + past
        } else {
            return 1.0;
        };
        // the pressure is nearly straight: two secants
        let share = (wanted - here) / (there - here);
        (share + share * (wanted - vapour_pa(share)) / (vapour_pa(share) - here)).clamp(0.0, 1.0)
    }

    /// The chamber once a share of a correction is taken.
    fn chamber_after(&self, border: &Border, share: f64) -> Chamber {
        let deposition_kg_per_s = (self.now.deposition_kg_per_s + share * border.deposition_kg_per_s).max(0.0);
        self.chamber(deposition_kg_per_s, self.now.coil_k + share * border.coil_k, None)
    }

    /// Share of a correction at which the first front meets the start of its sublimation together with the pressure.
    pub(super) fn damping_to_frost(&self, border: &Border, chamber: &Chamber, share: f64) -> f64 {
        let here = chamber.vapour_pa;
        let there = self.chamber_after(border, share).vapour_pa;
        let mut first = share;
        for column in &self.columns {
            let update = self.boundary_update(column, border);
            for b in column.bodies.clone().filter(|&b| self.steps[b].front.left_kg > 0.0) {
                let row = &self.rows[b];
                let a = row.saturation.0 - here;
                let b = saturation(row.front_k + share * update.change(&row.front_x)).0 - there;
                if a.abs() > CORNER * here && b.abs() > SMALL_JUMP * here && a * b < 0.0 {
                    // a hair on the side on which it sublimes
                    first = first.min(share * a / (a - b) * (1.0 - PAST_CORNER * a.signum()));
                }
            }
        }
        first
    }

    /// Takes this share of a correction: first the chamber's, then all that feels its pressure. Returns the chamber then
    /// and what was moved.
    pub(super) fn apply_update(
        &mut self,
        border: &Border,
        before: &Chamber,
        prescribed: Option<Prescription>,
        share: f64,
    ) -> (Chamber, Moved) {
        let taken = |change_k: f64| (share * change_k).clamp(-LARGEST_MOVE_K, LARGEST_MOVE_K);
        let mut moved = Moved { largest_k: 0.0, held_back_k: 0.0 };
        self.now.deposition_kg_per_s = (self.now.deposition_kg_per_s + share * border.deposition_kg_per_s).max(0.0);
        self.now.coil_k += taken(border.coil_k);
        moved.add(border.coil_k, taken(border.coil_k));
        let chamber = self.chamber(self.now.deposition_kg_per_s, self.now.coil_k, prescribed);
        let mut rows = std::mem::take(&mut self.rows);
        for column in &self.columns {
            let below_k = self.now.shelf_k[column.tray];
            let update = self.boundary_update(column, border);
            for (b, row) in column.bodies.clone().zip(&mut rows[column.bodies.clone()]) {
                let change_k = update.change(&row.front_x);
                let mut taken_k = taken(change_k);
                if self.steps[b].front.left_kg > 0.0 {
                    taken_k = to_thawing(row.front_k, taken_k, self.thawed_k(b, below_k));
                    let (before_pa, after_pa) = (before.vapour_pa, chamber.vapour_pa);
                    taken_k = to_frost(row.front_k, taken_k, row.saturation, before_pa, after_pa);
                }
                row.front_k += taken_k;
                moved.add(change_k, taken_k);
                let change_k = update.change(&row.top.rhs);
                row.top_k += taken(change_k);
                moved.add(change_k, taken(change_k));
            }
        }
        self.rows = rows;
        let total_pa = chamber.vapour_pa + self.air_pa(prescribed);
        let band_k = match &self.stack.drive {
            Drive::Machine { heater, .. } => Some(thermostat_band(heater, self.set_point_k, total_pa)),
            Drive::Rig(_) => None,
        };
        for (shelf_k, row) in self.now.shelf_k.iter_mut().zip(&self.shelf_rows) {
            let change_k = border.change(&row.rhs);
            let taken_k = band_k.map_or(taken(change_k), |band_k| to_band(*shelf_k, taken(change_k), band_k));
            *shelf_k += taken_k;
            moved.add(change_k, taken_k);
        }
        (chamber, moved)
    }

    /// Temperature of a front at which its frozen part is at the freezing point on average, K.
    fn thawed_k(&self, body: usize, below_k: f64) -> f64 {
        let step = &self.steps[body];
        let half = 0.5 * step.frozen_share;
        (self.models[body].curve.freezing_point_k - half * below_k) / (1.0 - half)
    }
}

/// Move of a shelf, but not past the start of the thermostat's band from either side.
fn to_band(shelf_k: f64, change_k: f64, (low_k, high_k): (f64, f64)) -> f64 {
    let target_k = shelf_k + change_k;
    if shelf_k < low_k && target_k > low_k {
        low_k + PAST_CORNER - shelf_k
    } else if shelf_k > high_k && target_k < high_k {
        high_k - PAST_CORNER - shelf_k
    } else {
        change_k
    }
}

/// Move of a front, but not over the temperature at which its frozen part is at the freezing point on average, where its
/// heat capacity falls a hundredfold.
fn to_thawing(front_k: f64, change_k: f64, thawed_k: f64) -> f64 {
    let crosses = (front_k > thawed_k) != (front_k + change_k > thawed_k);
    if crosses && (front_k - thawed_k).abs() > 2.0 * AT_CORNER_K { thawed_k - AT_CORNER_K - front_k } else { change_k }
}

/// Move of a front with this vapour pressure and slope, but not over the start of its sublimation, which lies where it
/// meets the chamber's pressure (before and after the correction); from there Newton converges.
fn to_frost(front_k: f64, change_k: f64, (front_pa, slope): (f64, f64), before_pa: f64, after_pa: f64) -> f64 {
    let sublimes = front_pa > before_pa;
    let tangent_pa = front_pa + slope * change_k;
    let stays = if front_k.max(front_k + change_k) > water::TRIPLE_POINT_K {
        sublimes == (saturation(front_k + change_k).0 > after_pa)
    } else if sublimes {
        // the curve lies above its tangent: most fronts stay on their side for certain
        tangent_pa > after_pa || saturation(front_k + change_k).0 > after_pa
    } else {
        tangent_pa <= after_pa && (change_k <= 0.0 || saturation(front_k + change_k).0 <= after_pa)
    };
    let at_corner = (front_pa - before_pa).abs() <= AT_CORNER_K * slope;
    if stays || at_corner {
        return change_k;
    }
    // nearly a straight line: ln p against T
    let (mut frost_k, mut at) = (front_k, (front_pa, slope));
    for _ in 0..LANDING_STEPS {
        frost_k += libm::log(after_pa / at.0) * at.0 / at.1;
        at = saturation(frost_k);
    }
    (frost_k - front_k).clamp(-LARGEST_MOVE_K, LARGEST_MOVE_K)
}
