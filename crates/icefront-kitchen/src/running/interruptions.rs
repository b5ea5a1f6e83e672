//! What an interruption did to the food, and what to do now.

use icefront_core::load::Load;
use icefront_core::outage::{Warmed, warmed};
use icefront_core::result::BatchResult;

use crate::blocks::List;
use crate::readings::{Interruption, Stop};
use crate::{Readings, format};

/// Food that got warmer than this without melting is still said to have warmed, K.
const NOTICED_K: f64 = 2.0;
/// With less melted than this the food is still hard. From memory.
const MELTED: f64 = 0.25;

/// A sentence for each interruption, and what to do.
pub fn interruptions(load: &Load, typical: &BatchResult, readings: &Readings) -> Option<List> {
    let mut stood_s = 0.0;
    let mut items = Vec::new();
    for one in &readings.interruptions {
        let all = warmed(load, typical, one.from_s - stood_s, one.for_s, one.stop.lets_air_in());
        items.push(sentence(load, one, &all));
        stood_s += one.for_s;
    }
    if readings.interruptions.iter().any(|i| !i.over) {
        items.push(STILL.trim_end().into());
    }
    (!items.is_empty()).then_some(List { label: "interruptions", items })
}

/// What to do while it still stands.
const STILL: &str = include_str!("still_stopped.txt");

fn sentence(load: &Load, one: &Interruption, all: &[Warmed]) -> String {
    let what = match one.stop {
        Stop::Power => "The power was off",
        Stop::Door => "The door was open",
        Stop::TrayOut => "A tray was out",
        Stop::Pump => "The pump was off",
        Stop::Weighing => "The run was paused to weigh",
    };
    let long = if one.for_s < 5_400.0 { format!("{:.0} min", one.for_s / 60.0) } else { format::hours(one.for_s) };
    let at = format::hours(one.from_s);
    let after = if one.over { "counted in the times below" } else { "not over at the last line" };
    let start = format!("{what} for {long} from {at} on ({after}).");
    let worst = all.iter().zip(&load.trays).filter(|(w, _)| w.had_ice);
    let Some((worst, tray)) =
        worst.max_by(|a, b| a.0.melted_frac.total_cmp(&b.0.melted_frac).then(a.0.to_k.total_cmp(&b.0.to_k)))
    else {
        return format!(
            "{start} No ice was left, so nothing could thaw; food that is nearly dry takes up moisture from air."
        );
    };
    let degrees = |k: f64| load.units.whole_degrees(k);
    if worst.melted_frac >= MELTED {
        let share = 100.0 * worst.melted_frac;
        return format!(
            "{start} Up to {share:.0} % of the ice left in {}, {} may have thawed. Look at it: food that is soft or wet has \
             thawed. Treat it as thawed food (cook and eat it, or discard it); don't dry it further.",
            tray.name, tray.food
        );
    }
    if worst.to_k - worst.from_k >= NOTICED_K {
        return format!(
            "{start} The food stayed frozen: {}, {} warmed from {} to at most {}. Go on drying.",
            tray.name,
            tray.food,
            degrees(worst.from_k),
            degrees(worst.to_k)
        );
    }
    format!("{start} The food stayed frozen.")
}
