//! The range: what is said of a cloud of draws, for a cook.

use icefront_core::ModelError;
use icefront_core::decide::trouble::Trouble;
use icefront_core::load::{EndRule, Load};
use icefront_core::machine::Dryer;
use icefront_core::ranges::{
    Cloud, Draws, Narrowing, Outcome, Point, Quantiles, Tool, draw, expected_narrowing, failures_matter, measurements,
};

use crate::blocks::{Column, Table, Words};
use crate::format::{self, in_hours};
use crate::weather::clock::{Clock, DAY_S, HOUR_S};

/// A cloud with what could be measured.
#[derive(Clone, Debug)]
pub struct Range {
    /// All draws.
    pub cloud: Cloud,
    /// The seed of their points.
    pub seed: u32,
    /// Measurements by worth, the best first.
    pub measure: Vec<Narrowing>,
}

impl Range {
    /// Draws the loads that `build` makes of the points, and measures what could be measured of `load`.
    ///
    /// # Errors
    /// As [`draw`].
    pub fn draw(
        load: &Load,
        draws: &Draws,
        build: impl Fn(&Point) -> Result<Load, ModelError> + Sync,
    ) -> Result<Self, ModelError> {
        let tools = measurements(load);
        let cloud = draw(draws, &tools, build)?;
        let measure = expected_narrowing(&cloud, &tools, |o| libm::log(o.food_ready_s));
        Ok(Self { cloud, seed: draws.seed, measure })
    }

    /// Low and high of one number, and between them what the run has that stands for all.
    pub fn with_middle(&self, of: impl Fn(&Outcome) -> f64) -> Quantiles {
        let drawn = self.cloud.quantiles(&of);
        Quantiles { typical: self.cloud.representative().map_or(drawn.typical, of), ..drawn }
    }

    /// Quantiles of the time the food is ready, s.
    pub fn ready_s(&self) -> Quantiles {
        self.cloud.quantiles(|o| o.food_ready_s)
    }

    /// The best use of each tool, the best first: not the same on the next tray.
    pub fn best_of_each_tool(&self) -> Vec<&Narrowing> {
        let mut best: Vec<&Narrowing> = Vec::new();
        for next in &self.measure {
            let kind = |worth: &Narrowing| std::mem::discriminant(&worth.measurement.tool);
            if best.iter().all(|better| kind(better) != kind(next)) {
                best.push(next);
            }
        }
        best
    }

    /// Quantiles of the electricity of the whole run, kWh.
    pub fn kilowatt_hours(&self) -> Quantiles {
        self.cloud.quantiles(|o| format::kilowatt_hours(o.energy_j.total()))
    }
}

/// When it is ready, in one sentence: the same on every screen. Times by the clock too where the start is known.
pub fn ready(range: &Range, start: Option<Clock>) -> String {
    ready_of(range.with_middle(|o| o.food_ready_s), start)
}

/// The same for a time that was found otherwise, s.
pub fn ready_of(q: Quantiles, start: Option<Clock>) -> String {
    if q.typical.is_infinite() {
        return "More likely than not it never gets dry like this.".into();
    }
    if !q.high.is_finite() {
        let most = hours(q.typical);
        return format!("Ready in about {most} if all goes well, but more than 1 time in 10 it never gets dry.");
    }
    let sentence = format!("Ready in about {} ({}, 8 times in 10).", hours(q.typical), low_to_high(q));
    let Some(start) = start else { return sentence };
    format!(
        "{sentence} Start at {start}: most likely done at {}, between {} and {}.",
        day_and_clock(start, shown_s(q.typical, f64::round)),
        day_and_clock(start, shown_s(q.low, f64::floor)),
        day_and_clock(start, shown_s(q.high, f64::ceil))
    )
}

/// `22 to 37 h`, rounded outwards.
pub fn low_to_high(q: Quantiles) -> String {
    format!("{} to {} h", whole(q.low, f64::floor), whole(q.high, f64::ceil))
}

/// Hours as they are shown, s: whole ones; tenths where whole hours would say nothing. Clocks beside them are those of these.
pub fn shown_s(s: f64, round: fn(f64) -> f64) -> f64 {
    let h = in_hours(s);
    HOUR_S * if h < 5.0 { round(10.0 * h) / 10.0 } else { round(h) }
}

fn whole(s: f64, round: fn(f64) -> f64) -> String {
    let shown_h = in_hours(shown_s(s, round));
    if in_hours(s) < 5.0 { format!("{shown_h:.1}") } else { format!("{shown_h:.0}") }
}

/// `28 h`, `2.4 h`
pub fn hours(s: f64) -> String {
    format!("{} h", whole(s, f64::round))
}

