//! How long the slowest point took through the temperatures where germs grow, beside published limits.
//!
//! # Main equations
//! ```text
//! cooked, above 21 degC    57 -> 21 degC within 2 h, and 57 -> 5 degC within 6 h in all
//! 21 degC or colder        -> 5 degC within 4 h                      (made of ingredients at room temperature)
//! 5 degC or colder         no limit
//! ```
//! # Assumptions and limits
//! The clock starts where the core passes 57 degC, or when the tray is set out if it is colder: time before that counts
//! too and is not known here. The limits tell slow cooling; nothing here says that food is safe.
//!
//! # References
//! US FDA Food Code 3-501.14 (A) and (B), as adopted by several states.

use super::before::{GROWTH_FROM_K, GROWTH_TO_K, crossing};

/// End of the first stage, K (21 degC).
pub const MIDDLE_K: f64 = 294.15;
const FIRST_STAGE_S: f64 = 2.0 * 3_600.0;
const BOTH_STAGES_S: f64 = 6.0 * 3_600.0;
const FROM_ROOM_S: f64 = 4.0 * 3_600.0;

/// Times of one core, s from where the clock starts; `None`: not reached while it was watched.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Cooling {
    /// To 21 degC; 0 for food that starts colder.
    pub to_middle_s: Option<f64>,
    /// To 5 degC.
    pub to_cold_s: Option<f64>,
    /// Longest allowed to 21 degC, s; `None` for food that starts colder.
    pub middle_limit_s: Option<f64>,
    /// Longest allowed to 5 degC, s.
    pub cold_limit_s: f64,
}

impl Cooling {
    /// Times of a course of (time in s, core in K); `None` for food that starts at 5 degC or colder.
    pub fn of(course: &[(f64, f64)]) -> Option<Self> {
        let start_k = course.first().map(|first| first.1).filter(|k| *k > GROWTH_FROM_K)?;
        let warm = start_k > MIDDLE_K;
        let from_s = first_at(course, GROWTH_TO_K).unwrap_or(f64::INFINITY);
        let since = |level_k: f64| first_at(course, level_k).map(|at_s| at_s - from_s);
        Some(Self {
            to_middle_s: since(MIDDLE_K),
            to_cold_s: since(GROWTH_FROM_K),
            middle_limit_s: warm.then_some(FIRST_STAGE_S),
            cold_limit_s: if warm { BOTH_STAGES_S } else { FROM_ROOM_S },
        })
    }

    /// Whether the times are within the limits.
    pub fn within_limits(&self) -> bool {
        let within = |time_s: Option<f64>, limit_s: f64| time_s.is_some_and(|t| t <= limit_s);
        self.middle_limit_s.is_none_or(|limit_s| within(self.to_middle_s, limit_s))
            && within(self.to_cold_s, self.cold_limit_s)
    }
}

/// First time a course of (s, K) was at a level or colder, s.
pub fn first_at(course: &[(f64, f64)], level_k: f64) -> Option<f64> {
    let &(start_s, start_k) = course.first()?;
    if start_k <= level_k {
        return Some(start_s);
    }
    let (a, b) = course.iter().zip(course.get(1..)?).find(|(_, b)| b.1 <= level_k)?;
    Some(a.0 + (b.0 - a.0) * crossing(a.1, b.1, level_k))
}

#[cfg(test)]
mod tests {
    use super::*;

    const HOUR_S: f64 = 3_600.0;

    /// Falls evenly between the given (hour, degC).
    fn course(points: &[(f64, f64)]) -> Vec<(f64, f64)> {
        points.iter().map(|(h, c)| (h * HOUR_S, c + 273.15)).collect()
    }

    #[test]
    fn cooked_food_has_two_stages_that_start_together() {
        // 57 degC at 0.5 h, 21 degC at 2.3 h, 5 degC at 5.5 h
        let cooled = Cooling::of(&course(&[(0.0, 67.0), (0.5, 57.0), (2.3, 21.0), (5.5, 5.0), (9.0, -12.0)])).unwrap();
        approx::assert_relative_eq!(cooled.to_middle_s.unwrap(), 1.8 * HOUR_S, max_relative = 1e-9);
        approx::assert_relative_eq!(cooled.to_cold_s.unwrap(), 5.0 * HOUR_S, max_relative = 1e-9);
        assert!(cooled.within_limits());
        let slow_first = Cooling::of(&course(&[(0.0, 57.0), (2.1, 21.0), (4.0, 5.0)])).unwrap();
        assert!(!slow_first.within_limits());
        let slow_in_all = Cooling::of(&course(&[(0.0, 57.0), (1.9, 21.0), (6.1, 5.0)])).unwrap();
        assert!(!slow_in_all.within_limits());
        assert!(!Cooling::of(&course(&[(0.0, 57.0), (1.0, 30.0)])).unwrap().within_limits(), "never cold");
    }

    #[test]
    fn food_from_the_room_has_four_hours_and_cold_food_no_clock() {
        assert!(Cooling::of(&course(&[(0.0, 20.0), (3.9, 5.0)])).unwrap().within_limits());
        assert!(!Cooling::of(&course(&[(0.0, 20.0), (4.1, 5.0)])).unwrap().within_limits());
        assert_eq!(Cooling::of(&course(&[(0.0, 5.0), (9.0, 4.0)])), None);
    }
}
