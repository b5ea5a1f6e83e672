//! The first view: when it starts, what to watch, the trays, the machine.

use icefront_kitchen::plan::screen::Screen;
use maud::{Markup, html};

use crate::form::Form;
use crate::view::card::{field, remedy, wrong_at};
use crate::view::wrong::{Wrong, by_place};
use crate::view::{file, stack};
use crate::{Answer, State};

/// The form of the sheet.
pub fn form(state: &State) -> Markup {
    let wrong = by_place(state);
    html! {
        form #load method="post" action="/plan" autocomplete="off" {
            (hidden(state))
            // what Enter in a field does
            button.unseen name="do" value="answer" tabindex="-1" aria-hidden="true" { "Answer" }
            @match &state.form {
                Some(form) => {
                    (top(state))
                    (stack::stack(state, form, &wrong))
                    (whole(form, &wrong))
                    p.buttons.without-script { button.main name="do" value="answer" { "Answer" } }
                }
                None => p.wrong { "The sheet is no form now: correct it as text, under More." }
            }
        }
    }
}

/// What the form carries: the sheet it was made from, where it is kept, what is in sight.
fn hidden(state: &State) -> Markup {
    let open = state.open.map(|tray| tray.to_string()).unwrap_or_default();
    html! {
        (sheet(state))
        (file::kept_in(state))
        input #view type="hidden" name="view" value=(state.view.name());
        input #open type="hidden" name="open" value=(open) data-focus=[&state.focus];
        @if let Some(before) = &state.before { input type="hidden" name="before" value=(before); }
    }
}

/// The sheet that the form was made from.
pub fn sheet(state: &State) -> Markup {
    html! { input #sheet type="hidden" name="sheet" value=(state.text); }
}

/// What the last whole answer left.
pub fn anchor(state: &State) -> Markup {
    let anchor = state.outcome.as_ref().ok().and_then(|answer| answer.anchor.as_ref());
    html! { input #anchor type="hidden" form="load" name="anchor" value=(anchor.map(ToString::to_string).unwrap_or_default()); }
}

/// Start, verdict and warnings.
fn top(state: &State) -> Markup {
    html! {
        div.top {
            div.field.short {
                label for="start" { @if state.runs() { "Started" } @else { "Start" } }
                input #start type="time" name="start" value=(state.start) readonly[state.runs()];
            }
            (mind(state))
        }
    }
}

/// What the machine makes of the load, and the findings that are most pressing, each with its remedy.
pub fn mind(state: &State) -> Markup {
    html! {
        div #mind {
            @if let Some(words) = state.outcome.as_ref().ok().and_then(|answer| verdict(state, answer)) {
                @let (first, rest) = words.split_once(". ").unwrap_or((&words, ""));
                @if rest.is_empty() { p.chip.fine { (first) } }
                @else { details.chip { summary { (first) "." } p { (rest) } } }
            }
            @for one in &state.warned {
                div.chip.warning {
                    button.plain form="load" name="do" value=(format!("open.{}", one.tray)) {
                        strong { (one.trays) ":" } " " (one.words)
                    }
                    @if let Some(remedy_) = &one.remedy { (remedy(remedy_)) }
                }
            }
        }
    }
}

fn verdict(state: &State, answer: &Answer) -> Option<String> {
    if !answer.whole {
        return None;
    }
    screen(state, answer).verdict()
}

/// The answer in sentences.
pub fn screen<'a>(state: &'a State, answer: &'a Answer) -> Screen<'a> {
    Screen { source: state.name(), sheet: &answer.sheet, run: &answer.run, start: Some(state.start), assumed: &[] }
}

/// Fields of the whole load.
fn whole(form: &Form, wrong: &Wrong) -> Markup {
    let bad = |place: &str| wrong.contains_key(place);
    html! {
        details #whole open[form.load.iter().any(|field| bad(&field.place)) || bad("")] {
            summary { "Machine, room, freezing, price" }
            (wrong_at("", wrong))
            div.fields { @for one in &form.load { (field(one, wrong, one.otherwise.clone())) } }
        }
    }
}
