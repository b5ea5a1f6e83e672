//! A comparison as text: which is best, then the tables, then how to read them.

use icefront_core::decide::compare::{Best, Quantity, Variant, Verdict};

use crate::blocks::{List, Part, Words, in_order};
use crate::compare::loads::{Answer, Question};
use crate::compare::words::{per_day, per_kwh};
use crate::compare::{apart, tables};
use crate::format::capital;
use crate::{Look, range};

/// The whole report.
pub fn text(question: &Question, answer: &Answer, look: Look) -> String {
    let parts: [&dyn Part; 11] = [
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
        &Words::new("mind", MIND),
    ];
    in_order(&parts, look)
}

const MIND: &str = "safe means: food not frozen, melting, ice left, food not dry, too much ice, or food too high at most \
                    one time in ten. Run `icefront plan` on the load you choose: its cautions hold. Nothing here is a \
                    guarantee.";

fn headline(question: &Question) -> Words {
    let count = question.loads.len();
    let draws = question.pairing.draws.count;
    let first = question.loads.first().map_or("", |named| &named.file);
    let how = if question.pairing.independent { "each on draws of its own" } else { "all on the same draws" };
    let notes: String = question.notes.iter().map(|note| format!(" {}.", capital(note))).collect();
    Words::new("", format!("{first}: {count} loads side by side, {draws} batches each, {how}.{notes}"))
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
    let cost = if priced { "Least cost per kg" } else { "Least electricity per kg" };
    let value = |best: &Best, quantity| answer.variants[best.which].quantiles(quantity).typical;
    let name = |best: &Best| &question.loads[best.which].name;
    let time = answer.least_time_per_kg.as_ref().map(|best| {
        let day = per_day(value(best, Quantity::DriedKgPerS));
        format!("Least time per kg: {}, {day:.2} kg of dry food a day{}.", name(best), ahead(question, best))
    });
    let cheap = answer.least_cost_per_kg.as_ref().map(|best| {
        let kwh = per_kwh(value(best, Quantity::DriedKgPerJ));
        format!("{cost}: {}, {kwh:.3} kg of dry food per kWh{}.", name(best), ahead(question, best))
    });
    let full = answer.fullest.as_ref().map(|best| {
        let kg = value(best, Quantity::DriedKg);
        format!("Fullest that is still safe: {}, {kg:.2} kg of dry food in a batch.", name(best))
    });
    let none = (!answer.some_safe).then(|| none_safe(question, answer)).flatten();
    List { label: "best", items: [none, time, cheap, full].into_iter().flatten().collect() }
}

fn none_safe(question: &Question, answer: &Answer) -> Option<String> {
    let chances = answer.variants.iter().map(Variant::grave_chance).enumerate();
    let (which, chance) = chances.min_by(|a, b| a.1.total_cmp(&b.1))?;
    Some(format!(
        "None of these is safe: the safest, {}, spoils a tray or overfills the machine {:.0} times in 100. The rest is \
         without regard to that.",
        question.loads[which].name,
        100.0 * chance
    ))
}

/// How sure it is that the best is better than the next.
fn ahead(question: &Question, best: &Best) -> String {
    let Some((next, difference)) = best.next else { return ", the only one that is safe".into() };
    let next = &question.loads[next].name;
    match difference.verdict {
        Verdict::Higher => format!("; {:.0} % more than the next, {next}", 100.0 * (difference.ratio.typical - 1.0)),
        _ => format!("; it cannot be distinguished from the next, {next}"),
    }
}

fn reading(question: &Question, answer: &Answer) -> Words {
    let pairs = if question.pairing.independent {
        "each load has draws of its own, so that chance parts them too."
    } else {
        "all loads meet the same food and the same machine in each draw, so that differences are sharper than the \
         answers themselves."
    };
    let rule = "Longer or shorter, more or less: nine in ten draws agree on more than 2 %. No difference: neither is \
                ahead in more than seven of ten. Can't tell: anything between, or less than 2 %.";
    let failed = answer.variants.iter().map(Variant::refused).sum();
    let left_out = range::left_out(failed, answer.variants.iter().map(|v| v.drawn.len()).sum());
    let left_out = left_out.map_or(String::new(), |words| format!(" {words}"));
    Words::new("how to read it", format!("{pairs} {rule}{left_out}"))
}
