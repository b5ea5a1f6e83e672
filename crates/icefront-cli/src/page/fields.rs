//! Fields of the form: what of a sheet can be set without writing it, and which words and ranges go with it.

use std::collections::BTreeMap;

use icefront_core::food::FoodTable;

use crate::page::draft::Draft;
use crate::page::slider::Slider;
use icefront_kitchen::format;
use icefront_kitchen::sheet::limits;
use icefront_kitchen::sheet::schema::load::{BEFORE_LOADING, END, LOAD, TRAY};
use icefront_kitchen::sheet::schema::{Key, Table, Value};

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
}

/// How a field is set.
#[derive(Clone, Debug, PartialEq)]
pub enum Control {
    /// Typed.
    Text,
    /// Typed, or dragged where a slider makes sense.
    Quantity(Option<Slider>),
    /// The name of a food, with suggestions.
    Food,
    /// One of a few: value and words. Another form may be needed once it is set.
    Choice(Vec<(String, String)>),
    /// On or off.
    Tick,
}

/// A tray's fields.
#[derive(Clone, Debug, PartialEq)]
pub struct TrayFields {
    /// What it goes by.
    pub name: String,
    /// What is on it.
    pub food: String,
    /// Its fields.
    pub fields: Vec<Field>,
    /// Those that are seldom set.
    pub more: Vec<Field>,
    /// Keys that are told in the sheet but have no field.
    pub others: Vec<String>,
}

/// Fields of the whole load.
pub fn of_load(draft: &Draft, dryers: &[String]) -> Vec<Field> {
    let top = |place: &str| LOAD.at(&place.split('.').collect::<Vec<_>>()).map(|key| field(draft, place, key));
    let mut fields = Vec::new();
    if !draft.has("rig") {
        fields.push(dryer(draft, dryers));
    }
    fields.extend(top("room"));
    if !draft.has("rig") {
        fields.extend(freezing(draft, "before_loading", None));
    }
    if or(draft.shown("end.rule"), first_word(&END)) == first_word(&END) {
        fields.extend(top("end.moisture"));
    }
    fields.extend(["servings", "tariff.price_per_kwh", "tariff.currency"].iter().filter_map(|place| top(place)));
    fields
}

/// Fields of one tray.
pub fn of_tray(draft: &Draft, tray: usize) -> TrayFields {
    let at = |key: &str| format!("tray.{tray}.{key}");
    let (food, shape) = (draft.food(tray), draft.shown(&at("shape")));
    let (mut fields, mut more) = (Vec::new(), Vec::new());
    for key in TRAY.keys.iter().filter(|key| !key.label.is_empty()) {
        let is_given = key.folded && draft.has(&at(key.name));
        if !key.goes_with(&shape) && !is_given {
            continue;
        }
        let list = if key.folded { &mut more } else { &mut fields };
        match key.name {
            "food" => list.push(Field { value: food.clone(), ..field(draft, &at("food"), key) }),
            "fat" => list.extend(fat(draft, tray, &food)),
            "before_loading" if draft.has("rig") => {}
            "before_loading" => list.extend(freezing(draft, &at(key.name), Some("as the whole load"))),
            "embedded" => list.extend(pieces(draft, &at(key.name))),
            "cut_width" if !draft.has(&at("cut")) => {}
            _ => list.push(field(draft, &at(key.name), key)),
        }
    }
    let name = or(draft.shown(&at("name")), &format!("tray {}", tray + 1));
    let others = others(draft, tray, &[&fields[..], &more[..]].concat());
    TrayFields { name, food, fields, more, others }
}

/// Keys of a tray that none of these fields sets.
fn others(draft: &Draft, tray: usize, fields: &[Field]) -> Vec<String> {
    let own = format!("tray.{tray}.");
    let has_field = |key: &str| {
        let field =
            |field: &Field| field.place.strip_prefix(&own).is_some_and(|place| place.split('.').next() == Some(key));
        key == "name" || key == "recipe" || fields.iter().any(field)
    };
    draft.keys(&own).into_iter().filter(|key| !has_field(key)).collect()
}

/// Pieces of another food in a layer; their sizes once there are some.
fn pieces(draft: &Draft, table: &str) -> Vec<Field> {
    let keys = TRAY.inner("embedded").map_or(&[][..], |table| table.keys);
    let shown = keys.iter().filter(|key| key.name == "food" || draft.has(table) && !key.label.is_empty());
    shown.map(|key| field(draft, &format!("{table}.{}", key.name), key)).collect()
}

/// Foods to suggest: the sheet's own and its recipes first, then the table's.
pub fn foods(draft: &Draft) -> Vec<String> {
    let mut names = draft.keys("recipe");
    names.extend(draft.keys("food"));
    if let Ok(table) = FoodTable::embedded() {
        names.extend(table.entries().iter().filter(|food| !food.is_dried()).map(|food| food.description.clone()));
    }
    names
}

