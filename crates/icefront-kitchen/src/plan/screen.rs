//! The answer in one glance: when it is ready, which tray is last and why, what it costs, whether the load is right, what to
//! watch out for, when to check, and where to look further. At most [`MOST_LINES`] lines of 80 columns.

use icefront_core::result::TrayResult;
use icefront_core::shape::Shape;
use icefront_core::units::UnitSystem;

use crate::blocks::{Part, Words, in_order};
use crate::format;
use crate::plan::flags::Finding;
use crate::plan::last::{Trait, why_last};
use crate::plan::vague::give_or_take_s;
use crate::plan::verdict::{self, Judgement};
use crate::plan::{Run, flags, headline};
use crate::range::{self, day_and_clock, hours};
use crate::weather::clock::Clock;
use crate::{Look, Sheet};

/// Most lines of the screen.
pub const MOST_LINES: usize = 18;
/// Most warnings on it.
const MOST_WARNINGS: usize = 3;
/// Next steps that always stand on it.
const MOST_STEPS: usize = 1;
/// Reasons for the last tray on it.
const MOST_REASONS: usize = 2;
/// Half a range that comes of not knowing the food must be this wide to be worth a word, and what a tray costs as long, s.
const WORTH_SAYING_S: f64 = 900.0;
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
        // these run the model again, so they are made once, however often the screen is shortened
        let verdict = self.verdict().map(|words| Words::new("", words));
        let ready = Words::new("", headline::ready(self.run, self.start));
        let money = headline::electricity(self.run).map(|sentence| Words::new("", sentence + self.price_hint()));
        let answer = [Some(ready), self.last(), money, verdict];
        let answer: Vec<Words> = answer.into_iter().flatten().collect();
        let mut next: Vec<Words> = [self.raw(), self.check(), self.to_narrow()].into_iter().flatten().collect();
        let assumed: Vec<String> = self.assumed.iter().cloned().chain(self.deep()).collect();
        let assumed = (!assumed.is_empty()).then(|| Words::new("assumed", format!("{}.", assumed.join("; "))));
        let mut end: Vec<Words> = assumed.into_iter().chain([Words::new("more", self.more(true))]).collect();
        let mut is_whole = true;
        let mut warnings = self.warnings();
        let mut foods = self.foods();
        loop {
            let foods_line: Vec<Words> = foods_line(&foods).into_iter().collect();
            let text = shown(&[&answer, &warnings, &next, &foods_line, &end], look);
            if text.lines().count() <= MOST_LINES || !matches!(look, Look::Bare | Look::Colour) {
                return text;
            }
            // where the glance would get too long, foods that are sure go first, then the repeated command, then other foods,
            // those that leave most doubt last, then warnings, and at last what to read first
            if foods.last().is_some_and(|food| food.sure) {
                foods.pop();
            } else if is_whole && end.pop().is_some() {
                end.push(Words::new("more", self.more(false)));
                is_whole = false;
            } else if foods.len() > 1 {
                foods.pop();
            } else if warnings.len() > 1 {
                warnings.pop();
            } else if next.len() > MOST_STEPS {
                next.pop();
            } else {
                return text;
            }
        }
    }

    /// How trays in words get a price.
    fn price_hint(&self) -> &'static str {
        let in_words = self.run.load.tariff.price_per_kwh.is_none() && self.source.starts_with(['"', '\'']);
        match self.run.load.units {
            _ if !in_words => "",
            UnitSystem::Us => " For its cost, add a price such as \"16 cents/kWh\".",
            UnitSystem::Metric => " For its cost, add a price such as \"0.30 EUR/kWh\".",
        }
    }

    /// Which tray is last, and why.
    pub fn last(&self) -> Option<Words> {
        let (load, result) = (&self.run.load, &self.run.result);
        let tray = result.last_tray().filter(|_| result.trays.len() > 1)?;
        let why = why_last(load, result)?;
        let reasons: Vec<String> = why
            .traits
            .iter()
            .filter(|(_, cost_s)| *cost_s >= WORTH_SAYING_S)
            .take(MOST_REASONS)
            .map(|(what, cost_s)| format!("{} ({})", trait_words(*what), hours(*cost_s)))
            .collect();
        let why = if reasons.is_empty() { String::new() } else { format!(", slowed by {}", format::and(&reasons)) };
        Some(Words::new("", format!("Last: {}, {}{why}.", tray.name, tray.food)))
    }

    /// The verdict on the load, the reason and the remedy.
    pub fn verdict(&self) -> Option<String> {
        verdict::sentence(self.sheet, self.run)
    }

    /// The most pressing findings, each with its trays and remedy, without the one that the verdict names. A tray is named
    /// once for its texture.
    fn warnings(&self) -> Vec<Words> {
        let trays = &self.run.result.trays;
        let judgement = self.run.range.as_ref().map(|range| Judgement::of(&self.run.load, range));
        let must_change = judgement.is_some_and(Judgement::must_change);
        let shown = |finding: Finding| {
            let named: Vec<&TrayResult> = finding.places.iter().filter_map(|place| trays.get(*place)).collect();
            // what to change is said once, by the verdict
            let words = if must_change { finding.without_remedy() } else { finding.words() };
            format!("{}: {words}", format::capital(&flags::named_by_food(&named)))
        };
        let is_said = |finding: &Finding| judgement.is_some_and(|judgement| judgement.names(finding));
        let all = flags::pressing(self.run).into_iter().filter(|finding| !is_said(finding)).map(shown);
        all.take(MOST_WARNINGS).map(|text| Words::new("watch", text)).collect()
    }

    /// Foods whose name in the table differs from the cook's, those that leave doubt first.
    fn foods(&self) -> Vec<TakenFood> {
        let taken = self.sheet.taken.iter().map(|(name, found)| {
            let short: Vec<&str> = found.description.split(", ").take(SHORT_NAME).collect();
            let others = (found.others > 0).then(|| {
                let others = format::count(found.others, "other");
                let fit = if found.others == 1 { "fits" } else { "fit" };
                let wide = self.give_or_take(name).map_or(String::new(), |h| format!(", give or take {h}"));
                format!("{others} {fit} as well{wide}")
            });
            let raw = found.as_cooked.then(|| format!("cooked; write `raw {name}` if it is raw"));
            let doubt: Vec<String> = raw.into_iter().chain(others).collect();
            let doubt = (!doubt.is_empty()).then(|| doubt.join("; "));
            TakenFood { words: format!("{name} = {}", short.join(", ")), sure: found.is_sure(), doubt }
        });
        let mut all: Vec<TakenFood> = taken.collect();
        all.sort_by_key(|food| food.sure);
        all
    }

    /// What not knowing which food is meant does to the time of its tray, the most where it is on several.
    fn give_or_take(&self, food: &str) -> Option<String> {
        let trays = self.run.load.trays.iter().enumerate().filter(|(_, tray)| tray.food == food);
        let widest = trays.filter_map(|(i, _)| give_or_take_s(self.sheet, self.run, i)).max_by(f64::total_cmp)?;
        (widest >= WORTH_SAYING_S).then(|| hours(widest))
    }

    /// Food whose pieces lie on each other, which an amount may mean.
    fn deep(&self) -> Vec<String> {
        let mut said: Vec<String> = Vec::new();
        for tray in &self.sheet.load.trays {
            if let Shape::Pieces { layers, .. } = tray.shape
                && layers > 1
            {
                let words = format!("pieces of {} lie {layers} deep", tray.food);
                if !said.contains(&words) {
                    said.push(words);
                }
            }
        }
        said
    }

    /// Which trays are raw, and what that calls for.
    fn raw(&self) -> Option<Words> {
        let trays = self.run.load.trays.iter().zip(&self.run.dishes);
        let raw: Vec<&str> = trays.filter(|(_, dish)| dish.raw).map(|(tray, _)| tray.name.as_str()).collect();
        let (are, it) = if raw.len() == 1 { ("is", "it") } else { ("are", "them") };
        let lowest =
            if raw.len() < self.run.load.trays.len() { format!("put {it} lowest, and ") } else { String::new() };
        let words = format!("{} {are} raw: {lowest}cook {it} through before eating.", flags::together(&raw));
        (!raw.is_empty()).then(|| Words::new("", format::capital(&words)))
    }

    /// When to start looking, where that is known.
    pub fn check(&self) -> Option<Words> {
        let range = self.run.range.as_ref()?;
        if Judgement::of(&self.run.load, range).must_change() {
            return Some(Words::new("", "Change the load before you start it."));
        }
        let low_s = Some(range.ready_s().low).filter(|low_s| low_s.is_finite())?;
        let low_s = range::shown_s(low_s, f64::floor);
        let from = format!("Start checking after {}", hours(low_s));
        let from = match self.start {
            Some(start) => format!("{from} ({})", day_and_clock(start, low_s)),
            None => from,
        };
        Some(Words::new("", format!("{from}. Pack only when the thickest spot of every tray is dry.")))
    }

    /// What to measure to narrow the range.
    pub fn read_first(&self) -> Option<Words> {
        let range = self.run.range.as_ref()?;
        let best = range.measure.first()?;
        Some(Words::new(
            "",
            format!("To narrow this range, {} ({}).", range::words(&self.run.load, best), range::gain(best)),
        ))
    }

    /// The same on the first screen: not where the load is to be changed first.
    fn to_narrow(&self) -> Option<Words> {
        let judgement = self.run.range.as_ref().map(|range| Judgement::of(&self.run.load, range));
        self.read_first().filter(|_| !judgement.is_some_and(Judgement::must_change))
    }

    fn more(&self, whole: bool) -> String {
        let details = if whole { format!("icefront plan {} --details", self.source) } else { "add --details".into() };
        format!("{details}; explain and report take the same trays.")
    }
}

