//! A comparison as text: which is best, then the tables, then how to read them.

use icefront_core::decide::compare::{Best, Quantity, Variant, Verdict};

use crate::blocks::{List, Part, Words, in_order};
use crate::compare::loads::{AS_IT_IS, Answer, Question};
use crate::compare::words::{per_day, per_kwh};
use crate::compare::{apart, tables};
use crate::format::capital;
use crate::{Look, format, range};

/// The whole report.
pub fn text(question: &Question, answer: &Answer, look: Look) -> String {
    let parts: [&dyn Part; 12] = [
        &answer_first(question, answer),
        &headline(question),
        &loads(question),
        &bests(question, answer),
        &tables::ranges(question, answer),
        &tables::yields(question, answer),
        &tables::against_first(question, answer),
        &tables::last(question, answer),
        &apart::table(question),
        &tables::trouble(question, answer),
        &reading(question, answer),
        &Words::new("cautions", MIND),
    ];
    in_order(&parts, look)
}

const MIND: &str = "a load is safe if it goes wrong at most 1 time in 10: food not frozen, melting, ice left, food \
                    not dry, too much ice, or food too high. Run `icefront plan` on the load you choose and read its \
                    cautions. Nothing here is a guarantee.";

fn headline(question: &Question) -> Words {
    let count = question.loads.len();
    let draws = question.pairing.draws.count;
    let first = question.loads.first().map_or("", |named| &named.file);
    let how = if question.pairing.independent { "each with its own samples" } else { "all with the same samples" };
    let notes: String = question.notes.iter().map(|note| format!(" {}.", capital(note))).collect();
    Words::new("", format!("Compared: {count} loads of {first}, {draws} samples each, {how}.{notes}"))
}

/// `tray.1.depth 8 mm` as it is said: `tray 1 depth 8 mm`.
fn without_dots(name: &str) -> String {
    let plain = name.strip_prefix("tray.").and_then(|rest| rest.split_once('.'));
    plain.map_or_else(|| name.to_string(), |(number, key)| format!("tray {number} {key}"))
}

/// So many loads are described one by one in the first sentence.
const MOST_DESCRIBED: usize = 4;

/// The answer in a sentence: each load against the first, and the best of them.
fn answer_first(question: &Question, answer: &Answer) -> Words {
    let name = |which: usize| without_dots(&spoken(&question.loads[which].name));
    let others = 1..question.loads.len();
    let described = others.clone().map(|which| format!("{}: {}.", capital(&name(which)), against_first(answer, which)));
    let described: Vec<String> = if others.len() <= MOST_DESCRIBED { described.collect() } else { Vec::new() };
    let best = answer.least_time_per_kg.as_ref().map(|best| {
        let sure = best.next.is_none_or(|(_, difference)| difference.verdict == Verdict::Higher);
        let doubt = best.next.filter(|_| !sure);
        let doubt = doubt.map(|(next, d)| format!(" ({} from {})", undecided(d.verdict), name(next)));
        format!("Best per week: {}{}.", name(best.which), doubt.unwrap_or_default())
    });
    Words::new("", described.into_iter().chain(best).collect::<Vec<_>>().join(" "))
}

/// A load in a sentence: `depth 8 mm` for `depth 8mm`, and "the sheet" for itself.
fn spoken(name: &str) -> String {
    if name == AS_IT_IS {
        return "the sheet as it is".into();
    }
    let mut text = String::new();
    for sign in name.chars() {
        if sign.is_alphabetic() && text.ends_with(|last: char| last.is_ascii_digit()) {
            text.push(' ');
        }
        text.push(sign);
    }
    text
}

/// `dry 4.1 h sooner, but 20 % less food a day`
fn against_first(answer: &Answer, which: usize) -> String {
    let against = &answer.against_first[which];
    let ready = |variant: usize| format::in_hours(answer.variants[variant].quantiles(Quantity::ReadyS).typical);
    let (first_h, this_h) = (ready(0), ready(which));
    if !this_h.is_finite() {
        return "it does not get dry".into();
    }
    let time = match against.food_ready.verdict {
        _ if !first_h.is_finite() => "it gets dry".to_string(),
        Verdict::Lower => format!("dry {:.1} h sooner", first_h - this_h),
        Verdict::Higher => format!("dry {:.1} h later", this_h - first_h),
        Verdict::NoDifference => "dry at the same time".to_string(),
        Verdict::CantTell => "dry at about the same time".to_string(),
    };
    let rate = &against.dried_kg_per_day;
    let percent = 100.0 * (rate.ratio.typical - 1.0).abs();
    let food = match rate.verdict {
        Verdict::Higher => format!("{percent:.0} % more food a day"),
        Verdict::Lower => format!("{percent:.0} % less food a day"),
        Verdict::NoDifference | Verdict::CantTell => return time,
    };
    let (later, more) = (against.food_ready.verdict == Verdict::Higher, rate.verdict == Verdict::Higher);
    let link = if later == more { ", but" } else { " and" };
    format!("{time}{link} {food}")
}

