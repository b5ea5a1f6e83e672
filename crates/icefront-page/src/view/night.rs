//! Where to freeze: the night, in numbers or in a weather file of the folder.

use maud::{Markup, html};

use crate::State;
use crate::questions::NIGHT_FIELDS;
use crate::view::parts::{ticked, typed};

/// Its fields, and the button.
pub fn night(state: &State) -> Markup {
    let request = &state.request;
    let files = &state.listing.weather;
    html! {
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
            @for field in &NIGHT_FIELDS {
                (typed(request, &format!("night.{}", field.option), field.label, field.usual, field.hint))
            }
            (ticked(request, "night.covered", "Lids on the trays"))
        }
        p.buttons { button form="load" name="do" value="prefreeze" { "Where to freeze?" } }
    }
}