/// `18:15 the next day`: counted from the start, whichever day that is.
pub fn day_and_clock(start: Clock, after_s: f64) -> String {
    const QUARTER_S: f64 = 900.0;
    let at_s = ((start.0 + after_s) / QUARTER_S).round() * QUARTER_S;
    let clock = Clock(0.0).after(at_s);
    match (at_s / DAY_S).floor() as i64 {
        0 => format!("{clock} the same day"),
        1 => format!("{clock} the next day"),
        days => {
            let words = ["two", "three", "four", "five", "six", "seven", "eight", "nine"];
            let word = usize::try_from(days - 2).ok().and_then(|at| words.get(at));
            format!("{clock} {} days later", word.map_or_else(|| days.to_string(), ToString::to_string))
        }
    }
}

/// Ranges of the main numbers.
pub fn table(load: &Load, range: &Range) -> Table {
    let cloud = &range.cloud;
    let mut rows = Vec::new();
    let mut row = |what: String, q: Quantiles, digits: usize| {
        let cell = |x| format::or_never(x, digits);
        rows.push(vec![what, cell(q.low), cell(q.typical), cell(q.high)]);
    };
    row("food ready, h".into(), range.with_middle(|o| in_hours(o.food_ready_s)), 1);
    for (i, tray) in load.trays.iter().enumerate() {
        row(
            format!("{}, {}: dry at, h", tray.name, tray.food),
            range.with_middle(|o| in_hours(o.trays[i].dry_at_s)),
            1,
        );
    }
    if let Dryer::Cabinet(_) = load.dryer {
        row("electricity, kWh".into(), range.with_middle(|o| format::kilowatt_hours(o.energy_j.total())), 1);
        if let Some(price) = load.tariff.price_per_kwh {
            let what = format!("cost, {}", load.tariff.currency);
            row(what, range.with_middle(|o| price * format::kilowatt_hours(o.energy_j.total())), 2);
        }
    }
    if !matches!(load.end, EndRule::WettestSpot { .. }) {
        let wettest = |o: &Outcome| 100.0 * o.trays.iter().map(|t| t.wettest_wet_frac).fold(0.0, f64::max);
        row("moisture of the wettest spot, %".into(), range.with_middle(wettest), 1);
    }
    let columns = [Column::words("", 44), Column::number("low"), Column::number("typical"), Column::number("high")];
    Table::new("range", columns.to_vec(), rows)
        .about(" (1 time in 10 below low, 1 in 10 above high)")
        .notes(left_out(cloud.refused, cloud.refused + cloud.outcomes.len()))
}

/// A word on draws that failed, once they are too many to be of no account.
pub fn left_out(failed: usize, count: usize) -> Option<String> {
    failures_matter(failed, count).then(|| {
        format!("{failed} of {count} samples could not be computed and were left out, so the range may be too narrow.")
    })
}

/// Chances of trouble that are worth a word: of each trouble the trays that show it, the likeliest first.
pub fn chances(load: &Load, range: &Range) -> Option<Words> {
    let said: Vec<String> = Trouble::ALL
        .into_iter()
        .filter(|t| *t != Trouble::TooHigh && (matches!(load.dryer, Dryer::Cabinet(_)) || !of_machine(*t)))
        .filter_map(|trouble| said_of(load, &range.cloud, trouble))
        .collect();
    (!said.is_empty()).then(|| Words::new("chances", format!("{}.", said.join("; "))))
}

/// Chance from which a trouble is worth a word.
pub const WORTH_A_WORD: f64 = 0.05;

fn said_of(load: &Load, cloud: &Cloud, trouble: Trouble) -> Option<String> {
    let of_tray = |i: usize| cloud.chance(|o| trouble.is_in_tray(&o.trays[i]) == Some(true));
    let mut trays: Vec<(f64, usize)> =
        (0..load.trays.len()).map(|i| (of_tray(i), i)).filter(|(chance, _)| *chance >= WORTH_A_WORD).collect();
    trays.sort_by(|a, b| b.0.total_cmp(&a.0));
    let named = |(chance, i): &(f64, usize)| {
        let tray = &load.trays[*i];
        format!("{} ({}) {}", tray.name, tray.food, odds(*chance))
    };
    let whole = chance(load, cloud, trouble);
    match trouble {
        Trouble::NoRoomForIce | Trouble::TooHigh if whole >= WORTH_A_WORD => {
            Some(format!("{}: {}", trouble_words(trouble), odds(whole)))
        }
        _ if trays.is_empty() => None,
        _ => Some(format!("{}: {}", trouble_words(trouble), trays.iter().map(named).collect::<Vec<_>>().join(", "))),
    }
}

/// A rig has no limits of its own.
fn of_machine(trouble: Trouble) -> bool {
    matches!(trouble, Trouble::NoRoomForIce | Trouble::TooHigh)
}

/// Chance of a trouble in a cloud.
pub fn chance(load: &Load, cloud: &Cloud, trouble: Trouble) -> f64 {
    cloud.chance(|o| trouble.is_in(load, o))
}

