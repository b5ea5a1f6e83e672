//! Whether more vapour comes than the condenser can take: above the pressure of the triple point ice melts instead of
//! subliming, and the run is no longer one of freeze-drying.

use super::cabinet::{Drive, Stack};
use super::state::DryingState;
use crate::result::Warning;
use crate::water::TRIPLE_POINT_PA;

/// Pressure this long above the triple point without a break ends a run, s. The peak of vapour at the start of primary
/// drying lasts minutes.
const LASTING_S: f64 = 4.0 * 3_600.0;

/// Since when the vapour has been above the triple point.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Flooded {
    since_s: Option<f64>,
}

impl Flooded {
    /// What to report once it has lasted; `t_s` counts from the start of drying.
    pub(super) fn reached(&mut self, stack: &Stack<'_>, state: &DryingState, t_s: f64) -> Option<Warning> {
        let pressure_pa = state.machine.vapour_pa;
        if matches!(stack.drive, Drive::Rig(_)) || pressure_pa <= TRIPLE_POINT_PA {
            self.since_s = None;
            return None;
        }
        let since_s = *self.since_s.get_or_insert(t_s);
        (t_s - since_s >= LASTING_S).then_some(Warning::AboveTriplePoint { pressure_pa })
    }
}
