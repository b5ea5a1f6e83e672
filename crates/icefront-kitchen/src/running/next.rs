//! What could be read next, and what it would be worth.

use icefront_core::learning::{Errors, Updated, resampled};
use icefront_core::load::Load;
use icefront_core::machine::Dryer;
use icefront_core::ranges::{Cloud, Measurement, Narrowing, Outcome, Tool, expected_narrowing};
use icefront_core::result::{BatchResult, Stage};
use icefront_core::units::Duration;

/// The next reading is taken when this share of what is left has gone.
const OF_THE_REST: f64 = 1.0 / 3.0;
/// Not sooner than this, s.
const SOONEST_S: f64 = 3_600.0;
/// Draws among which its worth is judged.
const JUDGED: usize = 512;
/// Seed of picking them.
const SEED: u32 = 0x6e65_7874;

/// Readings that can be taken later in a run; a tray is weighed only where the dryer can be paused.
pub fn readings(load: &Load, typical: &BatchResult, now_s: f64, errors: &Errors) -> Vec<Measurement> {
    let rest_s = (typical.food_ready_s() - now_s).max(0.0);
    let at_s = now_s + (OF_THE_REST * rest_s).max(SOONEST_S);
    let after_h =
        Duration::from_seconds((at_s - typical.stage_s[Stage::Freezing] - typical.stage_s[Stage::Evacuation]).max(0.0))
            .hours();
    let mut all: Vec<Measurement> = (0..load.trays.len())
        .filter(|_| load.dryer.can_pause())
        .map(|tray| Measurement { tool: Tool::ScaleInPause { tray, after_h }, error: errors.scale.own })
        .collect();
    if let Dryer::Cabinet(_) = load.dryer {
        let energy_j = libm::hypot(errors.plug_meter.own, errors.plug_meter.common_share * typical.energy_j().total());
        let gauge_pa = libm::hypot(errors.gauge.own, errors.gauge.common_share * typical.machine.mean_pressure_pa);
        let shelf_k = libm::hypot(errors.shelf.own, errors.shelf.common);
        all.push(Measurement { tool: Tool::PlugMeter { after_h }, error: energy_j });
        all.push(Measurement { tool: Tool::Gauge { after_h }, error: gauge_pa });
        all.extend(
            (0..load.trays.len())
                .map(|tray| Measurement { tool: Tool::ShelfThermometer { tray, after_h }, error: shelf_k }),
        );
    }
    all
}

/// Ranks them for the time the food is ready, the best first.
pub fn rank(updated: &Updated, measurements: &[Measurement], ready: impl Fn(&Outcome) -> f64) -> Vec<Narrowing> {
    let outcomes = resampled(&updated.weights, JUDGED, SEED).into_iter().map(|i| updated.draws[i].outcome.clone());
    let cloud = Cloud { outcomes: outcomes.collect(), refused: 0 };
    expected_narrowing(&cloud, measurements, ready)
}
