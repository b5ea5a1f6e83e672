//! Questions beyond the answer, and what came of the last one.

use maud::{Markup, html};

use super::super::readings::KINDS;
use super::super::screen::Screen;
use super::super::tools::{COST, Told, USUAL_START};
use super::{command, picture};

/// The questions, and the answer to the one that was asked.
pub fn more(screen: &Screen) -> Markup {
    html! {
        section #more {
            h2 { "Ask more" }
            (questions(screen))
            h2 #run { "During the run" }
            (during(screen))
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
                Some(Err(failure)) => { p.wrong role="alert" { (failure) } }
                None => {}
            }
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

/// Readings, and what they say.
fn during(screen: &Screen) -> Markup {
    let entered = &screen.read.entered;
    html! {
        p { "Never open or lean on the door under vacuum. A plug meter, a gauge and shelf probes need no opening; how a tray "
            "can be weighed half-way is told in docs/learning.md." }
        div.fields {
            div.field {
                label for="reading.time" { "Time" }
                input id="reading.time" form="load" name="reading.time" value=(entered.time) placeholder="22:30" data-quiet
                    aria-describedby="reading.hint";
                p.hint id="reading.hint" { "clock; enter first when the machine was switched on" }
            }
            div.field {
                label for="reading.kind" { "What was read" }
                select id="reading.kind" form="load" name="reading.kind" data-quiet {
                    @for (kind, words) in KINDS { option value=(kind) selected[kind == entered.kind] { (words) } }
                }
            }
            div.field {
                label for="reading.tray" { "Tray, where it belongs to one" }
                input id="reading.tray" form="load" name="reading.tray" value=(entered.tray) placeholder="1" data-quiet;
            }
            div.field {
                label for="reading.value" { "Number" }
                input id="reading.value" form="load" name="reading.value" value=(entered.value) inputmode="decimal" data-quiet;
            }
        }
        p.buttons {
            button form="load" name="do" value="read" { "Enter the reading" }
            button form="load" name="do" value="unread" { "Take the last one back" }
            button form="load" name="do" value="update" { "What the readings say" }
            button form="load" name="do" value="dry" { "Is it dry?" }
        }
        (readings(screen))
    }
}

/// Readings so far.
pub fn readings(screen: &Screen) -> Markup {
    let lines = &screen.read.lines;
    html! {
        details #readings {
            summary { "Readings so far: " (lines.len().saturating_sub(1)) }
            pre tabindex="0" { @for line in lines { (line) "\n" } }
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
        div.fields { div.field {
            label for="bill.start" { "The machine starts at" }
            input id="bill.start" form="load" name="bill.start" value=(screen.wishes.start) placeholder=(USUAL_START) data-quiet;
            p.buttons { button form="load" name="do" value="bill" { "Bill by the hour" } }
        } }
    }
}

fn answer(screen: &Screen, told: &Told) -> Markup {
    html! {
        article #told tabindex="-1" {
            h3 { (told.title) }
            (told.report)
            div.labels[told.labels] { @for svg in &told.pictures { (picture(told.title, svg)) } }
            (command::line(screen, &told.arguments))
        }
    }
}