/// What the numbers of the tables stand for, where names are too long for them.
fn loads(question: &Question) -> Option<List> {
    let names = tables::names(question);
    let numbered = names.iter().zip(&question.loads).any(|(name, named)| *name != named.name);
    let items = || names.iter().zip(&question.loads).map(|(name, named)| format!("{name}: {}", named.name)).collect();
    numbered.then(|| List { label: "loads", items: items() })
}

fn bests(question: &Question, answer: &Answer) -> List {
    let priced = answer.variants.iter().all(|v| v.load.tariff.price_per_kwh.is_some_and(|price| price > 0.0));
    let unit = question.units().large_mass();
    let (cost, per) = (if priced { "Least cost" } else { "Least electricity" }, unit.name);
    let value = |best: &Best, quantity| answer.variants[best.which].quantiles(quantity).typical;
    let name = |best: &Best| &question.loads[best.which].name;
    let time = answer.least_time_per_kg.as_ref().map(|best| {
        let day = per_day(value(best, Quantity::DriedKgPerS));
        let food = unit.written(day, 2);
        format!("Least time per {per}: {}, {food} of dry food a day{}.", name(best), ahead(question, best))
    });
    let cheap = answer.least_cost_per_kg.as_ref().map(|best| {
        let kwh = per_kwh(value(best, Quantity::DriedKgPerJ));
        let food = unit.written(kwh, 3);
        format!("{cost} per {per}: {}, {food} of dry food per kWh{}.", name(best), ahead(question, best))
    });
    let full = answer.fullest.as_ref().map(|best| {
        let food = unit.written(value(best, Quantity::DriedKg), 2);
        format!("Fullest that is still safe: {}, {food} of dry food in a batch.", name(best))
    });
    let none = (!answer.some_safe).then(|| none_safe(question, answer)).flatten();
    List { label: "best", items: [none, time, cheap, full].into_iter().flatten().collect() }
}

fn none_safe(question: &Question, answer: &Answer) -> Option<String> {
    let chances = answer.variants.iter().map(Variant::grave_chance).enumerate();
    let (which, chance) = chances.min_by(|a, b| a.1.total_cmp(&b.1))?;
    Some(format!(
        "None of these is safe. The safest, {}, spoils a tray or overfills the machine {:.0} times in 100. The lines \
         below ignore that.",
        question.loads[which].name,
        100.0 * chance
    ))
}

/// What is said where neither of two loads is ahead for certain.
fn undecided(verdict: Verdict) -> &'static str {
    if verdict == Verdict::NoDifference { "no real difference" } else { "no clear difference" }
}

/// How sure it is that the best is better than the next.
fn ahead(question: &Question, best: &Best) -> String {
    let Some((next, difference)) = best.next else { return ", the only one that is safe".into() };
    let next = &question.loads[next].name;
    match difference.verdict {
        Verdict::Higher => format!("; {:.0} % more than the next, {next}", 100.0 * (difference.ratio.typical - 1.0)),
        verdict => format!("; {} from the next, {next}", undecided(verdict)),
    }
}

fn reading(question: &Question, answer: &Answer) -> Words {
    let pairs = if question.pairing.independent {
        "each load has its own samples, so chance adds to the differences."
    } else {
        "every sample gives all loads the same food and machine, so the differences are surer than the answers \
         themselves."
    };
    let rule = "Longer or shorter, more or less: 9 in 10 samples differ that way by more than 2 %. Same: neither is ahead in \
                more than 7 in 10. Unclear: anything between, or less than 2 %.";
    let failed = answer.variants.iter().map(Variant::refused).sum();
    let left_out = range::left_out(failed, answer.variants.iter().map(|v| v.drawn.len()).sum());
    let left_out = left_out.map_or(String::new(), |words| format!(" {words}"));
    Words::new("how to read it", format!("{pairs} {rule}{left_out}"))
}
