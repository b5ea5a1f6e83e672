//! Whether a run without a fixed end can still come to one.
//!
//! A front's rate at one moment says little: it is zero for a step where the front starts or stops subliming, and it
//! follows the pressure, which other trays set. So progress is counted over hours in which nothing else changes.

use super::cabinet::{Drive, Stack};
use super::state::DryingState;

/// Progress is counted over this time, s.
const WATCHED_S: f64 = 12.0 * 3_600.0;
/// A part is stuck if it would lose no more than this share of the ice it still holds.
const STUCK_FRAC: f64 = 0.5;

/// Progress of the parts of a stack since some time.
#[derive(Clone, Debug)]
pub(super) struct Outlook {
    since_s: f64,
    /// Of each part then.
    then: Vec<Ice>,
    /// Dry matter passed per part in the time before that, kg; none where something else changed then.
    before_kg: Option<Vec<f64>>,
}

/// Ice of one part: in a bed the layers far from the heat wait until those before them are dry, so that its elements count
/// together.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
struct Ice {
    /// Elements that still hold ice.
    elements: usize,
    /// Dry matter ahead of their fronts, kg.
    ahead_kg: f64,
}

impl Outlook {
    /// From the start of drying.
    pub(super) fn new(stack: &Stack<'_>, state: &DryingState) -> Self {
        Self { since_s: 0.0, then: ice(stack, state), before_kg: None }
    }

    /// Whether every part that still holds ice has been stuck, and is not getting faster, so that most of that ice would
    /// be left at `end_s`. A part that stands still while another dries may go on once the other has left it the machine.
    pub(super) fn hopeless(&mut self, stack: &Stack<'_>, state: &DryingState, t_s: f64, end_s: f64) -> bool {
        let watched_s = t_s - self.since_s;
        if watched_s < WATCHED_S {
            return false;
        }
        let now = ice(stack, state);
        let same = self.then.iter().zip(&now).all(|(a, b)| a.elements == b.elements) && t_s > settled_from_s(stack);
        let passed_kg: Vec<f64> = self.then.iter().zip(&now).map(|(a, b)| a.ahead_kg - b.ahead_kg).collect();
        let more = (end_s - t_s) / watched_s;
        let stuck = |part: usize| {
            let slower = self.before_kg.as_ref().is_some_and(|before| passed_kg[part] <= before[part]);
            now[part].elements == 0 || (slower && passed_kg[part] * more < STUCK_FRAC * now[part].ahead_kg)
        };
        let icy = now.iter().any(|part| part.elements > 0);
        let hopeless = same && icy && (0..now.len()).all(stuck);
        *self = Self { since_s: t_s, then: now, before_kg: same.then_some(passed_kg) };
        hopeless
    }
}

/// Time from which the surroundings no longer change by themselves, s.
fn settled_from_s(stack: &Stack<'_>) -> f64 {
    match &stack.drive {
        Drive::Machine { heater, .. } if heater.set_point.points().len() == 1 => 0.0,
        Drive::Machine { heater, .. } => heater.set_point.last_s() + WATCHED_S,
        Drive::Rig(rig) => rig.schedule.last().map_or(0.0, |point| point.time_s + WATCHED_S),
    }
}

fn ice(stack: &Stack<'_>, state: &DryingState) -> Vec<Ice> {
    let mut elements = state.elements.iter();
    let parts = stack.trays.iter().flat_map(|tray| &tray.parts);
    parts
        .map(|part| {
            let mut ice = Ice::default();
            for (body, element) in part.bodies.iter().zip(elements.by_ref()) {
                if element.has_ice(body.dry_kg) {
                    ice.elements += 1;
                    ice.ahead_kg += body.dry_kg - element.passed_kg;
                }
            }
            ice
        })
        .collect()
}
