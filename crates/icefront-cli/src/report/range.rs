//! The range: what is said of a cloud of draws, for a cook.

use icefront_core::load::{EndRule, Load};
use icefront_core::machine::Dryer;
use icefront_core::ranges::{Cloud, Measurement, Narrowing, Outcome, Quantiles, Tool, expected_narrowing};
use icefront_core::result::Flag;
use icefront_core::units::Duration;

use super::wrap;
use super::wrap::fit;
use crate::show;

/// A cloud with what could be measured.
#[derive(Clone, Debug)]
pub struct Range {
    /// All draws.
    pub cloud: Cloud,
    /// Measurements by worth, the best first.
    pub measure: Vec<Narrowing>,
}

impl Range {
    /// Ranks the measurements for the time the food is ready.
    pub fn new(cloud: Cloud, measurements: &[Measurement]) -> Self {
        let measure = expected_narrowing(&cloud, measurements, ready);
        Self { cloud, measure }
    }

    /// Quantiles of the time the food is ready, s.
    pub fn ready_s(&self) -> Quantiles {
        self.cloud.quantiles(ready)
    }
}

fn ready(o: &Outcome) -> f64 {
    o.food_ready_s
}

/// Heaters held back by pressure for most of primary drying.
pub fn overloaded(o: &Outcome) -> bool {
    o.limits[0] > 0.5
}

/// More ice than the condenser has room for.
pub fn no_room(o: &Outcome) -> bool {
    o.limits[1] > 1.0
}

fn hours(seconds: f64) -> f64 {
    Duration::from_seconds(seconds).hours()
}

/// The answer in one sentence.
pub fn sentence(range: &Range) -> String {
    let q = range.ready_s();
    if q.typical.is_infinite() {
        return "More likely than not it never gets dry like this.".into();
    }
    let middle = hours(q.typical).round();
    match (q.low.is_finite(), q.high.is_finite()) {
        (true, true) => format!(
            "Count on {:.0} to {:.0} hours, about {middle:.0} most likely: eight times in ten it is ready within that.",
            hours(q.low).floor(),
            hours(q.high).ceil()
        ),
        _ => format!("About {middle:.0} hours if all goes well, but more than one time in ten it never gets dry."),
    }
}

/// Ranges, chances, what to measure and when to look.
pub fn text(load: &Load, range: &Range) -> String {
    let mut parts = vec![table(load, range)];
    parts.extend(chances(load, range));
    parts.push(run_until(load, range));
    parts.push(measure_first(load, range));
    parts.join("\n")
}

fn table(load: &Load, range: &Range) -> String {
    let cloud = &range.cloud;
    let mut table = "RANGE (one in ten below low, one above high)   low  middle    high\n".to_string();
    let mut row = |what: &str, q: Quantiles, digits: usize| {
        let cell = |x: f64| if x.is_finite() { format!("{x:.digits$}") } else { "never".into() };
        table.push_str(&format!("  {} {:>7} {:>7} {:>7}\n", fit(what, 40), cell(q.low), cell(q.typical), cell(q.high)));
    };
    row("food ready, h", cloud.quantiles(|o| hours(o.food_ready_s)), 1);
    for (i, tray) in load.trays.iter().enumerate() {
        let what = format!("{}, {}: dry at, h", tray.name, tray.food);
        row(&what, cloud.quantiles(|o| hours(o.trays[i][1])), 1);
    }
    if let Dryer::Cabinet(_) = load.dryer {
        row("electricity, kWh", cloud.quantiles(|o| show::kilowatt_hours(o.energy_j.total())), 1);
        if let Some(price) = load.tariff.price_per_kwh {
            let what = format!("cost, {}", load.tariff.currency);
            row(&what, cloud.quantiles(|o| price * show::kilowatt_hours(o.energy_j.total())), 2);
        }
    }
    if !matches!(load.end, EndRule::WettestSpot { .. }) {
        let wettest = |o: &Outcome| 100.0 * o.trays.iter().map(|t| t[3]).fold(0.0, f64::max);
        row("moisture of the wettest spot, %", cloud.quantiles(wettest), 1);
    }
    let refused = match cloud.refused {
        0 => String::new(),
        n => wrap("  ", &format!("{n} draws did not fit together and were left out.")),
    };
    table + &refused
}

