//! A state as HTML. Every text of the cook's is escaped by `maud`; every sentence on the run is `report`'s own.

mod answer;
mod command;
mod file;
mod form;
mod more;
mod night;
mod pantry;
mod parts;
mod run;
mod wrong;

use maud::{Markup, html};

pub use pantry::pantry;
use parts::frame;
pub use parts::link_of;

use crate::state::State;

/// The whole page; `link` is the one that others may use.
pub fn page(state: &State, link: Option<&str>) -> Markup {
    let title = if state.request.file.is_empty() { "a load that is not saved" } else { &state.request.file };
    frame(
        title,
        &html! {
            header {
                p.name { "icefront" }
                nav aria-label="Parts of this page" {
                    a href="#load" { "Food and trays" }
                    a href="#answer" { "Answer" }
                    a href="#why" { "Why" }
                    a href="#more" { "Ask more" }
                    a href="#night" { "Freezing" }
                    a href="#run" { "Run" }
                    a href="#after" { "Afterwards" }
                    a href="#text" { "As text" }
                    a href="#sheets" { "Sheets" }
                }
            }
            main {
                h1 { (title) }
                div #saving-here { (file::saving(state)) }
                (file::kept())
                div.columns {
                    (form::form(state))
                    div.beside role="region" aria-label="Answer" tabindex="0" {
                        (answer::not_current())
                        (answer::answer(state))
                    }
                }
                (answer::why(state))
                (more::more(state))
                (form::text(state))
                (file::sheets(state, link))
            }
            a #now href="#answer" { (answer::now(state)) }
            p #status role="status" {}
        },
    )
}

/// The parts that change while something is set; each goes where the one of its id stands.
pub fn parts(state: &State, dragging: bool) -> Markup {
    html! {
        (answer::answer(state))
        @if !dragging { (answer::why(state)) (more::report(state)) (run::readings(state)) }
        @if state.request.saves() { div #saving-here { (file::saving(state)) } }
        @if state.other_fields || state.request.saves() { (form::form(state)) } @else { (form::hidden_sheet(state)) (file::hint(state)) }
        (form::text(state))
        span #now-words { (answer::now(state)) }
    }
}

/// A page that only says why there is nothing else.
pub fn refusal(words: &str) -> Markup {
    frame(
        "not here",
        &html! {
            header { p.name { "icefront" } }
            main {
                h1 { "That did not work" }
                p.wrong { (words) }
                p { a href="/" { "Back to the page" } }
            }
        },
    )
}
