//! `icefront update` as text.

use icefront_core::ranges::{Narrowing, Quantiles};

use crate::blocks::{Column, Part, Table, Words, in_order};
use crate::running::words::{NONE_CREDIBLE, fit, mind, read, set_aside};
use crate::running::{Answer, Change};
use crate::{Look, Readings, Sheet, format, range, unknown};

/// The whole report.
pub fn text(sheet: &Sheet, readings: &Readings, answer: &Answer, look: Look) -> String {
    let parts: [&dyn Part; 9] = [
        &read(readings),
        &set_aside(readings),
        &answer.misfit.as_ref().map(fit),
        &Words::new("", headline(answer)),
        &table(sheet, answer),
        &why(answer),
        &answer.credible.then(|| next(sheet, answer)),
        &draws(answer),
        &mind(),
    ];
    in_order(&parts, look)
}

/// The answer in a sentence.
pub fn headline(answer: &Answer) -> String {
    if !answer.credible {
        return NONE_CREDIBLE.into();
    }
    let q = answer.ready_s.after;
    if !q.high.is_finite() {
        return "As it looks now, more than one time in ten it never gets dry.".into();
    }
    let left = |s: f64| format::in_hours((s - answer.now_s).max(0.0));
    let (low, middle, high) = (left(q.low), left(q.typical), left(q.high));
    let narrower = 1.0 - q.width() / answer.ready_s.before.width();
    let change = if !narrower.is_finite() || narrower.abs() < 0.05 {
        "The readings hardly change the range.".into()
    } else if narrower > 0.0 {
        format!("The readings make the range {} narrower.", format::percent((100.0 * narrower).round() / 100.0))
    } else {
        "The readings make the range wider: they are not what was expected.".into()
    };
    format!(
        "Ready {low:.1} to {high:.1} h from the last reading, about {middle:.1} h: eight times in ten within that. {change}"
    )
}

fn table(sheet: &Sheet, answer: &Answer) -> Table {
    let mut rows = Vec::new();
    let mut row = |what: String, change: Change, scale: fn(f64) -> f64, digits: usize| {
        let number = |x| format::or_never(scale(x), digits);
        let cell = |q: Quantiles| format!("{} ({} to {})", number(q.typical), number(q.low), number(q.high));
        let after = if answer.credible { cell(change.after) } else { "not known".into() };
        rows.push(vec![what, cell(change.before), after]);
    };
    row("last ice gone, h".into(), answer.last_ice_s, format::in_hours, 1);
    row("food ready, h".into(), answer.ready_s, format::in_hours, 1);
    for tray in &answer.trays {
        row(format!("dry, h: {}, {}", tray.tray, tray.food), tray.dry_at_s, format::in_hours, 1);
    }
    if let Some(energy) = answer.energy_j {
        row("electricity, kWh".into(), energy, format::kilowatt_hours, 1);
    }
    if let Some(cost) = answer.cost {
        row(format!("cost, {}", sheet.load.tariff.currency), cost, |x| x, 2);
    }
    Table::of_numbers("range", Column::words("", 30), ["before", "with readings"], rows)
        .about(", middle (low to high)")
        .note("One in ten is below low, one in ten above high. Hours from the start.")
}

fn why(answer: &Answer) -> Option<Words> {
    if !answer.credible || answer.why.is_empty() {
        return None;
    }
    let shifts: Vec<String> =
        answer.why.iter().map(|s| format!("{}: {}", s.what, unknown::rank_words(s.rank))).collect();
    Some(Words::new("why", format!("the readings speak for {}.", shifts.join("; "))))
}

fn next(sheet: &Sheet, answer: &Answer) -> Words {
    let Some(best) = answer.next.first() else {
        return Words::new("read next", "no usual reading would narrow this range much.");
    };
    let reading =
        |n: &Narrowing| format!("{} (narrows it by about {:.0} %)", range::words(&sheet.load, n), 100.0 * n.share);
    let closed = answer.next.iter().find(|n| !range::needs_opening(n)).filter(|n| *n != best);
    let closed = closed.map(|n| format!(" Without opening the door: {}.", reading(n))).unwrap_or_default();
    Words::new("read next", format!("{}.{closed}", reading(best)))
}

fn draws(answer: &Answer) -> Words {
    let again = match answer.draws.refreshed {
        0 => String::new(),
        n => format!(
            " In the first round they counted as {:.0} only, so {n} further round{} drawn where the readings point.",
            answer.draws.effective_at_first,
            if n == 1 { " was" } else { "s were" }
        ),
    };
    let left_out = range::left_out(answer.draws.refused, answer.draws.refused + answer.draws.run);
    let left_out = left_out.map_or(String::new(), |words| format!(" {words}"));
    Words::new(
        "draws",
        format!(
            "{} runs; weighed by the readings they count as {:.0}.{again}{left_out}",
            answer.draws.run, answer.draws.effective
        ),
    )
}
