//! The answer in one glance: when it is ready, which tray is last and why, what it costs, whether the load is right, what to
//! watch out for, when to check, and where to look further. At most [`MOST_LINES`] lines of 80 columns.

use icefront_core::machine::Dryer;
use icefront_core::ranges::Quantiles;
use icefront_core::result::Flag;

use crate::blocks::{Part, Words, in_order};
use crate::format::{self, in_hours};
use crate::plan::last::{Trait, why_last};
use crate::plan::outcome::stopped;
use crate::plan::{Run, flags};
use crate::range::{self, Range};
use crate::weather::clock::{Clock, DAY_S};
use crate::{Look, Sheet};

/// Most lines of the screen.
pub const MOST_LINES: usize = 18;
/// Most warnings on it.
const MOST_WARNINGS: usize = 3;
/// Reasons for the last tray on it.
const MOST_REASONS: usize = 2;
/// A smaller load must save this much to be worth a word, h.
const WORTH_SAVING_H: f64 = 0.5;

/// What the screen is made of.
pub struct Screen<'a> {
    /// What the load was read from, as a command names it.
    pub source: &'a str,
    /// The sheet.
    pub sheet: &'a Sheet,
    /// The run.
    pub run: &'a Run,
    /// When it starts, where that is known.
    pub start: Option<Clock>,
    /// What was taken for granted.
    pub assumed: &'a [String],
}

impl Screen<'_> {
    /// The screen as text.
    pub fn text(&self, look: Look) -> String {
        let warnings = self.warnings();
        let all: Vec<Words> =
            [Some(Words::new("", self.ready())), self.last(), self.money(), Some(Words::new("", self.verdict()))]
                .into_iter()
                .flatten()
                .chain(warnings)
                .chain([self.check(), self.read_first()].into_iter().flatten())
                .chain(
                    (!self.assumed.is_empty()).then(|| Words::new("assumed", format!("{}.", self.assumed.join("; ")))),
                )
                .chain([Words::new("more", self.more())])
                .collect();
        // paragraphs without a blank line between them: one glance
        let parts: Vec<&dyn Part> = all.iter().map(|words| words as &dyn Part).collect();
        match look {
            Look::Bare | Look::Colour => parts.iter().map(|part| in_order(&[*part], look)).collect::<Vec<_>>().concat(),
            _ => in_order(&parts, look),
        }
    }

    /// `Ready in about 28 h (22 to 37 h, 8 times in 10).`, by the clock where the start is known.
    fn ready(&self) -> String {
        let result = &self.run.result;
        let Some(range) = &self.run.range else {
            let ready = hours(result.food_ready_s());
            return match stopped(result) {
                true => format!("Not ready after {ready}, where the computation stops."),
                false => format!("Ready in about {ready} with typical inputs; no range was computed."),
            };
        };
        let q = range.with_middle(|o| o.food_ready_s);
        ready_sentence(q, self.start)
    }

    fn last(&self) -> Option<Words> {
        let (load, result) = (&self.run.load, &self.run.result);
        let tray = result.last_tray().filter(|_| result.trays.len() > 1)?;
        let why = why_last(load, result)?;
        let reasons: Vec<String> = why
            .traits
            .iter()
            .take(MOST_REASONS)
            .map(|(what, cost_s)| format!("{} ({})", trait_words(*what), hours(*cost_s)))
            .collect();
        let why =
            if reasons.is_empty() { String::new() } else { format!(", mainly because of {}", reasons.join(" and ")) };
        Some(Words::new("", format!("Last: {}, {}{why}.", tray.name, tray.food)))
    }

    fn money(&self) -> Option<Words> {
        let (load, result) = (&self.run.load, &self.run.result);
        let Dryer::Cabinet(_) = load.dryer else { return None };
        let kwh = format::kilowatt_hours(result.energy_j().total());
        let range = self.run.range.as_ref().map(Range::kilowatt_hours).filter(|q| q.high.is_finite());
        let span = range.map_or(String::new(), |q| format!(" ({:.0} to {:.0})", q.low, q.high));
        let cost = load.tariff.price_per_kwh.map(|price| {
            let span = range.map_or(String::new(), |q| format!(" ({:.2} to {:.2})", price * q.low, price * q.high));
            let each = load.servings.map(|n| format!("; {:.2} a serving", price * kwh / n)).unwrap_or_default();
            format!(": {:.2} {}{span}{each}", price * kwh, load.tariff.currency)
        });
        Some(Words::new("", format!("Electricity about {kwh:.1} kWh{span}{}.", cost.unwrap_or_default())))
    }

    /// The verdict on the load, the reason and the remedy.
    fn verdict(&self) -> String {
        let load = &self.run.load;
        let Dryer::Cabinet(_) = load.dryer else {
            return "Drying conditions are given, so there is no machine to judge.".into();
        };
        let Some(range) = &self.run.range else { return "Without a range there is no verdict on the load.".into() };
        let verdict = format!("This load is {}", range::verdict(load, range).text);
        let remedy = self.remedy().map(|words| format!(" {words}")).unwrap_or_default();
        verdict + &remedy
    }

    /// What the last tray costs the others.
    fn remedy(&self) -> Option<String> {
        let (load, result) = (&self.run.load, &self.run.result);
        let name = &result.last_tray().filter(|_| load.trays.len() > 1)?.name;
        let mut without = load.clone();
        let place = without.trays.iter().position(|t| t.name == *name)?;
        let food = without.trays.remove(place).food;
        let ready_s = icefront_core::plan(&without).ok()?.food_ready_s();
        let saved_h = in_hours(result.food_ready_s() - ready_s);
        (saved_h >= WORTH_SAVING_H)
            .then(|| format!("Leaving out {name} ({food}) would save {}.", hours(3_600.0 * saved_h)))
    }

    /// The most pressing findings, each with its trays and remedy.
    fn warnings(&self) -> Vec<Words> {
        let trays = &self.run.result.trays;
        let shown = |flag: Flag| {
            let named: Vec<String> =
                trays.iter().filter(|t| t.flags.contains(&flag)).map(|t| format!("{}, {}", t.name, t.food)).collect();
            (!named.is_empty()).then(|| format!("{}: {}", format::capital(&named.join("; ")), flags::advice(flag)))
        };
        let all: Vec<String> = flags::ALL.into_iter().filter_map(shown).collect();
        all.into_iter().take(MOST_WARNINGS).map(|text| Words::new("watch", text)).collect()
    }

    fn check(&self) -> Option<Words> {
        let range = self.run.range.as_ref()?;
        let q = range.ready_s();
        let from = if q.low.is_finite() {
            format!("Start checking at {:.0} h", in_hours(q.low).floor())
        } else {
            return None;
        };
        let from = match self.start {
            Some(start) => format!("{from} ({})", day_and_clock(start, q.low)),
            None => from,
        };
        Some(Words::new("", format!("{from}: the thickest spot of every tray must be dry before you pack.")))
    }

    fn read_first(&self) -> Option<Words> {
        let range = self.run.range.as_ref()?;
        let best = range.measure.first()?;
        Some(Words::new(
            "",
            format!("To narrow this range, {} ({}).", range::words(&self.run.load, best), range::gain(best)),
        ))
    }

    fn more(&self) -> String {
        let taken = if self.sheet.taken.is_empty() { "" } else { ", and which foods were taken" };
        format!("icefront plan {} --details (tables{taken}); explain; compare; report", self.source)
    }
}