/// Paragraphs in their order, on a terminal without a blank line between them: one glance.
fn shown(parts: &[&[Words]], look: Look) -> String {
    let parts: Vec<&dyn Part> = parts.iter().flat_map(|words| words.iter()).map(|words| words as &dyn Part).collect();
    match look {
        Look::Bare | Look::Colour => parts.iter().map(|part| in_order(&[*part], look)).collect(),
        _ => in_order(&parts, look),
    }
}

/// A food as it was taken from the table.
struct TakenFood {
    words: String,
    /// Whether nothing is left to say about the name.
    sure: bool,
    /// How many others fit the name, and what that does to the time.
    doubt: Option<String>,
}

/// Parts of a name of the table that are shown.
const SHORT_NAME: usize = 3;

fn foods_line(foods: &[TakenFood]) -> Option<Words> {
    let words = |food: &TakenFood| match &food.doubt {
        Some(doubt) => format!("{} ({doubt})", food.words),
        None => food.words.clone(),
    };
    let all: Vec<String> = foods.iter().map(words).collect();
    (!all.is_empty()).then(|| Words::new("foods", format!("{}.", all.join("; "))))
}

/// What makes a tray slow, in a word.
pub fn trait_words(what: Trait) -> &'static str {
    match what {
        Trait::Shape => "its depth or piece size",
        Trait::Food => "the food itself",
        Trait::Place => "its place in the cabinet",
        Trait::Contact => "how it touches the shelf and was frozen",
    }
}
