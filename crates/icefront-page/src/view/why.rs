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
use crate::view::{command, plan as view_plan, plot, wrong};
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
    let charts = charts::titles(&answer.run);
    html! {
        details #watch { summary { "Watch out for" }
            ul.cautions { @for caution in plan::cautions(&answer.run) { li { (caution) } } }
        }
        @if let Some(((file, title), others)) = charts.split_first() {
            (fold(state, file, title))
            details open[others.iter().any(|(file, _)| wanted(state, file))] {
                summary { "More charts" }
                div.inside { @for (file, title) in others { (fold(state, file, title)) } }
            }
        }
        @for (name, title) in TABLES { (fold(state, name, title)) }
    }
}

/// Tables that are shown once they are unfolded.
const TABLES: [(&str, &str); 4] = [
    ("chances", "Chances"),
    ("trays", "Trays and limits"),
    ("stages", "Stages, electricity, machine"),
    ("steps", "Checklist for the run"),
];

/// A part with what is in it.
pub fn unfolded(state: &State, name: &str) -> Markup {
    let run = state.outcome.as_ref().map(|answer| &answer.run);
    let titles = run.map(charts::titles).unwrap_or_default();
    let chart = titles.iter().find(|(file, _)| file == name).map(|(_, title)| title.as_str());
    let table = TABLES.into_iter().find(|(known, _)| *known == name).map(|(_, title)| title);
    html! { @if let Some(title) = chart.or(table) { (fold(state, name, title)) } }
}

/// A part that is made once it is opened.
fn fold(state: &State, name: &str, title: &str) -> Markup {
    let wanted = wanted(state, name);
    html! {
        details.fold open[wanted] id=(format!("c.{name}")) data-fold=(name) {
            summary { (title) }
            @if wanted { div.unfolded { (content(state, name)) } }
            @else { p.buttons.without-script { (button(&format!("unfold.{name}"), "Show")) } }
        }
    }
}

fn wanted(state: &State, name: &str) -> bool {
    let asked = matches!(&state.request.action, crate::Action::Unfold(part) if part == name);
    asked || state.request.unfolded.iter().any(|part| part == name)
}

fn content(state: &State, name: &str) -> Markup {
    let Ok(answer) = &state.outcome else { return html! {} };
    if !TABLES.iter().any(|(known, _)| *known == name) {
        return drawn(state, answer, name);
    }
    let result = &answer.run.result;
    let near = (name == "trays").then(|| answer.near()).flatten();
    let document = Document::new(state.name(), &answer.sheet, &answer.run, near.as_ref());
    match name {
        "chances" => chances(answer),
        "trays" => {
            html! { (plan::loading(&answer.sheet.load).html()) (document.trays.html()) (document.limits.html()) }
        }
        "steps" => report::steps(&document, &answer.sheet.load, result),
        _ => html! {
            p { (document.what.text) " " (document.rule) }
            (document.stages.html()) (document.energy.html()) (document.water.html()) (document.front.html()) (document.machine.html())
            p.draws { (draws(answer, state.settings)) }
            (command::line(state, &plan_arguments(state.name(), answer, state.settings)))
        },
    }
}

fn drawn(state: &State, answer: &Answer, file: &str) -> Markup {
    let result = &answer.run.result;
    if let Some(plots) = plot::plots(file, result) {
        let table = figures(file, result);
        return html! {
            @for plot in &plots { (plot.html(result, state.start)) }
            @if let Some(table) = table { details { summary { "The same in figures" } (table) } }
        };
    }
    match charts::chart(file, &answer.run) {
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
        p { (range::ready(range, None)) }
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
