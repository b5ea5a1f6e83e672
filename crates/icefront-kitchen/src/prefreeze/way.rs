//! One way to get a load frozen, followed to the end of its batch.

use icefront_core::result::{BatchResult, Flag};
use serde::Serialize;

use crate::prefreeze::course::Course;

/// Heat a household freezer takes out of food per electricity it uses for it, and a believable band. From memory.
pub const FREEZER_HEAT_PER_WORK: (f64, f64, f64) = (1.0, 1.4, 2.0);

/// Where the food is frozen.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Place {
    /// Outdoors in this night.
    Outdoors,
    /// In a chest freezer for as long.
    Freezer,
    /// In the machine, at once.
    Machine,
}

/// One way, followed to the end of its batch.
#[derive(Clone, Debug)]
pub struct Way {
    /// Where.
    pub place: Place,
    /// Cores while they cool, by tray.
    pub trays: Vec<Course>,
    /// The batch after it.
    pub plan: BatchResult,
    /// Time before the machine starts, s.
    pub wait_s: f64,
    /// Heat taken from the food in that time, J.
    pub heat_before_j: f64,
}

impl Way {
    /// When the last tray was frozen through, s; `None` if one never was.
    pub fn all_reached_s(&self) -> Option<f64> {
        self.trays.iter().map(|course| course.reached_at_s).fold(Some(0.0), latest)
    }

    /// Whether every tray is frozen through when the time is over.
    pub fn in_time(&self) -> bool {
        self.trays.iter().all(|course| course.is_frozen)
    }

    /// Whether the pump finds every tray frozen.
    pub fn is_dried_frozen(&self) -> bool {
        !self.plan.trays.iter().any(|tray| tray.flags.contains(&Flag::NotFrozen))
    }

    /// Whether no tray cooled more slowly than the published limits; `None` where no limit applies to any.
    pub fn cooled_in_time(&self) -> Option<bool> {
        let mut clocks = self.trays.iter().filter_map(|course| course.cooling).peekable();
        clocks.peek()?;
        Some(clocks.all(|clock| clock.within_limits()))
    }

    /// Electricity of the dryer, J.
    pub fn energy_j(&self) -> f64 {
        self.plan.energy_j().total()
    }

    /// Electricity that a freezer needs for this, J; 0 elsewhere.
    pub fn freezer_energy_j(&self) -> f64 {
        if self.place == Place::Freezer { self.heat_before_j / FREEZER_HEAT_PER_WORK.1 } else { 0.0 }
    }
}

/// The later of two times; none if one never came.
pub(super) fn latest(a: Option<f64>, b: Option<f64>) -> Option<f64> {
    Some(f64::max(a?, b?))
}