/// When it is ready: the same sentence on every screen.
pub fn ready_sentence(q: Quantiles, start: Option<Clock>) -> String {
    if q.typical.is_infinite() {
        return "More likely than not it never gets dry like this.".into();
    }
    if !q.high.is_finite() {
        return format!(
            "Ready in about {} if all goes well, but more than 1 time in 10 it never gets dry.",
            hours(q.typical)
        );
    }
    let range = format!(
        "Ready in about {} ({} to {}, 8 times in 10).",
        hours(q.typical),
        number(q.low, f64::floor),
        hours_up(q.high)
    );
    let Some(start) = start else { return range };
    format!(
        "{range} Start at {start}: most likely done {}, between {} and {}.",
        day_and_clock(start, q.typical),
        day_and_clock(start, q.low),
        day_and_clock(start, q.high)
    )
}

/// Whole hours; tenths where whole hours would say nothing.
fn number(s: f64, round: fn(f64) -> f64) -> String {
    let h = in_hours(s);
    if h < 5.0 { format!("{:.1}", round(10.0 * h) / 10.0) } else { format!("{:.0}", round(h)) }
}

/// `28 h`
pub fn hours(s: f64) -> String {
    format!("{} h", number(s, f64::round))
}

fn hours_up(s: f64) -> String {
    format!("{} h", number(s, f64::ceil))
}

/// `tomorrow at 18:15`
pub fn day_and_clock(start: Clock, after_s: f64) -> String {
    const QUARTER_S: f64 = 900.0;
    let at_s = ((start.0 + after_s) / QUARTER_S).round() * QUARTER_S;
    let clock = Clock(0.0).after(at_s);
    match (at_s / DAY_S).floor() as i64 {
        0 => format!("today at {clock}"),
        1 => format!("tomorrow at {clock}"),
        days => format!("in {days} days at {clock}"),
    }
}

/// What makes a tray slow, in a word.
pub fn trait_words(what: Trait) -> &'static str {
    match what {
        Trait::Shape => "its depth or piece size",
        Trait::Food => "the food",
        Trait::Place => "its place in the cabinet",
        Trait::Contact => "how it lies and was frozen",
    }
}
