//! The two sentences that begin every answer about a plan: when the food is ready, and what that takes. Screens, the page, the
//! report and the titles of charts all take them from here.

use icefront_core::machine::Dryer;
use icefront_plot::Headline;

use crate::format;
use crate::plan::Run;
use crate::plan::outcome::stopped;
use crate::range::{self, Range};
use crate::weather::clock::Clock;

/// `Ready in about 28 h (22 to 37 h, 8 times in 10).`, by the clock where the start is known.
pub fn ready(run: &Run, start: Option<Clock>) -> String {
    let Some(range) = &run.range else {
        let ready = range::hours(run.result.food_ready_s());
        return match stopped(&run.result) {
            true => format!("Not ready after {ready}, where the computation stops."),
            false => format!("Ready in about {ready} with typical inputs; no range was computed."),
        };
    };
    range::ready(range, start)
}

/// `Electricity about 24.3 kWh (20 to 30): 7.05 EUR (5.80 to 8.70); 0.78 a serving.`; a rig has none.
pub fn electricity(run: &Run) -> Option<String> {
    let (load, result) = (&run.load, &run.result);
    let Dryer::Cabinet(_) = load.dryer else { return None };
    let kwh = format::kilowatt_hours(result.energy_j().total());
    let range = run.range.as_ref().map(Range::kilowatt_hours).filter(|q| q.high.is_finite());
    let span = range.map_or(String::new(), |q| format!(" ({:.0} to {:.0})", q.low, q.high));
    let cost = load.tariff.price_per_kwh.map(|price| {
        let span = range.map_or(String::new(), |q| format!(" ({:.2} to {:.2})", price * q.low, price * q.high));
        let each = load.servings.map(|n| format!("; {:.2} a serving", price * kwh / n)).unwrap_or_default();
        let rate = match load.tariff.currency.as_str() {
            "" => format!(" at {} per kWh", format::digits(price)),
            _ => String::new(),
        };
        format!(": {}{span}{rate}{each}", format::money(price * kwh, &load.tariff.currency))
    });
    Some(format!("Electricity about {kwh:.1} kWh{span}{}.", cost.unwrap_or_default()))
}

/// Both for the charts of a run.
pub fn of_charts(run: &Run) -> Headline {
    let title = |sentence: String| sentence.trim_end_matches('.').to_string();
    Headline {
        ready: title(ready(run, None)),
        electricity: title(electricity(run).unwrap_or_default()),
        units: run.load.units,
    }
}
