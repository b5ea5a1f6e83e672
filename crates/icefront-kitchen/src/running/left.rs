//! How much longer, in words and by the clock.

use icefront_core::ranges::Quantiles;

use crate::weather::clock::{Clock, DAY_S};
use crate::{Readings, format};

/// Less than this is now, s.
const NOW_S: f64 = 900.0;

/// `now`, `40 min`, `5.2 h`
pub fn left(s: f64) -> String {
    match s {
        s if s < NOW_S => "now".into(),
        s if s < 5_400.0 => format!("{:.0} min", (s / 300.0).round() * 5.0),
        s => format::hours(s),
    }
}

/// When something happens that takes so much longer after the last reading, in a sentence; and by the clock where the start is
/// known. Times in s from the start, without interruptions.
pub fn sentence(what: &str, at: Quantiles, now_s: f64, readings: &Readings) -> String {
    let after = at.map(|s| (s - now_s).max(0.0));
    if after.high < NOW_S {
        return format!("{what}: most likely now.");
    }
    let clock = by_clock(at, readings).map_or_else(String::new, |clock| format!(": {clock}"));
    if after.typical < NOW_S {
        return format!(
            "{what}: most likely now, and 9 times in 10 within {} of the last reading{clock}.",
            left(after.high)
        );
    }
    let (low, middle, high) = (left(after.low), left(after.typical), left(after.high));
    format!("{what} in about {middle} after the last reading ({low} to {high}, 8 times in 10){clock}.")
}

/// `about 04:30, between 02:20 and 07:10`
fn by_clock(at: Quantiles, readings: &Readings) -> Option<String> {
    let started_s = readings.started_s?;
    let shown = |s: f64| {
        let quarter = ((started_s + readings.stood_s() + s) / NOW_S).round() * NOW_S;
        Clock(0.0).after(quarter.rem_euclid(DAY_S)).to_string()
    };
    let far = at.high - at.low > 0.5 * DAY_S;
    // a clock says little where half a day lies between the ends
    Some(if far {
        format!("about {}", shown(at.typical))
    } else {
        format!("about {}, between {} and {}", shown(at.typical), shown(at.low), shown(at.high))
    })
}