/// Puts typed values in their places: those that differ from what the form showed. Gives whether the form has other
/// fields now.
pub fn put(draft: &mut Draft, typed: &[(String, String)]) -> bool {
    let mut shown: BTreeMap<String, Field> = all(draft).into_iter().map(|field| (field.place.clone(), field)).collect();
    let count = shown.len();
    let changes: Vec<(Field, &String)> = typed
        .iter()
        .filter_map(|(place, value)| Some((shown.remove(place)?, value)))
        .filter(|(field, value)| field.value.trim() != value.trim())
        .collect();
    for (field, value) in &changes {
        match field.place.rsplit_once('.') {
            Some((tray, "fat")) if !draft.has(&field.place) => {
                let food = tray.strip_prefix("tray.").and_then(|tray| Some(draft.food(tray.parse().ok()?)));
                draft.set_fat(&food.unwrap_or_default(), value);
            }
            Some(("end", _)) if !draft.has("end.rule") => {
                draft.set("end.rule", first_word(&END));
                draft.set(&field.place, value);
            }
            Some(("before_loading", "temperature")) if !draft.has("before_loading.method") => {
                draft.set("before_loading.method", first_word(&BEFORE_LOADING));
                draft.set(&field.place, value);
            }
            _ => draft.set(&field.place, value),
        }
    }
    let chosen = changes.iter().any(|(field, _)| matches!(field.control, Control::Choice(_) | Control::Food));
    chosen || all(draft).len() != count
}

fn all(draft: &Draft) -> Vec<Field> {
    let trays =
        (0..draft.trays()).map(|tray| of_tray(draft, tray)).flat_map(|tray| tray.fields.into_iter().chain(tray.more));
    of_load(draft, &[]).into_iter().chain(trays).collect()
}

fn or(value: String, otherwise: &str) -> String {
    if value.is_empty() { otherwise.to_string() } else { value }
}

fn dryer(draft: &Draft, files: &[String]) -> Field {
    let value = draft.shown("dryer");
    let mut names: Vec<(String, String)> = icefront_kitchen::sheet::dryer::BUILT_IN
        .iter()
        .map(|(name, _)| (name.to_string(), format!("{name} (invented)")))
        .collect();
    names.extend(files.iter().map(|name| (name.clone(), name.clone())));
    if !names.iter().any(|(name, _)| *name == value) {
        names.push((value.clone(), value.clone()));
    }
    let hint = "named by its shelf area".into();
    Field { place: "dryer".into(), label: "Dryer".into(), value, control: Control::Choice(names), hint }
}

/// The word of a table's choice that holds where the sheet has no such table.
fn first_word(table: &Table) -> &'static str {
    table.words(table.choice).first().map_or("", |(word, _)| word)
}

/// The field of a key, as the schema describes it.
fn field(draft: &Draft, place: &str, key: &Key) -> Field {
    let shown = draft.shown(place);
    let control = match key.value {
        Value::Quantity(limit) => {
            Control::Quantity(Slider::of(&limit, if shown.is_empty() { key.example } else { &shown }))
        }
        Value::Flag => Control::Tick,
        Value::Food => Control::Food,
        Value::Words(words) => Control::Choice(choices(words, &shown)),
        _ => Control::Text,
    };
    let value = if let Control::Tick = control { or(shown, key.example) } else { shown };
    let allowed = key.limit().map_or("", |limit| limit.words);
    let empty = if value.is_empty() && !key.required { key.otherwise.replace('`', "") } else { String::new() };
    let empty = if empty.is_empty() { empty } else { format!("empty: {empty}") };
    let hint = [key.about, allowed, &empty].into_iter().filter(|part| !part.is_empty()).collect::<Vec<_>>().join("; ");
    Field { place: place.into(), label: key.label.into(), value, control, hint }
}

/// Words to choose from, and the one that is chosen if it is none of them.
fn choices(words: &[(&str, &str)], value: &str) -> Vec<(String, String)> {
    let strange = (!words.iter().any(|(word, _)| *word == value)).then_some((value, value));
    words.iter().copied().chain(strange).map(|(word, label)| (word.to_string(), label.to_string())).collect()
}

/// How the food is frozen, and what that takes; `as_above`: what it is called to leave that to the sheet's own table.
fn freezing(draft: &Draft, table: &str, as_above: Option<&str>) -> Vec<Field> {
    let at = |key: &str| format!("{table}.{key}");
    let given = draft.shown(&at("method"));
    let method = if as_above.is_some() { given } else { or(given, first_word(&BEFORE_LOADING)) };
    let chosen = BEFORE_LOADING.keys.iter().filter(|key| !key.label.is_empty());
    let mut fields: Vec<Field> =
        chosen.filter(|key| key.goes_with(&method)).map(|key| field(draft, &at(key.name), key)).collect();
    if let Some(first) = fields.first_mut() {
        let first_words: Vec<(&str, &str)> = as_above.map(|words| ("", words)).into_iter().collect();
        let words = [&first_words[..], BEFORE_LOADING.words("method")].concat();
        *first = Field { control: Control::Choice(choices(&words, &method)), value: method, ..first.clone() };
    }
    fields
}

