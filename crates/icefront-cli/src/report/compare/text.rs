//! A comparison as text: which is best, then the tables, then how to read them.

use icefront_core::decide::compare::{Best, Quantity, Verdict};

use super::{per_day, per_kwh, tables};
use crate::compare::{Answer, Question};
use crate::report::flags::capital;
use crate::report::wrap::wrap;

/// The whole report.
pub fn text(question: &Question, answer: &Answer) -> String {
    let mut parts = vec![headline(question), bests(question, answer)];
    parts.push(tables::ranges(question, answer));
    parts.push(tables::yields(question, answer));
    parts.push(tables::trouble(question, answer));
    parts.push(reading(question, answer));
    parts.join("\n")
}

fn headline(question: &Question) -> String {
    let count = question.loads.len();
    let draws = question.pairing.draws.count;
    let first = question.loads.first().map_or("", |named| &named.file);
    let how = if question.pairing.independent { "each on draws of its own" } else { "all on the same draws" };
    let notes: String = question.notes.iter().map(|note| wrap("  ", &format!("{}.", capital(note)))).collect();
    wrap("", &format!("{first}: {count} loads side by side, {draws} batches each, {how}.")) + &notes
}

fn bests(question: &Question, answer: &Answer) -> String {
    let priced = answer.variants.iter().all(|v| v.load.tariff.price_per_kwh.is_some_and(|price| price > 0.0));
    let cost = if priced { "Least cost per kg" } else { "Least electricity per kg" };
    let value = |best: &Best, quantity| answer.variants[best.which].quantiles(quantity).typical;
    let line = |what: &str, best: &Option<Best>, told: &dyn Fn(&Best) -> String| match best {
        Some(best) => wrap("  ", &format!("{what}: {}, {}.", question.loads[best.which].name, told(best))),
        None => String::new(),
    };
    let lines = [
        line("Least time per kg", &answer.least_time_per_kg, &|best| {
            let day = per_day(value(best, Quantity::DriedKgPerS));
            format!("{day:.2} kg of dry food a day{}", ahead(question, best))
        }),
        line(cost, &answer.least_cost_per_kg, &|best| {
            let kwh = per_kwh(value(best, Quantity::DriedKgPerJ));
            format!("{kwh:.3} kg of dry food per kWh{}", ahead(question, best))
        }),
        line("Fullest that is still safe", &answer.fullest, &|best| {
            format!("{:.2} kg of dry food in one batch", value(best, Quantity::DriedKg))
        }),
    ];
    let told = lines.concat();
    if answer.some_safe {
        return format!("BEST of those that go wrong at most one time in ten\n{told}");
    }
    let none = "BEST: none of these is safe; each spoils a tray or overfills the machine more often than one time in \
                ten. Thinner layers, a smaller fill or colder freezing may help. Without regard to that:";
    wrap("", none) + &told
}

/// How sure it is that the best is better than the next.
fn ahead(question: &Question, best: &Best) -> String {
    let Some((next, difference)) = best.next else { return ", the only one".into() };
    let next = &question.loads[next].name;
    match difference.verdict {
        Verdict::Higher => {
            format!("; {:.0} % more than the next, {next}", 100.0 * (difference.ratio.typical - 1.0))
        }
        _ => format!("; it cannot be told from the next, {next}"),
    }
}

fn reading(question: &Question, answer: &Answer) -> String {
    let pairs = if question.pairing.independent {
        "Each load has draws of its own, so that chance parts them too."
    } else {
        "All loads meet the same food and the same machine in each draw, so that differences are sharper than the \
         answers themselves."
    };
    let rule = "Longer or shorter: nine in ten draws agree on more than 2 %. No difference: neither is ahead in more \
                than seven of ten. Can't tell: anything between, or less than 2 %.";
    let refused: usize = answer.variants.iter().map(|v| v.refused()).sum();
    let refused =
        if refused > 0 { format!(" {refused} draws did not fit together and were left out.") } else { String::new() };
    let mind = "Safe means: food not frozen, melting, ice left, food not dry, too much ice, or food too high at most \
                one time in ten. Run `icefront plan` on the load you choose: its cautions hold. Nothing here is a \
                guarantee.";
    wrap("", &format!("HOW TO READ IT: {pairs} {rule}{refused}")) + &wrap("", &format!("MIND: {mind}"))
}
