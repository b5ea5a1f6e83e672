//! The bar that stays in sight: when the food is ready by the clock, between when, what it takes.

use icefront_core::machine::Dryer;
use icefront_core::ranges::Quantiles;
use icefront_kitchen::format::{in_hours, kilowatt_hours};
use icefront_kitchen::range::{day_and_clock, hours, low_to_high, ready_of, shown_s};
use maud::{Markup, html};

use crate::{Answer, State};

/// The bar.
pub fn bar(state: &State) -> Markup {
    let Ok(answer) = &state.outcome else {
        return html! {
            section #bar aria-label="Answer" data-whole="true" {
                p.when { "No answer yet" }
                p.span { a href="#answer" { "See what is wrong" } }
            }
        };
    };
    let q = ready(state, answer);
    html! {
        section #bar aria-label="Answer" data-whole=(answer.whole) data-start=(state.start) data-low=(plain(q.low))
            data-typical=(plain(q.typical)) data-high=(plain(q.high)) {
            p.when { (when(state, q)) }
            p.span { (span(state, q)) }
            p.sums { (sums(state, answer, q)) }
        }
    }
}

/// When the food is ready, s from the start: with the readings, where there are any.
pub fn ready(state: &State, answer: &Answer) -> Quantiles {
    let stood = |updated: &crate::questions::Updated| {
        let stood_s = updated.readings.stood_s();
        updated.answer.ready_s.after.map(|s| s + stood_s)
    };
    state.updated.as_ref().map_or_else(|| answer.ready_s(), stood)
}

fn when(state: &State, q: Quantiles) -> Markup {
    html! {
        @if q.typical.is_infinite() {
            data #ready { (ready_of(q, None)) }
        } @else {
            "Ready " b { data #ready value=(in_hours(q.typical)) { (day_and_clock(state.start, shown_s(q.typical, f64::round))) } }
        }
    }
}

fn span(state: &State, q: Quantiles) -> Markup {
    let said = day_and_clock(state.start, shown_s(q.typical, f64::round));
    // a day that was said is not said again
    let clock = |s: f64| {
        let at = day_and_clock(state.start, s);
        match (at.split_once(' '), said.split_once(' ')) {
            (Some((clock, day)), Some((_, same))) if day == same => clock.to_string(),
            _ => at,
        }
    };
    html! {
        @if q.typical.is_finite() && !q.high.is_finite() {
            "if all goes well; more than 1 time in 10 it never gets dry"
        } @else if q.high.is_finite() && q.low < q.high {
            "between " data #ready-low value=(in_hours(q.low)) { (clock(shown_s(q.low, f64::floor))) }
            " and " data #ready-high value=(in_hours(q.high)) { (clock(shown_s(q.high, f64::ceil))) }
            @if let Some(updated) = &state.updated {
                ", with " (icefront_kitchen::format::count(updated.readings.used.len(), "reading"))
            }
        } @else if q.high.is_finite() {
            "with typical inputs; the range follows"
        }
    }
}

fn sums(state: &State, answer: &Answer, q: Quantiles) -> Markup {
    let read = state.updated.as_ref().and_then(|updated| updated.answer.energy_j);
    let kwh = read.map(|energy_j| energy_j.after.map(kilowatt_hours)).or(answer.shown.map(|shown| shown.kwh));
    let kwh = kwh.filter(|_| matches!(answer.sheet.load.dryer, Dryer::Cabinet(_)));
    let tariff = &answer.sheet.load.tariff;
    html! {
        @if q.high.is_finite() { span { (hours(q.typical)) " (" (low_to_high(q)) ")" } }
        @if let Some(kwh) = kwh.filter(|kwh| kwh.high.is_finite()) {
            span { (number("energy", kwh, 1.0, 1, "kWh")) }
            @if let Some(price) = tariff.price_per_kwh {
                span { (number("cost", kwh, price, 2, &tariff.currency)) }
            }
        }
    }
}

/// A number for a program that reads the page: what never comes is no number.
fn plain(value: f64) -> String {
    if value.is_finite() { value.to_string() } else { "never".into() }
}

/// A number with its unit; low and high stand with it for whoever reads the page with a program.
fn number(id: &str, q: Quantiles, times: f64, decimals: usize, unit: &str) -> Markup {
    html! {
        data id=(id) value=(plain(times * q.typical)) data-low=(plain(times * q.low)) data-high=(plain(times * q.high)) {
            (format!("{:.decimals$}\u{a0}{unit}", times * q.typical))
        }
    }
}
