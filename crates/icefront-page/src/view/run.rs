//! While the machine runs: how long it takes yet, what was read, and what that says.

use maud::{Markup, html};

use crate::State;
use crate::readings::{self, KINDS, Kind};
use crate::view::parts::{answer_of, button, day, ticked, time};
use crate::view::plan;

/// The run.
pub fn run(state: &State) -> Markup {
    html! {
        h2 #h-run tabindex="-1" { @if state.runs() { "The run" } @else { "Start the run" } }
        @if state.runs() { (going(state)) } @else { (begin(state)) }
        (answer_of(state, "read"))
        @if state.runs() {
            p.buttons { (button("update", "What the readings say")) }
            (answer_of(state, "update"))
            p.buttons { (button("dry", "Is it dry?")) }
            (answer_of(state, "dry"))
            (over(state))
        }
    }
}

fn begin(state: &State) -> Markup {
    html! {
        p { "When the machine is switched on, say so here. The batch is saved, and the time counts from then." }
        div.fields {
            div.field.short {
                label for="run.start" { "Switched on at" }
                input id="run.start" type="time" value=(state.start) data-same="start" data-quiet;
            }
            (day(&state.request, "run.day", &state.today.to_string()))
        }
        p.buttons { button.main form="load" name="do" value="begin" { "The run has started" } }
    }
}

fn going(state: &State) -> Markup {
    let screen = state.outcome.as_ref().ok().map(|answer| plan::screen(state, answer));
    html! {
        (to_go(state))
        @if state.readings.len() < 2 {
            @if let Some(words) = screen.as_ref().and_then(|screen| screen.check()) { p { (words.text) } }
            @if let Some(words) = screen.as_ref().and_then(|screen| screen.read_first()) { p { (words.text) } }
        }
        (entry(state))
        (readings(state))
        p.hint { "Never open or lean on the door under vacuum. A plug meter, a gauge and shelf probes need no opening." }
    }
}

/// How long it takes yet: the script counts down from what the bar says.
pub fn to_go(state: &State) -> Markup {
    let day = readings::started_on(&state.readings);
    html! {
        p.to-go #to-go data-day=[day] {
            b #left {} " "
            span { "Started " @if let Some(day) = day { "on " (day) " " } "at " (state.start) "." }
        }
    }
}

/// A reading is entered here: the fields fit the kind.
fn entry(state: &State) -> Markup {
    let request = &state.request;
    let chosen = KINDS.into_iter().find(|kind| kind.name() == request.field("reading.kind")).unwrap_or(KINDS[0]);
    let trays = state.outcome.as_ref().map_or(&[][..], |answer| &answer.sheet.load.trays[..]);
    html! {
        h3 { "Enter a reading" }
        div.fields #reading {
            div.field.broad {
                label for="reading.kind" { "What was read" }
                select id="reading.kind" form="load" name="reading.kind" data-quiet { @for kind in KINDS { (option(kind, kind == chosen)) } }
            }
            (time(request, "reading.time", "Time", ""))
            @if readings::started_on(&state.readings).is_some() {
                (day(request, "reading.day", &state.today.to_string()))
            }
            div.field #of-tray {
                label for="reading.tray" { "Tray" }
                select id="reading.tray" form="load" name="reading.tray" data-quiet {
                    @for (place, tray) in trays.iter().enumerate() {
                        @let number = (place + 1).to_string();
                        option value=(number) selected[request.field("reading.tray") == number] { (number) " " (tray.food) }
                    }
                }
            }
            div.field.short #of-number {
                label for="reading.value" { "Reading" }
                div.entry { span.with-unit {
                    input id="reading.value" form="load" name="reading.value" value="" inputmode="decimal" data-quiet;
                    span.unit #reading-unit { (chosen.unit) }
                } }
            }
        }
        p.buttons { button.main form="load" name="do" value="read" { "Enter" } }
    }
}

fn option(kind: Kind, chosen: bool) -> Markup {
    html! {
        option value=(kind.name()) selected[chosen] data-unit=(kind.unit) data-tray[kind.of_tray] data-number[kind.event.is_empty()] { (kind.words) }
    }
}

/// Readings so far, the last one first.
pub fn readings(state: &State) -> Markup {
    html! {
        div #readings {
            @if !state.readings.is_empty() {
                ul.rows {
                    @for (place, line) in state.readings.iter().enumerate().rev() {
                        @let dated = line.time.split_once(' ').filter(|(day, time)| day.contains('-') && time.contains(':'));
                        @let (day, time) = dated.unwrap_or(("", &line.time));
                        li { b { (time) " " @if !day.is_empty() { small { (day) } } } " " span { (line.words) }
                            @if place + 1 == state.readings.len() { button.quiet form="load" name="do" value="unread" { "Undo" } } }
                    }
                }
            }
        }
    }
}

/// A batch that is over.
fn over(state: &State) -> Markup {
    html! {
        details {
            summary { "When the batch is over" }
            p { "It goes into the history with its readings, once; the history teaches what this machine is like, as a dryer to choose." }
            (ticked(&state.request, "learn.force", "Overwrite a learned dryer that exists"))
            p.buttons { (button("log", "Add to the history")) (button("learn", "Learn from the history")) }
            (answer_of(state, "log"))
            (answer_of(state, "learn"))
        }
    }
}
