//! During the run: readings, and what they say; once it is over, the history and what it teaches.

use maud::{Markup, html};

use crate::State;
use crate::readings::KINDS;
use crate::view::parts::{ticked, typed};

/// Readings are entered here.
pub fn run(state: &State) -> Markup {
    let request = &state.request;
    html! {
        p { "Never open or lean on the door under vacuum. A plug meter, a gauge and shelf probes need no opening; how a tray "
            "can be weighed half-way is described in docs/guide/learning.md." }
        div.fields {
            (typed(request, "reading.time", "Time", "22:30", "clock; enter first when the machine was switched on"))
            div.field {
                label for="reading.kind" { "What was read" }
                select id="reading.kind" form="load" name="reading.kind" data-quiet {
                    @for (kind, words) in KINDS { option value=(kind) selected[kind == request.field("reading.kind")] { (words) } }
                }
            }
            (typed(request, "reading.tray", "Tray, where it belongs to one", "1", ""))
            (typed(request, "reading.value", "Number", "", ""))
        }
        p.buttons {
            button form="load" name="do" value="read" { "Enter the reading" }
            button form="load" name="do" value="unread" { "Undo the last reading" }
            button form="load" name="do" value="update" { "What the readings say" }
            button form="load" name="do" value="dry" { "Is it dry?" }
        }
        (readings(state))
    }
}

/// Readings so far.
pub fn readings(state: &State) -> Markup {
    let lines = &state.readings;
    html! {
        details #readings {
            summary { "Readings so far: " (lines.len().saturating_sub(1)) }
            pre tabindex="0" { @for line in lines { (line) "\n" } }
        }
    }
}

/// A batch that is over.
pub fn finished(state: &State) -> Markup {
    html! {
        p { "A batch that is over goes into the history with its readings, once; the history teaches what this machine is "
            "like, as a dryer file to choose above." }
        (ticked(&state.request, "learn.force", "Replace a learned dryer that is there (--force)"))
        p.buttons {
            button form="load" name="do" value="log" { "Batch into the history" }
            button form="load" name="do" value="learn" { "Learn from the history" }
        }
    }
}
