//! A field of the form: what the schema says about its key, and the value that the sheet has there.

use icefront_kitchen::sheet::schema::{Key, Value};

use crate::editor::Editor;
use crate::form::entered;
use crate::form::slider::Slider;

/// One field.
#[derive(Clone, Debug, PartialEq)]
pub struct Field {
    /// Where its value stands in the sheet.
    pub place: String,
    /// What it is called.
    pub label: String,
    /// What it shows.
    pub value: String,
    /// How it is set.
    pub control: Control,
    /// A word on it.
    pub hint: String,
    /// What holds while it is empty, in a few words.
    pub otherwise: String,
    /// The unit of a number typed into it while it is empty.
    pub unit: Option<&'static str>,
}

/// Longest words that fit into an empty field.
const SHORT: usize = 20;

/// How a field is set.
#[derive(Clone, Debug, PartialEq)]
pub enum Control {
    /// Typed, or dragged where a slider makes sense.
    Typed(Option<Slider>),
    /// The name of a food, with suggestions.
    Food,
    /// One of a few: value and words. Another form may be needed once it is set.
    Choice(Vec<(String, String)>),
    /// On or off.
    Tick,
}

impl Field {
    /// The number it shows, and the unit beside it; a text without a unit where it is no plain quantity. An empty field of a
    /// quantity has the unit of its example.
    pub fn parts(&self) -> (&str, Option<&str>) {
        match (&self.control, entered::split(&self.value)) {
            (Control::Typed(_), Some((number, unit))) => (number, Some(unit)),
            (Control::Typed(_), None) if self.value.is_empty() => ("", self.unit),
            _ => (&self.value, None),
        }
    }

    /// The field of a key, as the schema describes it.
    pub fn of(sheet: &Editor, place: &str, key: &Key) -> Self {
        let shown = sheet.shown(place);
        let control = match key.value {
            Value::Quantity(limit) | Value::QuantityOr(limit, _) => {
                Control::Typed(Slider::of(key.name, &limit, &shown))
            }
            Value::Flag => Control::Tick,
            Value::Food => Control::Food,
            Value::Words(words) => Control::Choice(choices(words, &shown)),
            _ => Control::Typed(None),
        };
        let value = if let Control::Tick = control { or(shown, key.example) } else { shown };
        let allowed = key.limit().map_or("", |limit| limit.words);
        let empty = if value.is_empty() && !key.required { key.otherwise.replace('`', "") } else { String::new() };
        let empty = if empty.is_empty() { empty } else { format!("empty: {empty}") };
        let hint =
            [key.about, allowed, &empty].into_iter().filter(|part| !part.is_empty()).collect::<Vec<_>>().join("; ");
        let otherwise = key.otherwise.replace('`', "");
        let otherwise = if otherwise.len() <= SHORT && !key.required { otherwise } else { String::new() };
        let unit = match key.value {
            Value::Amount => Some(" g"),
            _ => entered::split(key.example).map(|(_, unit)| unit),
        };
        Self { place: place.into(), label: key.label.into(), value, control, hint, otherwise, unit }
    }
}

/// Words to choose from, and the one that is chosen if it is none of them.
pub fn choices(words: &[(&str, &str)], value: &str) -> Vec<(String, String)> {
    let strange = (!words.iter().any(|(word, _)| *word == value)).then_some((value, value));
    words.iter().copied().chain(strange).map(|(word, label)| (word.to_string(), label.to_string())).collect()
}

/// A value, or what holds if it is empty.
pub fn or(value: String, otherwise: &str) -> String {
    if value.is_empty() { otherwise.to_string() } else { value }
}
