//! `icefront update` as text.

use icefront_core::ranges::{Narrowing, Quantiles};
use icefront_core::result::BatchResult;

use crate::blocks::{Column, Part, Table, Words, in_order};
use crate::running::interruptions::interruptions;
use crate::running::left;
use crate::running::words::{check, fit, mind, read, set_aside, uncertain};
use crate::running::{Answer, Change};
use crate::{Look, Readings, Sheet, format, range, unknown};

/// The whole report.
pub fn text(sheet: &Sheet, typical: &BatchResult, readings: &Readings, answer: &Answer, look: Look) -> String {
    let parts: [&dyn Part; 12] = [
        &read(readings),
        &Words::new("", headline(readings, answer)),
        &set_aside(readings),
        &check(&answer.doubtful),
        &interruptions(&sheet.load, typical, readings),
        &answer.misfit.as_ref().and_then(fit),
        &uncertain(answer.uncertain),
        &table(sheet, answer),
        &why(answer),
        &next(sheet, answer),
        &left_out(answer),
        &mind(),
    ];
    in_order(&parts, look)
}

/// The answer in a sentence.
pub fn headline(readings: &Readings, answer: &Answer) -> String {
    let q = answer.ready_s.after;
    if !q.high.is_finite() {
        return "In more than 1 case in 10 like this one the food never gets dry. Find out what is wrong first.".into();
    }
    let narrower = 1.0 - q.width() / answer.ready_s.before.width();
    // where few samples agree with the readings the range is said to be wide, and not also to be narrower
    let change = if answer.uncertain || !narrower.is_finite() || narrower.abs() < 0.05 {
        String::new()
    } else if narrower > 0.0 {
        format!(" The readings narrow the range by {}.", format::percent((20.0 * narrower).round() / 20.0))
    } else {
        " The readings are not what was expected, so the range is wider.".into()
    };
    left::sentence("Ready", q, answer.now_s, readings) + &change
}

fn table(sheet: &Sheet, answer: &Answer) -> Table {
    let mut rows = Vec::new();
    let mut row = |what: String, change: Change, scale: fn(f64) -> f64, digits: usize| {
        let number = |x| format::or_never(scale(x), digits);
        let cell = |q: Quantiles| format!("{} ({} to {})", number(q.typical), number(q.low), number(q.high));
        rows.push(vec![what, cell(change.before), cell(change.after)]);
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
        .about(", typical (low to high)")
        .note("1 in 10 is below low, 1 in 10 above high. Hours from the start, without interruptions.")
}

fn why(answer: &Answer) -> Option<Words> {
    if answer.why.is_empty() {
        return None;
    }
    let shifts: Vec<String> =
        answer.why.iter().map(|s| format!("{}: {}", s.what, unknown::rank_words(s.rank))).collect();
    Some(Words::new("why", format!("the readings suggest {}.", shifts.join("; "))))
}

fn next(sheet: &Sheet, answer: &Answer) -> Words {
    let Some(best) = answer.next.first() else {
        return Words::new("read next", "no common reading would narrow this range much.");
    };
    let reading =
        |n: &Narrowing| format!("{} (narrows it by about {:.0} %)", range::words(&sheet.load, n), 100.0 * n.share);
    let closed = answer.next.iter().find(|n| !range::needs_opening(n)).filter(|n| *n != best);
    let closed = closed.map(|n| format!(" Without opening the door: {}.", reading(n))).unwrap_or_default();
    Words::new("read next", format!("{}.{closed}", reading(best)))
}

/// How many samples could not be computed, where they are many.
fn left_out(answer: &Answer) -> Option<Words> {
    let words = range::left_out(answer.draws.refused, answer.draws.refused + answer.draws.run)?;
    Some(Words::new("samples", words))
}
