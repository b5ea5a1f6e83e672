//! After the run: packs, labels, the bill, the pantry.

use icefront_kitchen::format;
use icefront_kitchen::pantry::Lot;
use maud::{Markup, html};

use crate::State;
use crate::view::parts::{answer_of, button};

/// All of it.
pub fn pack(state: &State) -> Markup {
    html! {
        h2 #h-pack tabindex="-1" { "Pack" }
        p.buttons { (button("pack", "Packs and water to add")) }
        (answer_of(state, "pack"))
        p.buttons { (button("labels", "Labels")) }
        (answer_of(state, "labels"))
        p.buttons { (button("bill", "Bill by the hour")) }
        (answer_of(state, "bill"))
        (pantry(state))
    }
}

/// What is left in the pantry, one row a lot.
pub fn pantry(state: &State) -> Markup {
    html! {
        section #pantry {
            h2 { "Pantry" }
            p.buttons { (button("put", "Put these packs in")) }
            @match &state.done {
                Some(Ok(done)) => div.done tabindex="-1" role="status" {
                    p.lines { (done.words.trim()) }
                    @if let Some(last) = &done.last {
                        input type="hidden" form="load" name="pantry.before" value=(last.before);
                        input type="hidden" form="load" name="pantry.version" value=(last.version);
                        p.buttons { (button("untake", "Undo")) }
                    }
                },
                Some(Err(failure)) => div role="alert" tabindex="-1" { p.wrong { (failure) } },
                None => {}
            }
            @match &state.lots {
                Some(Ok(lots)) if lots.is_empty() => p { "The pantry is empty." },
                Some(Ok(lots)) => ul.rows.lots { @for lot in lots { (row(state, lot)) } },
                Some(Err(failure)) => p.wrong { (failure) },
                None => {}
            }
            @if state.lots.as_ref().is_some_and(|lots| lots.as_ref().is_ok_and(|lots| !lots.is_empty())) {
                p.hint { "Use the oldest first; the date is not an expiry date. Look, smell, and if in doubt throw it out." }
            }
        }
    }
}

fn row(state: &State, lot: &Lot) -> Markup {
    let put = &lot.put;
    html! {
        li {
            span.what { b { (put.food) } span.hint { "lot " (lot.number) ", best by " (put.eat_first)
                @if put.eat_first < state.today { " (passed)" } } }
            span { (format::count(lot.left as usize, "pack")) }
            button.quiet form="load" name="do" value=(format!("take.{}", lot.number)) aria-label=(format!("Take one pack of {}, lot {}", put.food, lot.number)) { "Take one" }
        }
    }
}
