//! `icefront update` as text.

use super::{NOT_TOLD, fit, mind, readings};
use crate::readings::Readings;
use crate::report::{range, wrap};
use crate::running::{Answer, Change};
use crate::sheet::Sheet;
use crate::{show, unknown};
use icefront_core::units::Duration;

/// The whole report.
pub fn text(sheet: &Sheet, read: &Readings, answer: &Answer) -> String {
    let mut parts = vec![readings(read)];
    parts.extend(answer.misfit.as_ref().map(fit));
    parts.push(wrap("", &headline(answer)));
    parts.push(table(sheet, answer));
    if answer.told {
        parts.extend(why(answer));
        parts.push(next(sheet, answer));
    }
    parts.push(wrap("", &draws(answer)));
    parts.push(mind());
    parts.join("\n")
}

/// The answer in a sentence.
pub fn headline(answer: &Answer) -> String {
    if !answer.told {
        return NOT_TOLD.into();
    }
    let q = answer.ready_s.after;
    if !q.high.is_finite() {
        return "As it looks now, more than one time in ten it never gets dry.".into();
    }
    let left = |s: f64| Duration::from_seconds((s - answer.now_s).max(0.0)).hours();
    let (low, middle, high) = (left(q.low), left(q.typical), left(q.high));
    let narrower = 1.0 - q.width() / answer.ready_s.before.width();
    let change = if !narrower.is_finite() || narrower.abs() < 0.05 {
        "The readings hardly change the range.".into()
    } else if narrower > 0.0 {
        format!("The readings make the range {} narrower.", show::percent((100.0 * narrower).round() / 100.0))
    } else {
        "The readings make the range wider: they are not what was expected.".into()
    };
    format!(
        "Ready {low:.1} to {high:.1} h from the last reading, about {middle:.1} h: eight times in ten within that. {change}"
    )
}

fn table(sheet: &Sheet, answer: &Answer) -> String {
    let mut table = "RANGE (low, middle, high: one in ten below, half, one in ten above)\n".to_string()
        + "                                    before               with readings\n";
    let hours = |s: f64| Duration::from_seconds(s).hours();
    let mut row = |what: &str, change: Change, scale: &dyn Fn(f64) -> f64, digits: usize| {
        let cell = |x: f64| if x.is_finite() { format!("{:>7.digits$}", scale(x)) } else { "  never".into() };
        let cells = |q: icefront_core::ranges::Quantiles| [q.low, q.typical, q.high].map(cell).concat();
        let after = if answer.told { cells(change.after) } else { "      -      -      -".into() };
        let what = crate::report::wrap::fit(what, 28);
        table.push_str(&format!("  {what}{}    {after}\n", cells(change.before)));
    };
    row("last ice gone, h", answer.last_ice_s, &hours, 1);
    row("food ready, h", answer.ready_s, &hours, 1);
    for tray in &answer.trays {
        row(&format!("{}, {}: dry, h", tray.named[0], tray.named[1]), tray.dry_s, &hours, 1);
    }
    if let Some(energy) = answer.energy_kwh {
        row("electricity, kWh", energy, &|x| x, 1);
    }
    if let Some(cost) = answer.cost {
        row(&format!("cost, {}", sheet.load.tariff.currency), cost, &|x| x, 2);
    }
    table
}

fn why(answer: &Answer) -> Option<String> {
    if answer.why.is_empty() {
        return None;
    }
    let told: Vec<String> = answer.why.iter().map(|s| format!("{}: {}", s.what, unknown::rank_words(s.rank))).collect();
    Some(wrap("", &format!("WHY: the readings speak for {}.", told.join("; "))))
}

fn next(sheet: &Sheet, answer: &Answer) -> String {
    let Some(best) = answer.next.first() else {
        return wrap("", "READ NEXT: no usual reading would narrow this range much.");
    };
    let told = |n: &icefront_core::ranges::Narrowing| {
        format!("{} (narrows it by about {:.0} %)", range::words(&sheet.load, n), 100.0 * n.share)
    };
    let closed = answer.next.iter().find(|n| !range::needs_opening(n));
    let closed = match closed {
        Some(n) if n != best => format!(" Without opening the door: {}.", told(n)),
        _ => String::new(),
    };
    wrap("", &format!("READ NEXT: {}.{closed}", told(best)))
}

fn draws(answer: &Answer) -> String {
    let again = match answer.refreshed {
        0 => String::new(),
        n => format!(
            " Of the first round only {:.0} did, so {n} further round{} drawn where the readings point.",
            answer.effective_at_first,
            if n == 1 { " was" } else { "s were" }
        ),
    };
    let refused = match answer.refused {
        0 => String::new(),
        n => format!(" {n} did not fit together and were left out."),
    };
    format!("DRAWS: {} runs that count as {:.0} equal ones.{again}{refused}", answer.draws, answer.effective)
}