fn chances(load: &Load, range: &Range) -> Option<String> {
    let cloud = &range.cloud;
    let any = |flag: Flag| cloud.chance(|o| o.flags.iter().any(|f| f.contains(&flag)));
    let mut said = Vec::new();
    for (flag, words) in [
        (Flag::NotFrozen, "a tray is not frozen when the pump starts"),
        (Flag::Melts, "a tray melts"),
        (Flag::Collapses, "a tray without cell walls collapses"),
        (Flag::IceLeft, "ice is left at the end"),
        (Flag::NotDry, "a tray is not dry at the end"),
    ] {
        said.push((any(flag), words));
    }
    if let Dryer::Cabinet(_) = load.dryer {
        said.push((cloud.chance(overloaded), "the load is too much for the machine for half the time or more"));
        said.push((cloud.chance(no_room), "the condenser has no room for all the ice"));
    }
    let said: Vec<String> = said
        .into_iter()
        .filter(|(chance, _)| *chance >= 0.01)
        .map(|(chance, words)| format!("{words}: {}", odds(chance)))
        .collect();
    (!said.is_empty()).then(|| wrap("", &format!("CHANCE THAT {}.", said.join("; "))))
}

/// `1 in 20`, `9 in 10`
fn odds(chance: f64) -> String {
    if chance > 0.99 {
        "nearly certain".into()
    } else if chance >= 0.1 {
        format!("{:.0} in 10", (chance * 10.0).round().max(1.0))
    } else {
        format!("1 in {:.0}", (1.0 / chance).round())
    }
}

/// When to start looking, when it is dry nine times in ten, and what waiting costs.
fn run_until(load: &Load, range: &Range) -> String {
    let q = range.ready_s();
    let until = if q.high.is_finite() {
        format!("by {:.0} h it is dry nine times in ten", hours(q.high).ceil())
    } else {
        "it cannot be promised to get dry".into()
    };
    let watts = range.cloud.quantiles(|o| o.last_power_w).typical;
    let kwh = watts / 1_000.0;
    let extra = match (load.tariff.price_per_kwh, &load.dryer) {
        (_, Dryer::Prescribed(_)) => String::new(),
        (Some(price), _) => {
            format!(" Each extra hour costs about {kwh:.1} kWh, {:.2} {}.", kwh * price, load.tariff.currency)
        }
        (None, _) => format!(" Each extra hour costs about {kwh:.1} kWh."),
    };
    wrap("", &format!("RUN UNTIL: start checking at {:.0} h; {until}.{extra}", hours(q.low).floor()))
}

fn measure_first(load: &Load, range: &Range) -> String {
    let Some(best) = range.measure.first() else {
        return wrap("", "MEASURE FIRST: none of the usual kitchen measurements would narrow this range much.");
    };
    let promise = |n: &Narrowing| format!("{} (narrows it by about {:.0} %)", words(load, n), 100.0 * n.share);
    // other ways to measure, not the same on the next tray
    let mut kinds = vec![std::mem::discriminant(&best.measurement.tool)];
    let mut others = Vec::new();
    for next in &range.measure {
        let kind = std::mem::discriminant(&next.measurement.tool);
        if !kinds.contains(&kind) {
            kinds.push(kind);
            others.push(next);
        }
    }
    let more: Vec<String> = others.into_iter().take(2).map(promise).collect();
    let more = if more.is_empty() { String::new() } else { format!(" Next best: {}.", more.join("; ")) };
    wrap("", &format!("MEASURE FIRST: {}.{more}", promise(best)))
}

/// Whether the door must be opened for it.
pub fn needs_opening(narrowing: &Narrowing) -> bool {
    matches!(narrowing.measurement.tool, Tool::ScaleInPause { .. })
}

/// A measurement in words.
pub fn words(load: &Load, narrowing: &Narrowing) -> String {
    let named = |tray: usize| load.trays.get(tray).map_or(String::new(), |t| format!("{} ({})", t.name, t.food));
    match narrowing.measurement.tool {
        Tool::ScaleBefore { tray } => format!("weigh {} on a kitchen scale before loading", named(tray)),
        Tool::Ruler { tray } => format!("measure the depth of {} with a ruler", named(tray)),
        Tool::RoomThermometer => "read a thermometer in the room".into(),
        Tool::ClockAtFrozen => "note the time when freezing is over".into(),
        Tool::PlugMeter { after_h } => {
            format!("read a plug meter {after_h:.0} h after the pump has started")
        }
        Tool::ShelfThermometer { tray, after_h } => {
            format!("read the shelf under {} {after_h:.0} h after the pump has started", named(tray))
        }
        Tool::Gauge { after_h } => format!("read the pressure gauge {after_h:.0} h after the pump has started"),
        Tool::ScaleInPause { tray, after_h } => format!(
            "in a short pause {after_h:.0} h after the pump has started, let the air in fully and weigh {}",
            named(tray)
        ),
    }
}
