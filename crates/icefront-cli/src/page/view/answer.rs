//! The answer: four figures with their ranges, what to mind, and where it comes from.

use icefront_core::machine::Dryer;
use maud::{Markup, html};

use super::super::answer::{Answer, Settings};
use super::super::screen::Screen;
use super::{Shown, chart, running, tables, wrong};
use crate::report::{self, Chart, Predicted, range};

/// Names and figures; what is wrong where there are none.
pub fn answer(shown: &Shown<'_>) -> Markup {
    let screen = shown.screen;
    match &screen.outcome {
        Ok(answer) => html! {
            section #answer data-whole=(answer.whole) {
                h2 { "Answer" }
                p.sentence { (sentence(answer)) }
                (figures(answer))
                p.draws { (draws(answer, shown.settings)) }
                (minds(answer))
                (command(screen, shown.settings, answer))
            }
        },
        Err(failure) => html! {
            section #answer data-whole="true" { h2 { "No answer" } (wrong::list(screen, failure)) }
        },
    }
}

/// Where the answer comes from: charts, trays, stages, sums.
pub fn why(screen: &Screen) -> Markup {
    let Ok(answer) = &screen.outcome else {
        return html! { section #why {} };
    };
    let (load, result) = (&answer.sheet.load, &answer.result);
    html! {
        section #why {
            h2 { "Why" }
            @if let Some(last) = report::last(load, result) { p { (running(&last)) } }
            @match &screen.charts {
                Some(Ok(charts)) => { (pictures(charts)) }
                Some(Err(error)) => { p.wrong { (error) } }
                None => {}
            }
            div.columns {
                div {
                    (tables::trays(load, result))
                    p.small { (running(&report::taken(&answer.sheet))) }
                }
                div {
                    (tables::stages(result))
                    @if let Dryer::Cabinet(_) = load.dryer { p { (running(&report::money(load, result))) } }
                }
            }
            p { (running(&report::water_and_front(result))) }
            @if let Some(machine) = report::machine(load, result) { p { (running(&machine)) } }
        }
    }
}

/// The first chart in sight, the others on demand.
fn pictures(charts: &[Chart]) -> Markup {
    html! {
        @for (number, one) in charts.iter().enumerate() {
            details open[number == 0] { summary { h3 { (one.title) } } (chart(&one.title, &one.svg)) }
        }
    }
}

/// The answer in a few words, for a bar that stays in sight.
pub fn now(screen: &Screen) -> Markup {
    let Ok(answer) = &screen.outcome else {
        return html! { "No answer: see what is wrong" };
    };
    let report = report::report(&answer.sheet.load, &answer.result, answer.range.as_ref());
    html! {
        b { (middle(&report.time_h.food_ready, 1, "h")) }
        " ready, "
        @if report.energy_kwh.total.typical.is_some() { (middle(&report.energy_kwh.total, 1, "kWh")) ", " }
        @if let Some(last) = answer.result.last_tray() { (last.name) " last" }
    }
}

fn sentence(answer: &Answer) -> String {
    let typical = report::typical_answer(&answer.sheet.load, &answer.result);
    match &answer.range {
        Some(range) => format!("{} With typical numbers: {typical}", range::sentence(range)),
        None => typical,
    }
}

fn figures(answer: &Answer) -> Markup {
    let load = &answer.sheet.load;
    let report = report::report(load, &answer.result, answer.range.as_ref());
    let money = &report.cost.money;
    let currency = report.cost.currency.as_deref().unwrap_or_default();
    let each = load.servings.map(|servings| money.share_of(servings));
    html! {
        dl.figures {
            (figure("ready", "Food ready", &report.time_h.food_ready, 1, "h"))
            div.figure {
                dt { "Last tray" }
                @match answer.result.last_tray() {
                    Some(tray) => { dd #last { (tray.name) } dd.range { (tray.food) } }
                    None => { dd #last { "none" } }
                }
            }
            @if report.energy_kwh.total.typical.is_some() {
                (figure("energy", "Electricity", &report.energy_kwh.total, 1, "kWh"))
            }
            @if money.typical.is_some() {
                @match &each {
                    Some(each) => { (figure("each", "Cost of a serving", each, 2, currency)) (figure("cost", "Cost of all", money, 2, currency)) }
                    None => { (figure("cost", "Cost", money, 2, currency)) }
                }
            }
        }
    }
}

/// One figure: the middle large, its range below; `data` holds the number as `icefront plan --json` prints it.
fn figure(id: &str, label: &str, number: &Predicted, decimals: usize, unit: &str) -> Markup {
    html! {
        div.figure {
            dt { (label) }
            dd { data id=(id) value=[number.typical] { (middle(number, decimals, unit)) } }
            @if number.low.is_some() {
                dd.range {
                    data id=(format!("{id}-low")) value=[number.low.flatten()] { (one(number.low.flatten(), decimals)) }
                    " to "
                    data id=(format!("{id}-high")) value=[number.high.flatten()] {
                        (one(number.high.flatten(), decimals)) " " (unit)
                    }
                }
            }
        }
    }
}

fn middle(number: &Predicted, decimals: usize, unit: &str) -> String {
    match number.typical {
        Some(value) => format!("{value:.decimals$}\u{a0}{unit}"),
        None => "never".into(),
    }
}

fn one(value: Option<f64>, decimals: usize) -> String {
    value.map_or("never".into(), |value| format!("{value:.decimals$}"))
}

/// How many draws stand behind the ranges.
fn draws(answer: &Answer, settings: Settings) -> String {
    let all = settings.draws;
    match (answer.whole, answer.draws) {
        (true, all) => format!("From {all} draws: one time in ten it is below the range, one in ten above."),
        (false, 0) => format!("A first answer, with typical numbers alone; its range, from {all} draws, follows."),
        (false, some) => format!("A first answer from {some} draws, rough at its ends; that from {all} draws follows."),
    }
}

/// Chances, when to look, what to measure; then cautions.
fn minds(answer: &Answer) -> Markup {
    let load = &answer.sheet.load;
    let cautions = report::cautions(load, &answer.result);
    html! {
        @if let Some(range) = answer.range.as_ref().filter(|_| answer.whole) {
            @if let Some(chances) = range::chances(load, range) { p { (running(&chances)) } }
            p { (running(&range::run_until(load, range))) }
            p { (running(&range::measure_first(load, range))) }
        }
        details open {
            summary { h3 { "Mind" } }
            ul.cautions { @for caution in &cautions { li { (caution) } } }
        }
    }
}

/// The command that gives the same answer.
fn command(screen: &Screen, settings: Settings, answer: &Answer) -> Markup {
    let file = if screen.file.is_empty() { "load.toml" } else { &screen.file };
    let usual = Settings { draws: 256, seed: 1 };
    let mut line = format!("icefront plan {}", in_shell(file));
    if answer.draws != usual.draws {
        line.push_str(&format!(" --draws {}", answer.draws));
    }
    if settings.seed != usual.seed {
        line.push_str(&format!(" --seed {}", settings.seed));
    }
    html! {
        p.command {
            "The same answer from a command line"
            @if screen.changed() { ", once the sheet is saved" }
            ": " code { (line) }
        }
    }
}

/// A file name as a shell takes it.
fn in_shell(name: &str) -> String {
    let plain = name.chars().all(|c| c.is_ascii_alphanumeric() || "-_.".contains(c));
    if plain { name.into() } else { format!("\"{name}\"") }
}
