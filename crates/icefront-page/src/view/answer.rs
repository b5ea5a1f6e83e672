//! The answer: four figures with their ranges, what to mind, and where it comes from.

use maud::{Markup, html};
use serde_json::Value;

use crate::view::{command, wrong};
use crate::{Answer, Settings, State};
use icefront_kitchen::blocks::Part;
use icefront_kitchen::plan::charts::Chart;
use icefront_kitchen::plan::document::Document;
use icefront_kitchen::range;
use icefront_kitchen::report::figure::figure;

/// Names and figures; what is wrong where there are none.
pub fn answer(state: &State) -> Markup {
    match &state.outcome {
        Ok(answer) => html! {
            section #answer data-whole=(answer.whole) {
                h2 { "Answer" }
                p.sentence { (sentence(answer)) }
                (figures(answer))
                p.draws { (draws(answer, state.settings)) }
                @if answer.whole { (chances(answer)) }
                details open {
                    summary { h3 { "Watch out for" } }
                    ul.cautions { @for caution in icefront_kitchen::plan::cautions(&answer.sheet.load, &answer.run.result, &answer.run.dishes) { li { (caution) } } }
                }
                (command::line(state, &plan_arguments(state.name(), answer, state.settings)))
            }
        },
        Err(failure) => html! {
            section #answer data-whole="true" { h2 { "No answer" } (wrong::list("The sheet cannot be planned like this:", &state.text, failure)) }
        },
    }
}

/// Shown by the script when there is no answer to what is set, above the last one there was.
pub fn not_current() -> Markup {
    html! {
        section.notice #lost hidden {
            p #lost-words {}
            p.buttons { button #again type="button" { "Try again" } }
        }
    }
}

/// Where the answer comes from: charts, trays, stages, sums.
pub fn why(state: &State) -> Markup {
    let Ok(answer) = &state.outcome else {
        return html! { section #why {} };
    };
    let document = Document::new(state.name(), &answer.sheet, &answer.run, answer.near.as_ref());
    html! {
        section #why {
            h2 { "Why" }
            p { (document.what.text) " " (document.rule) }
            (document.last.html())
            @match &state.charts {
                Some(Ok(charts)) => { (pictures(charts)) }
                Some(Err(error)) => { p.wrong { (error) } }
                None => {}
            }
            (icefront_kitchen::plan::loading(&answer.sheet.load).html())
            div.columns {
                div { (document.trays.html()) (document.limits.html()) }
                div { (document.stages.html()) (document.energy.html()) }
            }
            (document.water.html())
            (document.front.html())
            (document.machine.html())
            details { summary { "Checklist for the run" } (icefront_kitchen::report::steps(&document, &answer.sheet.load, &answer.run.result)) }
        }
    }
}

/// The first chart in sight, the others on demand.
fn pictures(charts: &[Chart]) -> Markup {
    html! {
        @for (number, chart) in charts.iter().enumerate() {
            details open[number == 0] { summary { (chart.title) } (figure(Some(chart))) }
        }
    }
}

/// The answer in a few words, for a bar that stays in sight.
pub fn now(state: &State) -> Markup {
    let Ok(answer) = &state.outcome else {
        return html! { "No answer: see what is wrong" };
    };
    let numbers = Numbers::of(answer);
    html! {
        b { (numbers.at(READY).middle(1, "h")) }
        " ready, "
        @if numbers.at(ENERGY).typical.is_some() { (numbers.at(ENERGY).middle(1, "kWh")) ", " }
        @if let Some(last) = answer.run.result.last_tray() { (last.name) " last" }
    }
}

fn sentence(answer: &Answer) -> String {
    let run = icefront_kitchen::plan::typical(&answer.run.load, &answer.run.result);
    match &answer.run.range {
        Some(range) => format!("{} {run}", range::ready(range, None)),
        None => format!("With typical inputs, and no range: {run}"),
    }
}

const READY: &str = "/time_h/food_ready";
const ENERGY: &str = "/energy_kwh/total";
const COST: &str = "/cost";

