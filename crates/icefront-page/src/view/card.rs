//! One open tray: its food, its size, when it is dry, the one change worth most.

use icefront_kitchen::range::{day_and_clock, low_to_high, shown_s};
use maud::{Markup, html};

use crate::State;
use crate::food::Meaning;
use crate::form::{Control, Field, Slider, TrayFields, UNIT_OF, split};
use crate::remedy::Remedy;
use crate::view::stack;
use crate::view::wrong::Wrong;

/// The fields of a tray, and what can be done with it.
pub fn card(state: &State, place: usize, tray: &TrayFields, trays: usize, wrong: &Wrong) -> Markup {
    let step = |word: &str, label: &str, off: bool| {
        html! { button name="do" value=(format!("{word}.{place}")) disabled[off] { (label) } }
    };
    let own = format!("tray.{place}.");
    let more_open = tray.more.iter().any(|field| wrong.contains_key(&field.place));
    html! {
        div.card {
            (wrong_at(own.trim_end_matches('.'), wrong))
            div.fields {
                @for one in &tray.fields {
                    (field(one, wrong, if one.place.ends_with(".amount") { stack::amount(state, place) } else { String::new() }))
                    @if one.place == format!("{own}food") { (taken(&state.meaning, place)) }
                }
            }
            (dry(state))
            @if let Some(thinner) = &state.thinner { p.remedy #thinner { (remedy(thinner)) } }
            details open[more_open] {
                summary { "Fat, pieces, lining, freezing" }
                div.fields { @for one in &tray.more { (field(one, wrong, String::new())) } }
                @if !tray.others.is_empty() {
                    p.hint { "Written in the sheet's text and kept: " (tray.others.join(", ")) "." }
                }
            }
            p.buttons.quiet {
                (step("copy", "Copy", false))
                (step("up", "Up", place + 1 == trays))
                (step("down", "Down", place == 0))
                (step("remove", "Remove", trays == 1))
            }
        }
    }
}

/// When the open tray is dry.
pub fn dry(state: &State) -> Markup {
    let Ok(answer) = &state.outcome else { return html! { p #dry {} } };
    let q = answer.shown.and_then(|shown| shown.tray_s).filter(|q| q.high.is_finite());
    html! {
        p #dry {
            @if let Some(q) = q {
                "Dry " b { (day_and_clock(state.start, shown_s(q.typical, f64::round))) } " (" (low_to_high(q)) ", 8 times in 10)"
            }
        }
    }
}

/// A change and what it does, done in one tap.
pub fn remedy(remedy: &Remedy) -> Markup {
    html! {
        button form="load" name="do" value=(format!("set.{}={}", remedy.place, remedy.value)) {
            (remedy.words) ": " (remedy.effect.replace(' ', "\u{a0}"))
        }
    }
}

/// What the words for a food were taken for, and other foods they could mean, each as a button with its exact name.
pub fn taken(meaning: &Meaning, place: usize) -> Markup {
    let choice = |name: &String| {
        html! { button.choice form="load" name="do" value=(format!("set.tray.{place}.food={name}")) { (name) } }
    };
    html! {
        div.taken id=(format!("took.{place}")) {
            @match &meaning.taken {
                Some(taken) => p { "Took: " b { (taken) } @if !meaning.sure { ". Not sure: choose if it is another." } },
                None if !meaning.others.is_empty() => p { "Not found. Do you mean one of these?" },
                None => {}
            }
            @if !meaning.others.is_empty() {
                details open[!meaning.sure] {
                    summary { (meaning.others.len()) " others" }
                    div.choices { @for name in &meaning.others { (choice(name)) } }
                }
            }
        }
    }
}

/// What is wrong with a table as a whole.
pub fn wrong_at(place: &str, wrong: &Wrong) -> Markup {
    html! {
        p.wrong id=(format!("w.{place}")) { @if let Some(words) = wrong.get(place) { (words) } }
    }
}

/// What holds while a field is empty, as it stands beside the field's unit: kilograms as grams, and no unit twice.
fn in_unit(usual: &str, unit: &str) -> String {
    match split(usual) {
        Some((number, same)) if same == unit => number.into(),
        Some((number, " kg")) if unit == " g" => {
            number.parse().map_or(usual.into(), |kg: f64| format!("{:.0}", 1e3 * kg))
        }
        _ => usual.into(),
    }
}

/// A field of the sheet. `usual` is what holds while it is empty.
pub fn field(field: &Field, wrong: &Wrong, usual: String) -> Markup {
    let words = wrong.get(&field.place);
    let ids = Ids::of(&field.place);
    let invalid = words.map(|_| "true");
    let (shown, unit) = field.parts();
    let usual = unit.map_or(usual.clone(), |unit| in_unit(&usual, unit));
    let tick = field.control == Control::Tick;
    html! {
        div.field.tick[tick].broad[field.control == Control::Food || field.place == "dryer"].slides[matches!(field.control, Control::Typed(Some(_)))] {
            @if !tick { label for=(ids.field) { (field.label) } }
            @match &field.control {
                Control::Typed(slider) => {
                    div.entry {
                        @if slider.is_some() { button.tap type="button" hidden data-for=(ids.slider) data-by="-1" aria-label=(format!("less: {}", field.label)) { "\u{2212}" } }
                        span.with-unit {
                            input id=(ids.field) name=(field.place) value=(shown) placeholder=(usual) inputmode=[unit.map(|_| "decimal")]
                                aria-describedby=(ids.wrong) aria-invalid=[invalid];
                            @if let Some(unit) = unit { span.unit aria-hidden="true" { (unit_shown(unit)) } }
                        }
                        @if slider.is_some() { button.tap type="button" hidden data-for=(ids.slider) data-by="1" aria-label=(format!("more: {}", field.label)) { "+" } }
                    }
                    @if let Some(unit) = unit { input type="hidden" name=(format!("{UNIT_OF}{}", field.place)) value=(unit); }
                    @if let Some(slider) = slider { (slide(field, slider, unit, &ids)) }
                }
                Control::Food => {
                    input id=(ids.field) name=(field.place) value=(shown) data-food autocapitalize="off" spellcheck="false"
                        placeholder=(usual) aria-describedby=(ids.wrong) aria-invalid=[invalid];
                }
                Control::Choice(choices) => {
                    select id=(ids.field) name=(field.place) aria-describedby=(ids.wrong) aria-invalid=[invalid] {
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
        }
    }
}

fn unit_shown(unit: &str) -> String {
    match unit.trim() {
        degrees @ ("C" | "F") => format!("\u{b0}{degrees}"),
        other => other.replace("m2", "m\u{b2}"),
    }
}

/// Shown by the script only: without one it would do nothing.
fn slide(field: &Field, slider: &Slider, unit: Option<&str>, ids: &Ids) -> Markup {
    let after = if unit.is_some() { "" } else { &slider.after };
    html! {
        input.slider type="range" hidden id=(ids.slider) data-for=(ids.field) min=(round(slider.low))
            max=(round(slider.high)) step=(round(slider.step)) value=(round(slider.value)) data-before=(slider.before)
            data-after=(after) data-tap=(round(slider.tap)) data-unit=(slider.after) aria-label=(format!("{}, by slider", field.label)) aria-valuetext=(field.value);
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
    wrong: String,
}

impl Ids {
    fn of(place: &str) -> Self {
        let id = |kind: &str| format!("{kind}.{place}");
        Self { field: id("f"), slider: id("s"), wrong: id("w") }
    }
}

#[cfg(test)]
mod tests {
    use super::in_unit;

    #[test]
    fn what_is_usual_stands_in_the_unit_beside_it() {
        for (usual, unit, shown) in [
            ("1.5 kg", " g", "1500"),
            ("430 g", " g", "430"),
            ("1.5 lb", " oz", "1.5 lb"),
            ("follows", " g", "follows"),
        ] {
            assert_eq!(in_unit(usual, unit), shown, "{usual}");
        }
    }
}