/// A trouble as a clause.
pub fn trouble_words(trouble: Trouble) -> &'static str {
    match trouble {
        Trouble::NotFrozen => "not frozen when the pump starts",
        Trouble::Melts => "melts",
        Trouble::Collapses => "collapses",
        Trouble::IceLeft => "ice left at the end",
        Trouble::NotDry => "not dry at the end",
        Trouble::NoRoomForIce => "the condenser has no room for all the ice",
        Trouble::TooHigh => "the food is too close to the shelf above",
    }
}

/// `1 in 20`, `9 in 10`
pub fn odds(chance: f64) -> String {
    if chance > 0.99 {
        "nearly certain".into()
    } else if chance >= 0.25 {
        format!("{:.0} in 10", (chance * 10.0).round())
    } else if chance >= 0.1 {
        format!("1 in {:.0}", (1.0 / chance).round())
    } else {
        // more than a few samples can tell would be false precision
        match 5.0 * (0.2 / chance).round() {
            of if of <= 10.0 => "fewer than 1 in 10".into(),
            of => format!("1 in {of:.0}"),
        }
    }
}

/// When to start looking, when it is dry nine times in ten, and what waiting costs.
pub fn run_until(load: &Load, range: &Range) -> Words {
    let q = range.ready_s();
    let from = checking_from(q.low);
    let until = if q.high.is_finite() {
        format!("by {:.0} h it is dry 9 times in 10", in_hours(q.high).ceil())
    } else {
        "it may not get dry".into()
    };
    let watts = range.cloud.quantiles(|o| o.last_power_w).typical;
    let kwh = watts / 1_000.0;
    let price = load.tariff.price_per_kwh;
    let cost =
        price.map(|price| format!(", {}", format::money(kwh * price, &load.tariff.currency))).unwrap_or_default();
    let extra = match load.dryer {
        Dryer::Prescribed(_) => String::new(),
        Dryer::Cabinet(_) => format!(" Each extra hour costs about {kwh:.1} kWh{cost}."),
    };
    Words::new("run until", format!("{from}; {until}.{extra}"))
}

/// When to start looking: a tenth of the samples are dry by then.
fn checking_from(low_s: f64) -> String {
    if low_s.is_finite() {
        format!("start checking after {}", hours(shown_s(low_s, f64::floor)))
    } else {
        "not even one run in ten gets dry".into()
    }
}

/// The measurement that narrows the range most, and the next best.
pub fn measure_first(load: &Load, range: &Range) -> Words {
    let Some(best) = range.measure.first() else {
        return Words::new("measure first", "no common kitchen measurement would narrow this range much.");
    };
    let promise = |n: &Narrowing| format!("{} ({})", words(load, n), gain(n));
    let more: Vec<String> = range.best_of_each_tool().into_iter().skip(1).take(2).map(promise).collect();
    let more = if more.is_empty() { String::new() } else { format!(" Next best: {}.", more.join("; ")) };
    Words::new("measure first", format!("{}.{more}", promise(best)))
}

/// What a measurement gains: `narrows it by about a sixth`.
pub fn gain(narrowing: &Narrowing) -> String {
    format!("narrows it by {}", roughly(narrowing.share))
}

/// A share of the range in words: a few hundred samples tell no more.
fn roughly(share: f64) -> &'static str {
    match share {
        share if share >= 0.62 => "more than half",
        share if share >= 0.42 => "about half",
        share if share >= 0.29 => "about a third",
        share if share >= 0.21 => "about a quarter",
        share if share >= 0.13 => "about a sixth",
        _ => "a little",
    }
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
        Tool::PlugMeter { after_h } => format!("read a plug meter {after_h:.0} h after the pump has started"),
        Tool::ShelfThermometer { tray, after_h } => {
            format!("read the temperature of the shelf under {} {after_h:.0} h after the pump has started", named(tray))
        }
        Tool::Gauge { after_h } => format!("read the pressure gauge {after_h:.0} h after the pump has started"),
        Tool::ScaleInPause { tray, after_h } => format!(
            "in a short pause {after_h:.0} h after the pump has started, let the air in fully and weigh {}",
            named(tray)
        ),
    }
}

#[cfg(test)]
mod tests {
    use super::{checking_from, left_out};

    #[test]
    fn nobody_has_to_look_at_infinity() {
        assert_eq!(checking_from(7.9 * 3_600.0), "start checking after 7 h");
        assert_eq!(checking_from(f64::INFINITY), "not even one run in ten gets dry");
    }

    #[test]
    fn failed_draws_are_mentioned_from_one_in_a_hundred_on() {
        assert_eq!(left_out(2, 256), None);
        let words = left_out(3, 256).unwrap_or_default();
        assert!(words.starts_with("3 of 256 samples could not be computed"), "{words}");
    }
}