/// Fat of what is on a tray: the tray's own where the sheet states it there, else that of the food of the table or of the
/// sheet's own; a recipe's follows from its ingredients.
fn fat(draft: &Draft, tray: usize, food: &str) -> Option<Field> {
    let place = format!("tray.{tray}.fat");
    if draft.has(&place) {
        return TRAY.row("fat", None).map(|key| field(draft, &place, key));
    }
    if food.is_empty() || draft.has(&format!("tray.{tray}.recipe")) {
        return None;
    }
    let told = draft.own_food(food, "fat");
    let of_table = |name: &str| Some(format::percent_1(FoodTable::embedded().ok()?.find(name).ok()?.composition.fat));
    let value = match (told, draft.own_food(food, "like")) {
        (Some(told), _) => told,
        (None, Some(like)) => of_table(&like)?,
        (None, None) => of_table(food)?,
    };
    let slider = Slider::of(&limits::SHARE, &value);
    let hint = format!("of {food}, on every tray of this sheet; {}", limits::SHARE.words);
    Some(Field { place, label: "Fat".into(), value, control: Control::Quantity(slider), hint })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn draft() -> Draft {
        Draft::parse(include_str!("../../data/loads/demonstration.toml")).unwrap()
    }

    fn typed(list: &[(&str, &str)]) -> Vec<(String, String)> {
        list.iter().map(|(place, value)| (place.to_string(), value.to_string())).collect()
    }

    #[test]
    fn a_form_sent_back_as_it_was_changes_nothing() {
        let mut draft = draft();
        let before = draft.to_string();
        let sent: Vec<_> = all(&draft).into_iter().map(|field| (field.place, field.value)).collect();
        assert!(sent.len() > 50, "{}", sent.len());
        assert!(!put(&mut draft, &sent));
        assert_eq!(draft.to_string(), before);
    }

    #[test]
    fn fat_makes_a_food_of_the_sheets_own() {
        let mut draft = draft();
        put(&mut draft, &typed(&[("tray.1.fat", "12 %")]));
        assert!(
            draft.to_string().contains("[food.\"diced turkey\"]\nlike = \"diced turkey\"\nfat = \"12 %\""),
            "{draft}"
        );
        let shown = of_tray(&draft, 1).fields.into_iter().find(|f| f.place == "tray.1.fat").unwrap();
        assert_eq!(shown.value, "12 %");
    }

    #[test]
    fn the_fat_of_a_tray_is_shown_and_set_on_the_tray() {
        let text =
            "icefront = 1\n[[tray]]\nfood = \"cooked rice\"\nshape = \"layer\"\ndepth = \"9 mm\"\nfat = \"20 %\"\n";
        let shown =
            |draft: &Draft| of_tray(draft, 0).fields.into_iter().find(|f| f.place == "tray.0.fat").unwrap().value;
        let mut draft = Draft::parse(text).unwrap();
        assert_eq!(shown(&draft), "20 %");
        put(&mut draft, &typed(&[("tray.0.fat", "30 %")]));
        assert_eq!(draft.to_string(), text.replace("20 %", "30 %"));
        put(&mut draft, &typed(&[("tray.0.fat", "")]));
        assert_eq!(shown(&draft), "0.3 %", "that of the food: {draft}");
        let recipe =
            format!("{}[recipe.stew]\nrice = \"1 cup\"\n", text.replace("food = \"cooked rice\"", "recipe = \"stew\""));
        assert_eq!(shown(&Draft::parse(&recipe).unwrap()), "20 %", "a recipe's too");
    }

    #[test]
    fn unknown_places_are_left_alone() {
        let mut draft = draft();
        let before = draft.to_string();
        put(
            &mut draft,
            &typed(&[("tray.99.depth", "1 mm"), ("recipe.x", "1"), ("icefront", "2"), ("tray.0.size", "1")]),
        );
        assert_eq!(draft.to_string(), before);
    }

    #[test]
    fn a_cut_brings_its_width_and_takes_it_away() {
        let mut draft = draft();
        assert!(put(&mut draft, &typed(&[("tray.0.cut", "50 mm")])));
        assert!(of_tray(&draft, 0).more.iter().any(|field| field.place == "tray.0.cut_width"));
        put(&mut draft, &typed(&[("tray.0.cut_width", "2 mm")]));
        put(&mut draft, &typed(&[("tray.0.cut", "")]));
        assert!(!draft.has("tray.0.cut") && !draft.has("tray.0.cut_width"), "{draft}");
    }

    #[test]
    fn other_fields_come_with_another_shape() {
        let mut draft = draft();
        assert!(put(&mut draft, &typed(&[("tray.0.shape", "cubes"), ("tray.0.depth", "14 mm")])));
        assert_eq!(draft.shown("tray.0.size"), "10 mm");
        assert!(!draft.has("tray.0.depth"));
    }
}
