//! Whether more vapour comes than the condenser can take: above the pressure of the triple point ice melts instead of
//! subliming, and the run is no longer one of freeze-drying.

use super::cabinet::{Drive, Stack};
use super::state::DryingState;
use crate::result::Warning;
use crate::water::TRIPLE_POINT_PA;

/// So much more time above the triple point than below it ends a run, s (ours). The peak of vapour at the start of primary drying
/// lasts minutes.
const LASTING_S: f64 = 4.0 * 3_600.0;

/// How much longer the vapour has lately been above the triple point than below it.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Flooded {
    above_s: f64,
}

impl Flooded {
    /// What to report once it has lasted; the state is that after a step of `h_s`.
    pub(super) fn reached(&mut self, stack: &Stack<'_>, state: &DryingState, h_s: f64) -> Option<Warning> {
        let pressure_pa = state.machine.vapour_pa;
        let above = matches!(stack.drive, Drive::Machine { .. }) && pressure_pa > TRIPLE_POINT_PA;
        self.above_s = if above { self.above_s + h_s } else { (self.above_s - h_s).max(0.0) };
        (self.above_s >= LASTING_S).then_some(Warning::AboveTriplePoint { pressure_pa })
    }
}