fn figures(answer: &Answer) -> Markup {
    let load = &answer.sheet.load;
    let numbers = Numbers::of(answer);
    let (energy, cost, currency) = (numbers.at(ENERGY), numbers.at(COST), &load.tariff.currency);
    html! {
        dl.figures {
            (number("ready", "Food ready", &numbers.at(READY), 1, "h"))
            div.figure {
                dt { "Last tray" }
                @match answer.run.result.last_tray() {
                    Some(tray) => { dd #last { (tray.name) } dd.range { (tray.food) } }
                    None => { dd #last { "none" } }
                }
            }
            @if energy.typical.is_some() { (number("energy", "Electricity", &energy, 1, "kWh")) }
            @if cost.typical.is_some() {
                @if let Some(servings) = load.servings {
                    (number("each", "Cost of a serving", &cost.over(servings), 2, currency))
                }
                (number("cost", "Cost of all", &cost, 2, currency))
            }
        }
    }
}

/// The numbers as `icefront plan --json` prints them.
struct Numbers(Value);

/// One of them with its range.
struct Number {
    low: Option<f64>,
    typical: Option<f64>,
    high: Option<f64>,
    drawn: bool,
}

impl Numbers {
    fn of(answer: &Answer) -> Self {
        Self(answer.value().unwrap_or_default())
    }

    fn at(&self, place: &str) -> Number {
        let value = |key: &str| self.0.pointer(&format!("{place}/{key}"));
        let number = |key: &str| value(key).and_then(Value::as_f64);
        let drawn = value("low").is_some();
        Number { low: number("low"), typical: number("typical_run"), high: number("high"), drawn }
    }
}

impl Number {
    fn over(&self, number: f64) -> Self {
        let each = |value: Option<f64>| value.map(|v| v / number);
        Self { low: each(self.low), typical: each(self.typical), high: each(self.high), drawn: self.drawn }
    }

    fn middle(&self, decimals: usize, unit: &str) -> String {
        self.typical.map_or("never".into(), |value| format!("{value:.decimals$}\u{a0}{unit}"))
    }
}

/// One figure: the middle large, its range below.
fn number(id: &str, label: &str, number: &Number, decimals: usize, unit: &str) -> Markup {
    let end = |value: Option<f64>| value.map_or("never".into(), |value| format!("{value:.decimals$}"));
    html! {
        div.figure {
            dt { (label) }
            dd { data id=(id) value=[number.typical] { (number.middle(decimals, unit)) } }
            @if number.drawn {
                dd.range {
                    data id=(format!("{id}-low")) value=[number.low] { (end(number.low)) }
                    " to "
                    data id=(format!("{id}-high")) value=[number.high] { (end(number.high)) " " (unit) }
                }
            }
        }
    }
}

/// How many draws stand behind the ranges.
fn draws(answer: &Answer, settings: Settings) -> String {
    let all = settings.draws;
    match (answer.whole, answer.draws) {
        (true, all) => format!(
            "From {all} samples. The result is below the range 1 time in 10 and above it 1 time in \
                                10."
        ),
        (false, 0) => format!("A first answer from typical numbers. Its range, from {all} samples, follows."),
        (false, some) => {
            format!("A first answer, with a rough range from {some} samples. The range from {all} samples follows.")
        }
    }
}

/// Chances of trouble, when to look, what to measure.
fn chances(answer: &Answer) -> Markup {
    let load = &answer.sheet.load;
    html! {
        @if let Some(range) = &answer.run.range {
            @if matches!(load.dryer, icefront_core::machine::Dryer::Cabinet(_)) { (range::verdict(load, range).html()) }
            (range::chances(load, range).html())
            (range::run_until(load, range).html())
            (range::measure_first(load, range).html())
        }
    }
}

fn plan_arguments(name: &str, answer: &Answer, settings: Settings) -> Vec<String> {
    let mut arguments = vec!["plan".to_string(), name.to_string()];
    if answer.draws != Settings::USUAL.draws {
        arguments.extend(["--samples".to_string(), answer.draws.to_string()]);
    }
    if settings.seed != Settings::USUAL.seed {
        arguments.extend(["--seed".to_string(), settings.seed.to_string()]);
    }
    arguments
}
