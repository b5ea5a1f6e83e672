//! Where to freeze: the night, told in numbers or in a weather file of the folder.

use maud::{Markup, html};

use crate::page::night::FIELDS;
use crate::page::screen::Screen;
use crate::page::view::more::{ticked, typed};

/// Its fields, and the button.
pub fn night(screen: &Screen) -> Markup {
    let told = &screen.wishes.night;
    let files = &screen.listing.weather;
    html! {
        p { "Outdoors tonight, in a freezer, or in the machine: which gets the food frozen in time, and what it saves." }
        div.fields {
            @if !files.is_empty() {
                div.field {
                    label for="night.weather" { "Weather" }
                    select id="night.weather" form="load" name="night.weather" data-quiet {
                        option value="" { "as told here" }
                        @for file in files { option value=(file) selected[*file == told.weather] { (file) } }
                    }
                }
            }
            @for (field, value) in FIELDS.iter().zip(&told.values) {
                (typed(&format!("night.{}", field.option), field.label, value, field.usual, field.hint))
            }
            (ticked("night.covered", "Lids on the trays", told.covered))
        }
        p.buttons { button form="load" name="do" value="prefreeze" { "Where to freeze?" } }
    }
}
