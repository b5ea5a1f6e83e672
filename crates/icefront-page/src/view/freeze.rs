//! Where to freeze: the night, in numbers or in a weather file of the folder.

use maud::{Markup, html};

use crate::State;
use crate::questions::{NIGHT_FIELDS, NightField};
use crate::view::parts::{answer_of, button, ticked, time, typed};

/// The fields of the night, and the answer.
pub fn freeze(state: &State) -> Markup {
    let request = &state.request;
    let files = &state.listing.weather;
    let (first, others): (Vec<_>, Vec<_>) = NIGHT_FIELDS.iter().partition(|field| field.first);
    let entry = |field: &NightField| {
        let name = format!("night.{}", field.option);
        if field.is_clock {
            time(request, &name, field.label, field.usual)
        } else {
            typed(request, &name, field.label, field.usual, field.hint)
        }
    };
    html! {
        h2 #h-freeze tabindex="-1" { "Where to freeze" }
        p { "Outdoors tonight, in a freezer, or in the machine: which gets the food frozen in time, and what it saves." }
        div.fields {
            @if !files.is_empty() {
                div.field {
                    label for="night.weather" { "Weather" }
                    select id="night.weather" form="load" name="night.weather" data-quiet {
                        option value="" { "as entered here" }
                        @for file in files { option value=(file) selected[file == request.field("night.weather")] { (file) } }
                    }
                }
            }
            @for field in first { (entry(field)) }
        }
        details {
            summary { "Wind, lids, freezer" }
            div.fields {
                @for field in others { (entry(field)) }
                (ticked(request, "night.covered", "Lids on the trays"))
            }
        }
        p.buttons { (button("prefreeze", "Where to freeze?")) }
        (answer_of(state, "prefreeze"))
    }
}
