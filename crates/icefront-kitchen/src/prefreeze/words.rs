//! Words and times that the parts of the report share.

use icefront_core::load::Load;

use crate::plan::stopped;
use crate::prefreeze::Course;
use crate::prefreeze::way::Way;
use crate::weather::Night;

/// `21:40`: a clock to ten minutes, since no more can be known.
pub fn clock(night: &Night, time_s: f64) -> String {
    night.stay.set_out.after((time_s / 600.0).round() * 600.0).to_string()
}

/// `tray 1 (bean stew)`
pub fn named(load: &Load, index: usize) -> String {
    load.trays.get(index).map_or_else(String::new, |tray| format!("{} ({})", tray.name, tray.food))
}

/// The tray that is warmest at the end of those that are not frozen through.
pub fn warmest(trays: &[Course]) -> Option<(usize, &Course)> {
    let thawed = trays.iter().enumerate().filter(|(_, course)| !course.is_frozen);
    thawed.max_by(|a, b| a.1.end_k.total_cmp(&b.1.end_k))
}

/// When the food can come out, s after the machine starts; `None` if the computation stopped before.
pub fn ready_s(way: &Way) -> Option<f64> {
    (!stopped(&way.plan)).then(|| way.plan.food_ready_s())
}
