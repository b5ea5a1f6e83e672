//! Questions beyond the answer, and what came of the last one.

use maud::{Markup, html};

use crate::State;
use crate::questions::{COST, Report, USUAL_START};
use crate::view::parts::{picture, typed};
use crate::view::{command, night, run, wrong};

/// The questions, and the answer to the last one.
pub fn more(state: &State) -> Markup {
    html! {
        section #more {
            h2 { "Ask more" }
            (questions(state))
            h2 #night { "Where to freeze" }
            (night::night(state))
            h2 #run { "During the run" }
            (run::run(state))
            h2 #after { "Afterwards" }
            (afterwards(state))
            (report(state))
        }
    }
}

/// The answer to the last question.
pub fn report(state: &State) -> Markup {
    html! {
        div #report-here {
            @match &state.report {
                Some(Ok(report)) => { (answer(state, report)) }
                Some(Err(failure)) => { div role="alert" { (wrong::list("That cannot be done like this:", "", failure)) } }
                None => {}
            }
        }
    }
}

/// Their fields belong to the form of the sheet, which they are about.
fn questions(state: &State) -> Markup {
    let request = &state.request;
    let by_cost = request.field("best.goal") == COST;
    html! {
        p.buttons { button form="load" name="do" value="explain" { "Why so slow?" } }
        div.fields {
            div.field {
                label for="vary.key" { "What if ..." }
                input id="vary.key" form="load" name="vary.key" value=(request.field("vary.key")) placeholder="depth" list="keys"
                    aria-describedby="vary.hint" data-quiet;
                datalist #keys {
                    @for key in ["depth", "size", "thickness", "room", "fill", "dryer", "method", "moisture"] { option value=(key) {} }
                }
                p.hint id="vary.hint" { "a key of the sheet, such as depth or tray.2.depth; or fill, for the amount on every tray" }
            }
            div.field {
                label for="vary.values" { "... were" }
                input id="vary.values" form="load" name="vary.values" value=(request.field("vary.values")) placeholder="8 mm, 12 mm, 16 mm" data-quiet;
                p.buttons { button form="load" name="do" value="compare" { "Compare" } }
            }
            div.field {
                label for="best.goal" { "Arrange the same food for" }
                select id="best.goal" form="load" name="best.goal" data-quiet {
                    option value="hours" selected[!by_cost] { "least time" }
                    option value=(COST) selected[by_cost] { "least cost per kg" }
                }
                p.buttons { button form="load" name="do" value="best" { "Find better" } }
            }
        }
    }
}

/// Packing, labels, the bill, the pantry.
fn afterwards(state: &State) -> Markup {
    html! {
        p.buttons {
            button form="load" name="do" value="pack" { "Packs and water to add" }
            button form="load" name="do" value="labels" { "Labels" }
            button form="load" name="do" value="put" formaction="/pantry" { "Put the packs into the pantry" }
            a.button href="/pantry" { "Pantry" }
        }
        div.fields {
            (typed(&state.request, "bill.start", "The machine starts at", USUAL_START, ""))
        }
        p.buttons { button form="load" name="do" value="bill" { "Bill by the hour" } }
        (run::finished(state))
    }
}

fn answer(state: &State, report: &Report) -> Markup {
    html! {
        article #report tabindex="-1" {
            h3 { (report.title) }
            (report.text)
            div.labels[report.labels] { @for svg in &report.pictures { (picture(report.title, svg)) } }
            @if !report.arguments.is_empty() { (command::line(state, &report.arguments)) }
        }
    }
}
