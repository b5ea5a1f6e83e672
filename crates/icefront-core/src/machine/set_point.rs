//! The set point of the shelves: one temperature, or a programme of times and temperatures.
//!
//! # Main equations
//! ```text
//! T(t) = T_i + (t - t_i)/(t_(i+1) - t_i) (T_(i+1) - T_i)       t_i <= t <= t_(i+1)
//! ```
//! linear between two points, constant before the first and after the last. Time counts from the start of drying: when the
//! air is out and the heaters come on.

use serde::{Deserialize, Serialize};

use crate::error::{ModelError, check};

/// Set point of the shelves over time: at least one point, ordered by time.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(transparent)]
pub struct SetPoint(Vec<SetPointAt>);

/// One point of a programme.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct SetPointAt {
    /// Time from the start of drying, s.
    pub time_s: f64,
    /// Shelf temperature, K.
    pub shelf_k: f64,
}

/// Latest time of a programme, s.
pub const LONGEST_PROGRAMME_S: f64 = 240.0 * 3_600.0;

impl SetPoint {
    /// The same all the time.
    pub fn constant(shelf_k: f64) -> Self {
        Self(vec![SetPointAt { time_s: 0.0, shelf_k }])
    }

    /// A programme; its times must rise, which is checked before a run ([`crate::load::Load::check`]).
    pub fn programme(points: Vec<SetPointAt>) -> Self {
        Self(points)
    }

    /// Its points.
    pub fn points(&self) -> &[SetPointAt] {
        &self.0
    }

    /// Temperature at a time from the start of drying, K.
    pub fn at(&self, t_s: f64) -> f64 {
        linear(&self.0, |point| point.time_s, t_s)
            .map_or(f64::NAN, |(a, b, share)| a.shelf_k + share * (b.shelf_k - a.shelf_k))
    }

    /// Warmest of all, K.
    pub fn warmest_k(&self) -> f64 {
        self.0.iter().map(|point| point.shelf_k).fold(f64::NEG_INFINITY, f64::max)
    }

    /// When it ceases to change, s.
    pub fn last_s(&self) -> f64 {
        self.0.last().map_or(0.0, |point| point.time_s)
    }

    /// The first corner of it after a time, s; infinite if there is none.
    pub(crate) fn next_after(&self, t_s: f64) -> f64 {
        self.0.iter().map(|point| point.time_s).find(|time_s| *time_s > t_s).unwrap_or(f64::INFINITY)
    }

    /// So much colder all the time.
    pub fn lower(&mut self, by_k: f64) {
        self.0.iter_mut().for_each(|point| point.shelf_k -= by_k);
    }

    /// So many times the absolute temperature.
    pub fn scale(&mut self, factor: f64) {
        self.0.iter_mut().for_each(|point| point.shelf_k *= factor);
    }

    pub(crate) fn check(&self, coldest_k: f64, hottest_k: f64) -> Result<(), ModelError> {
        check("points of the shelf programme", self.0.len() as f64, "points", 1.0, 1e3)?;
        for point in &self.0 {
            check("shelf set point", point.shelf_k, "K", coldest_k, hottest_k)?;
            check("time of a shelf set point", point.time_s, "s", 0.0, LONGEST_PROGRAMME_S)?;
        }
        for pair in self.0.windows(2) {
            let shortest_s = pair[0].time_s + 1.0;
            check("time of a shelf set point", pair[1].time_s, "s", shortest_s, LONGEST_PROGRAMME_S + 1.0)?;
        }
        Ok(())
    }
}

/// The two points around a time and how far between them it is, 0 to 1; `None` without points.
pub(crate) fn linear<P>(points: &[P], time_s: impl Fn(&P) -> f64, t_s: f64) -> Option<(&P, &P, f64)> {
    let after = points.iter().position(|point| time_s(point) > t_s).unwrap_or(points.len());
    let (a, b) = (points.get(after.saturating_sub(1))?, points.get(after.min(points.len() - 1))?);
    let span_s = time_s(b) - time_s(a);
    Some((a, b, if span_s > 0.0 { ((t_s - time_s(a)) / span_s).clamp(0.0, 1.0) } else { 0.0 }))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn it_is_linear_between_its_points_and_constant_outside() {
        let at = |time_s: f64, shelf_k: f64| SetPointAt { time_s, shelf_k };
        let programme = SetPoint::programme(vec![at(100.0, 260.0), at(200.0, 300.0), at(400.0, 320.0)]);
        for (t_s, expected_k) in [(0.0, 260.0), (100.0, 260.0), (150.0, 280.0), (300.0, 310.0), (1e6, 320.0)] {
            assert_eq!(programme.at(t_s), expected_k);
        }
        assert_eq!((programme.next_after(100.0), programme.next_after(400.0)), (200.0, f64::INFINITY));
        assert_eq!(SetPoint::constant(300.0).at(1e9), 300.0);
        assert!(programme.check(200.0, 400.0).is_ok() && SetPoint::programme(vec![]).check(200.0, 400.0).is_err());
        assert!(SetPoint::programme(vec![at(100.0, 300.0), at(50.0, 300.0)]).check(200.0, 400.0).is_err());
    }
}
