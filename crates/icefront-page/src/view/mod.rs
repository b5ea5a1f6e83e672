//! A state as HTML. Every text of the cook's is escaped by `maud`; every sentence on the run is the library's own.

mod bar;
mod card;
mod command;
mod figures;
mod file;
mod freeze;
mod more;
mod pack;
mod parts;
mod plan;
mod plot;
mod run;
mod stack;
mod why;
mod wrong;

use maud::{Markup, html};

use parts::frame;
pub use parts::link_of;

use crate::food::Meaning;
use crate::place::View;
use crate::state::State;
use crate::{Action, Request};

/// The whole page; `link` is the one that others may use.
pub fn page(state: &State, link: Option<&str>) -> Markup {
    let title = if state.request.file.is_empty() { "Unsaved batch" } else { &state.request.file };
    frame(
        title,
        &html! {
            header {
                p.name { a href="/" { "icefront" } }
                h1 { (title.strip_suffix(".toml").unwrap_or(title)) }
                (file::saved(state))
            }
            (tabs(state))
            main {
                (bar::bar(state))
                (lost())
                div #saving-here { (file::saving(state)) }
                (file::kept())
                (plan::anchor(state))
                @for view in View::ALL { (section(state, view, link)) }
            }
            p #status role="status" {}
        },
    )
}

fn tabs(state: &State) -> Markup {
    html! {
        nav aria-label="Views" {
            @for view in View::ALL {
                button form="load" name="do" value=(format!("view.{}", view.name())) aria-current=[(view == state.view).then_some("page")] { (view.title()) }
            }
        }
    }
}

/// A view; those out of sight are filled when they are shown, but for the first, which is the form.
fn section(state: &State, view: View, link: Option<&str>) -> Markup {
    let shown = view == state.view;
    html! {
        section.view.two[view == View::Plan] id=(format!("v-{}", view.name())) hidden[!shown] data-empty[!shown && view != View::Plan] {
            @match view {
                View::Plan => { (plan::form(state)) (why::why(state)) }
                View::Freeze if shown => (freeze::freeze(state)),
                View::Run if shown => (run::run(state)),
                View::Pack if shown => (pack::pack(state)),
                View::More if shown => (more::more(state, link)),
                _ => {}
            }
        }
    }
}

/// Shown by the script when there is no answer to what is set, above the last one there was.
fn lost() -> Markup {
    html! {
        section.notice #lost hidden {
            p #lost-words {}
            p.buttons { button #again type="button" { "Try again" } }
        }
    }
}

/// The parts that change with an action; each goes where the one of its id stands.
pub fn parts(state: &State, link: Option<&str>) -> Markup {
    let Request { action, dragging, .. } = &state.request;
    match action {
        Action::View(view) => return section(state, *view, link),
        Action::Pantry(_) => return pack::pantry(state),
        _ => {}
    }
    if let (Action::Unfold(part), false) = (action, *dragging) {
        return why::unfolded(state, part);
    }
    let trays = state.form.as_ref().map_or(0, |form| form.trays.len());
    html! {
        (bar::bar(state))
        @if *dragging {
            (card::dry(state))
            (plan::sheet(state))
        } @else {
            (plan::anchor(state))
            (file::saved(state))
            (aside(state, link))
            @if state.other_fields || state.request.saves() { (plan::form(state)) }
            @else { (plan::sheet(state)) (plan::mind(state)) (card::dry(state)) }
            (why::why(state))
        }
        @for place in 0..trays { (stack::until_dry(state, place)) }
    }
}

/// Parts outside the first view.
fn aside(state: &State, link: Option<&str>) -> Markup {
    let action = &state.request.action;
    html! {
        @if state.request.saves() || matches!(action, Action::Begin) { div #saving-here { (file::saving(state)) } (file::kept_in(state)) }
        @match action {
            Action::Begin => (section(state, View::Run, link)),
            Action::AddReading | Action::RemoveReading if state.runs() => { (run::readings(state)) (run::to_go(state)) }
            Action::AddReading | Action::RemoveReading => (section(state, View::Run, link)),
            _ => {}
        }
        @if let Some((command, _)) = &state.report { (parts::answer_of(state, command)) }
        @if state.view == View::More { (file::hint(state)) (more::text(state)) }
    }
}

/// What the words for a food of a tray mean, as [`parts`] has it.
pub fn taken(meaning: &Meaning, place: usize) -> Markup {
    card::taken(meaning, place)
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
