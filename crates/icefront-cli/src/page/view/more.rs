//! Questions beyond the answer, and what came of the last one.

use maud::{Markup, html};

use crate::page::screen::Screen;
use crate::page::tools::{COST, Told, USUAL_START};
use crate::page::view::{command, night, picture, run, wrong};

/// The questions, and the answer to the one that was asked.
pub fn more(screen: &Screen) -> Markup {
    html! {
        section #more {
            h2 { "Ask more" }
            (questions(screen))
            h2 #night { "Where to freeze" }
            (night::night(screen))
            h2 #run { "During the run" }
            (run::run(screen))
            h2 #after { "Afterwards" }
            (afterwards(screen))
            (told(screen))
        }
    }
}

/// The answer to the last question.
pub fn told(screen: &Screen) -> Markup {
    html! {
        div #told-here {
            @match &screen.more {
                Some(Ok(told)) => { (answer(screen, told)) }
                Some(Err(failure)) => { div role="alert" { (wrong::told(failure)) } }
                None => {}
            }
        }
    }
}

/// A field of a question, which belongs to the form of the sheet; nothing is asked while it is typed.
pub fn typed(name: &str, label: &str, value: &str, usual: &str, hint: &str) -> Markup {
    let id_of_hint = format!("h.{name}");
    html! {
        div.field {
            label for=(name) { (label) }
            input id=(name) form="load" name=(name) value=(value) placeholder=(usual) data-quiet
                aria-describedby=[(!hint.is_empty()).then_some(&id_of_hint)];
            @if !hint.is_empty() { p.hint id=(id_of_hint) { (hint) } }
        }
    }
}

/// On or off, as [`typed`].
pub fn ticked(name: &str, label: &str, on: bool) -> Markup {
    html! {
        div.field.tick {
            label { input id=(name) form="load" type="checkbox" name=(name) value="true" checked[on] data-quiet; " " (label) }
        }
    }
}

/// Their fields belong to the form of the sheet, which they ask about.
fn questions(screen: &Screen) -> Markup {
    let wishes = &screen.wishes;
    html! {
        p.buttons { button form="load" name="do" value="explain" { "Why so slow?" } }
        div.fields {
            div.field {
                label for="vary.key" { "What if ..." }
                input id="vary.key" form="load" name="vary.key" value=(wishes.key) placeholder="depth" list="keys"
                    aria-describedby="vary.hint" data-quiet;
                datalist #keys {
                    @for key in ["depth", "size", "thickness", "room", "fill", "dryer", "method", "moisture"] { option value=(key) {} }
                }
                p.hint id="vary.hint" { "a key of the sheet, such as depth or tray.2.depth; or fill, for the amount on every tray" }
            }
            div.field {
                label for="vary.values" { "... were" }
                input id="vary.values" form="load" name="vary.values" value=(wishes.values) placeholder="8 mm, 12 mm, 16 mm" data-quiet;
                p.buttons { button form="load" name="do" value="compare" { "Compare" } }
            }
            div.field {
                label for="best.goal" { "Arrange the same food for" }
                select id="best.goal" form="load" name="best.goal" data-quiet {
                    option value="hours" selected[!wishes.by_cost] { "least time" }
                    option value=(COST) selected[wishes.by_cost] { "least cost per kg" }
                }
                p.buttons { button form="load" name="do" value="best" { "Find better" } }
            }
        }
    }
}

/// Packing, labels, the bill, the pantry.
fn afterwards(screen: &Screen) -> Markup {
    html! {
        p.buttons {
            button form="load" name="do" value="pack" { "Packs and water to add" }
            button form="load" name="do" value="labels" { "Labels" }
            button form="load" name="do" value="put" formaction="/pantry" { "Put the packs into the pantry" }
            a.button href="/pantry" { "Pantry" }
        }
        div.fields {
            (typed("bill.start", "The machine starts at", &screen.wishes.start, USUAL_START, ""))
        }
        p.buttons { button form="load" name="do" value="bill" { "Bill by the hour" } }
        (run::finished(screen))
    }
}

fn answer(screen: &Screen, told: &Told) -> Markup {
    html! {
        article #told tabindex="-1" {
            h3 { (told.title) }
            (told.report)
            div.labels[told.labels] { @for svg in &told.pictures { (picture(told.title, svg)) } }
            @if !told.arguments.is_empty() { (command::line(screen, &told.arguments)) }
        }
    }
}
