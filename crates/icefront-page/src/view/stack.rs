//! The trays as they stand in the cabinet, the top one first; one of them open.

use icefront_kitchen::format::in_hours;
use icefront_kitchen::pack::amounts::kitchen_mass;
use icefront_kitchen::plan::tables::depth;
use icefront_kitchen::range::hours;
use maud::{Markup, html};

use crate::State;
use crate::form::{Form, TrayFields};
use crate::view::card;
use crate::view::wrong::Wrong;

/// The stack, and what can be done with it.
pub fn stack(state: &State, form: &Form, wrong: &Wrong) -> Markup {
    html! {
        section #stack aria-label="Trays, the top one first" {
            (card::wrong_at("tray", wrong))
            ol.stack reversed {
                @for (place, tray) in form.trays.iter().enumerate().rev() { (row(state, place, tray, form.trays.len(), wrong)) }
            }
            p.buttons {
                button name="do" value="add" { "+ Add a tray" }
                button #undo name="do" value="undo" hidden[state.before.is_none()] { "Undo" }
            }
        }
    }
}

fn row(state: &State, place: usize, tray: &TrayFields, trays: usize, wrong: &Wrong) -> Markup {
    let open = state.open == Some(place);
    let act = if open { "close".to_string() } else { format!("open.{place}") };
    let bad = wrong.keys().any(|key| *key == format!("tray.{place}") || key.starts_with(&format!("tray.{place}.")));
    html! {
        li.tray.open[open] id=(format!("t.{place}")) {
            button.row id=(format!("row.{place}")) name="do" value=(act) aria-expanded=(open) {
                b.number { (place + 1) }
                span.food { (if tray.food.is_empty() { "no food yet" } else { &tray.food }) }
                @if bad { span.bad { "see here" } }
                @if !open { span.size { (size(state, place)) } }
                (until_dry(state, place))
            }
            @if open { (card::card(state, place, tray, trays, wrong)) }
        }
    }
}

/// Depth and amount.
fn size(state: &State, place: usize) -> String {
    let Ok(answer) = &state.outcome else { return String::new() };
    let load = &answer.sheet.load;
    let shape = load.trays.get(place).map(|tray| depth(&tray.shape, load.units)).unwrap_or_default();
    format!("{shape}, {}", amount(state, place))
}

/// What lies on a tray; empty without an answer.
pub fn amount(state: &State, place: usize) -> String {
    let Ok(answer) = &state.outcome else { return String::new() };
    let loaded = answer.run.result.trays.get(place);
    loaded.map(|tray| kitchen_mass(tray.loaded_kg, answer.sheet.load.units)).unwrap_or_default()
}

/// Hours until a tray is dry, as a bar on a scale common to all, and in figures. It moves while something is dragged.
pub fn until_dry(state: &State, place: usize) -> Markup {
    let trays = state.outcome.as_ref().map_or(&[][..], |answer| &answer.run.result.trays[..]);
    let dry_s = |place: usize| trays.get(place).and_then(|tray| tray.dry_at_s);
    let longest_s = (0..trays.len()).filter_map(dry_s).fold(0.0, f64::max);
    let last = dry_s(place).is_some_and(|s| s >= longest_s && trays.len() > 1);
    let width = dry_s(place).map_or(0.0, |s| (1000.0 * s / longest_s).round() / 10.0);
    html! {
        span.until.last[last] id=(format!("dry.{place}")) {
            svg viewBox="0 0 100 4" preserveAspectRatio="none" aria-hidden="true" {
                rect.track width="100" height="4" {}
                rect width=(width) height="4" {}
            }
            @match dry_s(place) {
                Some(s) => data value=(in_hours(s)) { (hours(s)) },
                None if trays.is_empty() => span {},
                None => span { "never" },
            }
        }
    }
}
