//! The pantry as a page.

use maud::{Markup, PreEscaped, html};

use crate::names::PANTRY;
use crate::pantry::Shelf;
use crate::view::parts::frame;
use icefront_kitchen::Failure;

/// What is in it, what was just done, and the form to take packs out.
pub fn pantry(shelf: &Result<Shelf, Failure>, done: Option<&Result<String, Failure>>) -> Markup {
    let body = html! {
        header { p.name { "icefront" } nav aria-label="Parts of this page" { a href="/" { "Back to the load" } } }
        main {
            h1 { "Pantry" }
            @match done {
                Some(Ok(words)) => { p role="status" { (words) } }
                Some(Err(failure)) => { p.wrong role="alert" { (failure) } }
                None => {}
            }
            @match shelf {
                Ok(shelf) => {
                    form method="post" action="/pantry" {
                        div.fields {
                            div.field {
                                label for="what" { "Take out: food, or number of a lot" }
                                input #what name="what" required;
                            }
                            div.field {
                                label for="packs" { "Packs" }
                                input #packs name="packs" value="1" inputmode="numeric";
                            }
                        }
                        p.buttons { button name="do" value="take" { "Take out" } }
                    }
                    (PreEscaped(&shelf.list))
                    (PreEscaped(&shelf.summary))
                }
                Err(failure) => { p { (failure) } }
            }
            p.command { "The same from a command line: " code { "icefront store list" } " and " code { "icefront store summary" }
                "; the file is " code { (PANTRY) } "." }
        }
    };
    frame("pantry", &body)
}
