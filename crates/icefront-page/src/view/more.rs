//! Files, comparisons, the sheet as text.

use maud::{Markup, html};

use crate::State;
use crate::questions::COST;
use crate::view::file;
use crate::view::parts::{answer_of, button};

/// All of it.
pub fn more(state: &State, link: Option<&str>) -> Markup {
    html! {
        h2 #h-more tabindex="-1" { "Save" }
        (file::keep(state))
        (file::sheets(state, link))
        h2 { "Compare" }
        (what_if(state))
        (text(state))
        p.hint { "What the model predicts, and how right it was: " code { "icefront evidence" } "." }
    }
}

fn what_if(state: &State) -> Markup {
    let request = &state.request;
    let by_cost = request.field("best.goal") == COST;
    html! {
        div.fields {
            div.field {
                label for="vary.key" { "What if" }
                input id="vary.key" form="load" name="vary.key" value=(request.field("vary.key")) placeholder="depth" data-quiet
                    aria-describedby="vary.hint" autocapitalize="off";
                p.hint id="vary.hint" { "depth, size, room, dryer, moisture, or fill for the amount on every tray; tray.2.depth for one" }
            }
            div.field {
                label for="vary.values" { "were" }
                input id="vary.values" form="load" name="vary.values" value=(request.field("vary.values")) placeholder="8 mm, 12 mm, 16 mm" data-quiet;
            }
        }
        p.buttons { (button("compare", "Compare")) }
        (answer_of(state, "compare"))
        div.fields {
            div.field {
                label for="best.goal" { "Arrange the same food for" }
                select id="best.goal" form="load" name="best.goal" data-quiet {
                    option value="hours" selected[!by_cost] { "least time" }
                    option value=(COST) selected[by_cost] { "least cost per kg" }
                }
            }
        }
        p.buttons { (button("best", "Find better")) }
        (answer_of(state, "best"))
    }
}

/// The sheet itself, to be written by hand.
pub fn text(state: &State) -> Markup {
    html! {
        section #text {
            details open[state.form.is_none()] {
                summary { "The sheet as text" }
                p { "Everything a sheet can hold, with your own recipes and foods." }
                form method="post" action="/plan" {
                    input type="hidden" name="file" value=(state.request.file);
                    input type="hidden" name="version" value=(state.version);
                    input type="hidden" name="opened" value=(state.request.opened);
                    label for="by-hand" { "Load sheet" }
                    textarea #by-hand name="sheet" rows="24" spellcheck="false" autocapitalize="off" { "\n" (state.text) }
                    button name="do" value="answer" { "Use this text" }
                }
            }
        }
    }
}
