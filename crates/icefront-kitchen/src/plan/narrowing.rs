//! What each measurement is worth, as a chart holds it.

use icefront_core::load::Load;
use icefront_core::ranges::Narrowing;
use icefront_plot::NarrowingBar;

use crate::format::{capital, in_hours};
use crate::range::{self, Range};

/// More bars say no more.
const MOST: usize = 6;

/// The measurements that narrow the range most, one for each tool; none where the range has no end.
pub fn narrowing(load: &Load, range: &Range) -> Vec<NarrowingBar> {
    let now = range.with_middle(|o| o.food_ready_s);
    if !now.high.is_finite() {
        return Vec::new();
    }
    let bar = |worth: &Narrowing| {
        // the middle that will be found is not known: the range shrinks about the one of now
        let kept = 1.0 - worth.share;
        let after = |end_s: f64| now.typical + kept * (end_s - now.typical);
        NarrowingBar {
            measurement: range::words(load, worth),
            now_h: (in_hours(now.low), in_hours(now.typical), in_hours(now.high)),
            after_h: (in_hours(after(now.low)), in_hours(now.typical), in_hours(after(now.high))),
            gain: range::gain(worth),
        }
    };
    range.best_of_each_tool().into_iter().take(MOST).map(bar).collect()
}

/// The best of them, in a sentence without its stop.
pub fn best(load: &Load, range: &Range) -> String {
    let best = range.measure.first();
    best.map_or_else(String::new, |best| capital(&format!("{}: {}", range::words(load, best), range::gain(best))))
}
