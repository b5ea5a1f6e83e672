//! Where the answer comes from: a few sentences, then tables and charts for whoever opens them.

use icefront_core::machine::Dryer;
use icefront_kitchen::blocks::Part;
use icefront_kitchen::plan::charts;
use icefront_kitchen::plan::document::Document;
use icefront_kitchen::report::figure::figure;
use icefront_kitchen::{plan, range, report};
use maud::{Markup, html};

use crate::view::figures::figures;
use crate::view::parts::{answer_of, button};
use crate::view::{command, plan as view_plan, wrong};
use crate::{Answer, Settings, State};

/// What is wrong with the sheet, or why the answer is what it is.
pub fn why(state: &State) -> Markup {
    match &state.outcome {
        Err(failure) => html! {
            section #answer tabindex="-1" { h2 { "No answer" } (wrong::list("The sheet cannot be planned like this:", &state.text, failure)) }
        },
        Ok(answer) => html! {
            section #answer tabindex="-1" data-whole=(answer.whole) {
                h2 { "Why" }
                (sentences(state, answer))
                p.buttons { (button("explain", "Why so slow?")) }
                (answer_of(state, "explain"))
                (details(state, answer))
            }
        },
    }
}

fn sentences(state: &State, answer: &Answer) -> Markup {
    let screen = view_plan::screen(state, answer);
    let said = [screen.last(), screen.check(), screen.read_first()];
    html! {
        @for words in said.iter().flatten() { (words.html()) }
        @if let Some((price, servings)) = answer.sheet.load.tariff.price_per_kwh.zip(answer.sheet.load.servings) {
            @let kwh = answer.shown.map(|shown| shown.kwh.typical);
            @if let Some(kwh) = kwh { p { "Electricity for a serving costs "
                data #each value=(price * kwh / servings) { (format!("{:.2} {}", price * kwh / servings, answer.sheet.load.tariff.currency)) } "." } }
        }
    }
}

fn details(state: &State, answer: &Answer) -> Markup {
    let (load, result) = (&answer.run.load, &answer.run.result);
    let document = Document::new(state.name(), &answer.sheet, &answer.run, answer.near.as_ref());
    html! {
        details #watch { summary { "Watch out for" }
            ul.cautions { @for caution in plan::cautions(&answer.sheet.load, result, &answer.run.dishes) { li { (caution) } } }
            @if answer.whole { (chances(answer)) }
        }
        @for (file, title) in charts::titles(load, answer.run.range.as_ref()) { (chart(state, &file, &title)) }
        details { summary { "Trays and limits" } (plan::loading(&answer.sheet.load, result).html()) (document.trays.html()) (document.limits.html()) }
        details { summary { "Stages, electricity, machine" }
            p { (document.what.text) " " (document.rule) }
            (document.stages.html()) (document.energy.html()) (document.water.html()) (document.front.html()) (document.machine.html())
            p.draws { (draws(answer, state.settings)) }
            (command::line(state, &plan_arguments(state.name(), answer, state.settings)))
        }
        details { summary { "Checklist for the run" } (report::steps(&document, &answer.sheet.load, result)) }
    }
}

/// A chart, drawn once it is opened.
pub fn chart(state: &State, file: &str, title: &str) -> Markup {
    let wanted = state.request.charts.iter().any(|open| open == file)
        || matches!(&state.request.action, crate::Action::Chart(open) if open == file);
    html! {
        details.chart open[wanted] id=(format!("c.{file}")) data-chart=(file) {
            summary { (title) }
            @if wanted { (drawn(state, file)) } @else { p.buttons.without-script { (button(&format!("chart.{file}"), "Draw")) } }
        }
    }
}

fn drawn(state: &State, file: &str) -> Markup {
    let Ok(answer) = &state.outcome else { return html! {} };
    let (load, result) = (&answer.run.load, &answer.run.result);
    match charts::chart(file, load, result, answer.run.range.as_ref()) {
        Some(Ok(chart)) => {
            html! { (figure(Some(&chart))) @if let Some(table) = figures(file, result) { details { summary { "The same in figures" } (table) } } }
        }
        Some(Err(error)) => html! { p.wrong { (error) } },
        None => html! { p { "There is nothing to draw." } },
    }
}

/// How many samples stand behind the ranges.
fn draws(answer: &Answer, settings: Settings) -> String {
    let all = settings.draws;
    match (answer.whole, answer.draws) {
        (true, all) => {
            format!("From {all} samples. The result is below the range 1 time in 10 and above it 1 time in 10.")
        }
        (false, 0) => format!("A first answer from typical numbers. Its range, from {all} samples, follows."),
        (false, few) => format!("A first answer from {few} samples; all {all} follow."),
    }
}

/// Chances of trouble over all samples.
fn chances(answer: &Answer) -> Markup {
    let Some(range) = &answer.run.range else { return html! {} };
    let load = &answer.sheet.load;
    html! {
        (range::chances(load, range).html())
        (range::run_until(load, range).html())
        @if let Dryer::Cabinet(_) = load.dryer { (range::measure_first(load, range).html()) }
    }
}

/// The arguments of `icefront plan` that print this answer.
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
