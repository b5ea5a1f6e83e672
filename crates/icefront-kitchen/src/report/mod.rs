//! The report as one page: no scripts, no network, for screens of any width and for paper.

pub mod checklist;
pub mod figure;

use icefront_core::load::Load;
use icefront_core::result::BatchResult;
use icefront_plot::PlotError;
use maud::{DOCTYPE, Markup, PreEscaped, html};

use crate::blocks::Part;
use crate::plan::Run;
use crate::plan::charts::{Chart, charts};
use crate::plan::document::Document;
use crate::plan::{headline, tables};
use crate::report::checklist::checklist;
use crate::report::figure::figure;
use crate::weather::clock::Clock;

const STYLE: &str = include_str!("page.css");

/// The whole page: what a cook takes to the dryer on the first two sheets of paper, the details after them. All words of the
/// user's are escaped.
///
/// # Errors
/// What a chart cannot draw.
pub fn html(document: &Document, run: &Run, start: Clock) -> Result<String, PlotError> {
    let (load, result) = (&run.load, &run.result);
    let drawn = charts(run)?;
    let page = html! {
        (DOCTYPE)
        html lang="en" {
            head {
                meta charset="utf-8";
                meta name="viewport" content="width=device-width, initial-scale=1";
                meta http-equiv="Content-Security-Policy" content="default-src 'none'; style-src 'unsafe-inline'";
                title { "Freeze-drying plan" }
                style { (PreEscaped(STYLE)) }
            }
            body { main {
                (answer(document, run, start))
                section { h2 { "Loading plan" } (document.loading.html()) }
                section { h2 { "Times" } (tables::times(result, start).html()) }
                section { h2 { "Checklist for the run" } (steps(document, load, result)) }
                @if let Some(energy) = &document.energy { section { h2 { "Bill" } (energy.html()) } }
                section { h2 { "Cautions" } ul.cautions { @for item in &document.mind.items { li { (item) } } } }
                (details(document, &drawn))
                footer { p { "icefront " (env!("CARGO_PKG_VERSION")) ". A plan, not a guarantee." } }
            } }
        }
    };
    Ok(page.into_string())
}

fn answer(document: &Document, run: &Run, start: Clock) -> Markup {
    html! {
        h1 { "Freeze-drying plan" }
        p.answer {
            (headline::ready(run, Some(start))) @if let Some(electricity) = &document.electricity { " " (electricity) }
        }
        (document.verdict.html())
        p.note { (document.what.text) " " (document.rule) }
    }
}

/// The checklist of a run.
pub fn steps(document: &Document, load: &Load, result: &BatchResult) -> Markup {
    html! {
        @for steps in checklist(load, result, document) {
            h3 { (steps.when) }
            ul.checklist { @for item in steps.items { li { (item) } } }
        }
    }
}

fn details(document: &Document, drawn: &[Chart]) -> Markup {
    html! {
        section.details {
            h2 { "Details" }
            @if let Some(typical) = &document.typical { p { (typical) } }
            (document.range.html())
            (document.chances.html())
            (document.trays.html())
            @for part in [&document.last, &Some(document.water.clone()), &document.front, &document.machine] { (part.html()) }
            (document.limits.html())
            @for chart in drawn { (figure(Some(chart))) }
        }
    }
}
