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
use crate::plan::tables;
use crate::report::checklist::checklist;
use crate::report::figure::figure;

const STYLE: &str = include_str!("page.css");

/// The whole page. All words of the user's are escaped.
///
/// # Errors
/// What a chart cannot draw.
pub fn html(document: &Document, run: &Run) -> Result<String, PlotError> {
    let (load, result) = (&run.load, &run.result);
    let drawn = charts(load, result, run.range.as_ref())?;
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
                (answer(document))
                (plan(document, load, result, &drawn))
                (money(document, &drawn))
                section {
                    h2 { "What to measure" }
                    (document.measure.html())
                    (figure(named(&drawn, "worth")))
                    @if document.measure.is_none() { p { "Without samples there is no range to narrow." } }
                }
                section { h2 { "Cautions" } ul { @for item in &document.mind.items { li { (item) } } } }
                section { h2 { "Checklist for the run" } (steps(document, load, result)) }
                (details(document, &drawn))
                footer { p { "icefront " (env!("CARGO_PKG_VERSION")) ". A plan, not a guarantee." } }
            } }
        }
    };
    Ok(page.into_string())
}

fn answer(document: &Document) -> Markup {
    html! {
        h1 { "Freeze-drying plan" }
        p.answer { (document.ready) @if let Some(electricity) = &document.electricity { " " (electricity) } }
        p { (document.what.text) }
        p { @if let Some(typical) = &document.typical { (typical) " " } (document.rule) }
    }
}

fn plan(document: &Document, load: &Load, result: &BatchResult, drawn: &[Chart]) -> Markup {
    html! {
        section { h2 { "Loading plan" } (tables::loading(load, result).html()) }
        section { h2 { "Timeline" } (document.stages.html()) (figure(named(drawn, "batch"))) }
    }
}

fn money(document: &Document, drawn: &[Chart]) -> Markup {
    html! {
        @if let Some(energy) = &document.energy {
            section { h2 { "Bill" } (energy.html()) (figure(named(drawn, "power"))) }
        }
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
    let shown_above = ["batch", "power", "worth"];
    html! {
        section {
            h2 { "Details" }
            (document.range.html())
            (document.verdict.html())
            (document.chances.html())
            (document.trays.html())
            @for part in [&document.last, &Some(document.water.clone()), &document.front, &document.machine] { (part.html()) }
            (document.limits.html())
            @for chart in drawn.iter().filter(|chart| !shown_above.contains(&chart.file.as_str())) { (figure(Some(chart))) }
        }
    }
}

fn named<'a>(drawn: &'a [Chart], file: &str) -> Option<&'a Chart> {
    drawn.iter().find(|chart| chart.file == file)
}
