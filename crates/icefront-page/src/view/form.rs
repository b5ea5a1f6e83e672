//! The sheet as a form, and as text.

use std::collections::BTreeMap;

use maud::{Markup, html};

use crate::State;
use crate::form::Form;
use crate::form::{Control, Field, Slider, TrayFields};
use crate::view::{file, wrong};

/// Problems by place.
type Wrong = BTreeMap<String, String>;

/// The form: the file, the whole load, the trays.
pub fn form(state: &State) -> Markup {
    let wrong = wrong::by_place(state);
    html! {
        form #load method="post" action="/plan" autocomplete="off" {
            (hidden_sheet(state))
            // what Enter in a field does
            button.unseen name="do" value="answer" tabindex="-1" aria-hidden="true" { "Answer" }
            @match &state.form {
                Some(form) => { (fields(form, &state.foods, &wrong)) }
                None => { p.wrong { "The text below cannot be shown as a form. Correct it there." } }
            }
            (file::keep(state))
        }
    }
}

/// The sheet that the form was made from.
pub fn hidden_sheet(state: &State) -> Markup {
    html! { input #sheet type="hidden" name="sheet" value=(state.text); }
}

/// The sheet itself, to be written by hand.
pub fn text(state: &State) -> Markup {
    html! {
        section #text {
            details open[state.form.is_none()] {
                summary { h2 { "The sheet as text" } }
                p { "Everything a sheet can hold, with your own recipes and foods. The form above changes it, and it \
                     changes the form." }
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

fn fields(form: &Form, foods: &[String], wrong: &Wrong) -> Markup {
    html! {
        datalist #foods { @for food in foods { option value=(food) {} } }
        h2 { "Trays, from the bottom to the top" }
        (wrong_at("tray", wrong))
        @for (number, tray) in form.trays.iter().enumerate() { (tray_fields(number, tray, form.trays.len(), wrong)) }
        p.buttons { button name="do" value="add" data-live { "Add a tray" } }
        fieldset.whole {
            legend { h2 { "The whole load" } }
            (wrong_at("", wrong))
            div.fields { @for one in &form.load { (field(one, wrong)) } }
        }
        p.buttons { button.main name="do" value="answer" { "Answer" } }
    }
}

fn tray_fields(number: usize, tray: &TrayFields, trays: usize, wrong: &Wrong) -> Markup {
    let step = |word: &str| format!("{word}.{number}");
    let button = |word: &str, label: &str, off: bool| {
        html! {
            button name="do" value=(step(word)) disabled[off] data-live aria-label=(format!("{label}: {}", tray.name)) {
                (label)
            }
        }
    };
    html! {
        fieldset.tray id=(format!("t.{number}")) {
            legend { h3 { (tray.name) ": " (tray.food) } }
            (wrong_at(&format!("tray.{number}"), wrong))
            div.fields { @for one in &tray.fields { (field(one, wrong)) } }
            details open[tray.more.iter().any(|field| wrong.contains_key(&field.place))] {
                summary { "Amount, pieces, lining" }
                div.fields { @for one in &tray.more { (field(one, wrong)) } }
            }
            @if !tray.others.is_empty() {
                p.hint { "Written in the " a href="#text" { "text" } " and kept: " (tray.others.join(", ")) "." }
            }
            p.buttons {
                (button("up", "Up", number + 1 == trays))
                (button("down", "Down", number == 0))
                (button("remove", "Remove tray", trays == 1))
            }
        }
    }
}

/// What is wrong with a table as a whole.
fn wrong_at(place: &str, wrong: &Wrong) -> Markup {
    html! {
        p.wrong id=(format!("w.{place}")) { @if let Some(words) = wrong.get(place) { (words) } }
    }
}

fn field(field: &Field, wrong: &Wrong) -> Markup {
    let words = wrong.get(&field.place);
    let ids = Ids::of(&field.place);
    let invalid = words.map(|_| "true");
    let described = format!("{} {}", ids.wrong, ids.hint);
    html! {
        div.field.tick[field.control == Control::Tick] {
            @if field.control != Control::Tick { label for=(ids.field) { (field.label) } }
            @match &field.control {
                Control::Typed(_) | Control::Food => {
                    @let food = field.control == Control::Food;
                    @if let Control::Typed(Some(slider)) = &field.control { (slide(field, slider, &ids)) }
                    input id=(ids.field) name=(field.place) value=(field.value) list=[food.then_some("foods")]
                        data-live[food] aria-describedby=(described) aria-invalid=[invalid];
                }
                Control::Choice(choices) => {
                    select id=(ids.field) name=(field.place) data-live aria-describedby=(described) aria-invalid=[invalid] {
                        @for (value, words) in choices {
                            option value=(value) selected[*value == field.value] { (words) }
                        }
                    }
                }
                Control::Tick => {
                    input type="hidden" name=(field.place) value="false";
                    label { input id=(ids.field) type="checkbox" name=(field.place) value="true"
                        checked[field.value == "true"]; " " (field.label) }
                }
            }
            p.wrong id=(ids.wrong) { @if let Some(words) = words { (words) } }
            @if !field.hint.is_empty() { p.hint id=(ids.hint) { (field.hint) } }
        }
    }
}

/// Shown by the script only: without one it would do nothing.
fn slide(field: &Field, slider: &Slider, ids: &Ids) -> Markup {
    html! {
        input.slider type="range" hidden id=(ids.slider) data-for=(ids.field) min=(round(slider.low))
            max=(round(slider.high)) step=(round(slider.step)) value=(round(slider.value)) data-before=(slider.before)
            data-after=(slider.after) aria-label=(format!("{}, by slider", field.label)) aria-valuetext=(field.value);
    }
}

/// Without the noise of the last bits.
fn round(value: f64) -> f64 {
    (value * 1e6).round() / 1e6
}

/// Names of a field's elements.
struct Ids {
    field: String,
    slider: String,
    hint: String,
    wrong: String,
}

impl Ids {
    fn of(place: &str) -> Self {
        let id = |kind: &str| format!("{kind}.{place}");
        Self { field: id("f"), slider: id("s"), hint: id("h"), wrong: id("w") }
    }
}
