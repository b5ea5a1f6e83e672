//! Fields of the form: what of a sheet can be set without writing it, and which words and ranges go with it.

use std::collections::BTreeMap;

use icefront_core::food::FoodTable;

use crate::page::draft::Draft;
use crate::page::shapes;
use crate::page::slider::Slider;
use icefront_kitchen::format;
use icefront_kitchen::sheet::limits::{self, Limit};

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

/// How food can be frozen, and the words for it.
const METHODS: [(&str, &str); 4] = [
    ("in machine", "in the machine"),
    ("already frozen", "already frozen"),
    ("freezer", "in a freezer"),
    ("outdoors", "outdoors"),
];

/// Fields of the whole load.
pub fn of_load(draft: &Draft, dryers: &[String]) -> Vec<Field> {
    let mut fields = Vec::new();
    if !draft.has("rig") {
        fields.push(dryer(draft, dryers));
    }
    fields.push(quantity(draft, "room", "Room temperature", &limits::ROOM, "20 C", "a warm room costs time and power"));
    if !draft.has("rig") {
        let method = or(draft.shown("before_loading.method"), METHODS[0].0);
        fields.push(choice("before_loading.method", "Freezing", &method, &METHODS, &[]));
        fields.extend(freezing(draft, "before_loading", &method));
    }
    if or(draft.shown("end.rule"), "wettest spot") == "wettest spot" {
        let hint = "the run ends when no spot holds more water than this, by weight";
        fields.push(quantity(draft, "end.moisture", "Dry means under", &limits::END_MOISTURE, "3 %", hint));
    }
    fields.push(text(draft, "servings", "Servings", "to get the cost of each"));
    fields.push(text(draft, "tariff.price_per_kwh", "Price of 1 kWh", "such as 0.25"));
    fields.push(text(draft, "tariff.currency", "Currency", "such as EUR"));
    fields
}

/// Fields of one tray.
pub fn of_tray(draft: &Draft, tray: usize) -> TrayFields {
    let at = |key: &str| format!("tray.{tray}.{key}");
    let food = draft.food(tray);
    let mut fields = vec![Field {
        place: at("food"),
        label: "Food".into(),
        value: food.clone(),
        control: Control::Food,
        hint: "a food of the table, or a food or recipe of this sheet".into(),
    }];
    fields.extend(fat(draft, tray, &food));
    let shape = draft.shown(&at("shape"));
    let shapes: Vec<(&str, &str)> = shapes::SHAPES.iter().map(|(word, words, _)| (*word, *words)).collect();
    fields.push(choice(&at("shape"), "Lies as", &shape, &shapes, &[]));
    for (key, label, start) in shapes::sizes(&shape) {
        let limit = match *key {
            "depth" => &limits::DEPTH,
            "size" | "thickness" | "height" => &limits::PIECE,
            _ => &limits::PIECE_LENGTH,
        };
        fields.push(quantity(draft, &at(key), label, limit, start, ""));
    }
    if !draft.has("rig") {
        let table = at("before_loading");
        let method = draft.shown(&at("before_loading.method"));
        fields.push(choice(&at("before_loading.method"), "Freezing", &method, &METHODS, &[("", "as the whole load")]));
        fields.extend(freezing(draft, &table, &method));
    }
    let mut more = vec![text(draft, &at("amount"), "Amount", "by weight or cups; empty: follows from the sizes")];
    if !shape.eq_ignore_ascii_case("layer") && !shapes::sizes(&shape).is_empty() {
        more.push(text(draft, &at("layers"), "Layers of pieces", ""));
        more.push(quantity(draft, &at("coverage"), "Share of the tray covered", &limits::COVERAGE, "75 %", ""));
    }
    more.extend(pieces(draft, &at("embedded"), &shape));
    more.extend(cuts(draft, &at, &shape));
    more.push(Field {
        place: at("lined"),
        label: "Paper or mat under the food".into(),
        value: or(draft.shown(&at("lined")), "false"),
        control: Control::Tick,
        hint: String::new(),
    });
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

/// Cuts through a layer; their width once there are some.
fn cuts(draft: &Draft, at: &impl Fn(&str) -> String, shape: &str) -> Vec<Field> {
    let is_cut = draft.has(&at("cut"));
    if !shape.eq_ignore_ascii_case("layer") && !is_cut {
        return Vec::new();
    }
    let mut fields = vec![text(draft, &at("cut"), "Cut into squares of", "such as 50 mm; empty: not cut")];
    if is_cut {
        fields.push(quantity(draft, &at("cut_width"), "Width of a cut", &limits::CUT_WIDTH, "1 mm", ""));
    }
    fields
}

/// Pieces of another food in a layer; their sizes once there are some.
fn pieces(draft: &Draft, table: &str, shape: &str) -> Vec<Field> {
    if !shape.eq_ignore_ascii_case("layer") && !draft.has(table) {
        return Vec::new();
    }
    let at = |key: &str| format!("{table}.{key}");
    let mut fields = vec![Field {
        place: at("food"),
        label: "Pieces of another food in it".into(),
        value: draft.shown(&at("food")),
        control: Control::Food,
        hint: "such as meat in a stew; empty: none".into(),
    }];
    if draft.has(table) {
        fields.push(quantity(draft, &at("size"), "Edge of such a piece", &limits::PIECE, "15 mm", ""));
        fields.push(quantity(draft, &at("share"), "Share of the layer", &limits::EMBEDDED, "30 %", "by volume"));
    }
    fields
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
                draft.set("end.rule", "wettest spot");
                draft.set(&field.place, value);
            }
            Some(("before_loading", "temperature")) if !draft.has("before_loading.method") => {
                draft.set("before_loading.method", METHODS[0].0);
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

fn choice(place: &str, label: &str, value: &str, choices: &[(&str, &str)], first: &[(&str, &str)]) -> Field {
    let known = first.iter().chain(choices);
    let mut list: Vec<(String, String)> = known.map(|(word, words)| (word.to_string(), words.to_string())).collect();
    if !list.iter().any(|(word, _)| word == value) {
        list.push((value.into(), value.into()));
    }
    Field {
        place: place.into(),
        label: label.into(),
        value: value.into(),
        control: Control::Choice(list),
        hint: String::new(),
    }
}

fn text(draft: &Draft, place: &str, label: &str, hint: &str) -> Field {
    let value = draft.shown(place);
    Field { place: place.into(), label: label.into(), value, control: Control::Text, hint: hint.into() }
}

fn quantity(draft: &Draft, place: &str, label: &str, limit: &Limit, usual: &str, hint: &str) -> Field {
    let value = draft.shown(place);
    let slider = Slider::of(limit, if value.is_empty() { usual } else { &value });
    let hint = if hint.is_empty() { limit.words.to_string() } else { format!("{hint}; {}", limit.words) };
    Field { place: place.into(), label: label.into(), value, control: Control::Quantity(slider), hint }
}

/// What each way of freezing takes.
fn freezing(draft: &Draft, table: &str, method: &str) -> Vec<Field> {
    let at = |key: &str| format!("{table}.{key}");
    let field = |key: &str, label: &str, limit: &Limit, usual: &str| quantity(draft, &at(key), label, limit, usual, "");
    let air = |usual: &str| field("air", "Air there", &limits::COLD_AIR, usual);
    let time = || field("time", "Time there", &limits::TIME_BEFORE, "14 h");
    let food = || field("temperature", "Food when it goes in", &limits::FOOD_TEMPERATURE, "5 C");
    match method {
        "in machine" => vec![food()],
        "already frozen" => vec![field("temperature", "Frozen food is at", &limits::FROZEN_TEMPERATURE, "-18 C")],
        "freezer" => vec![food(), air("-18 C"), time()],
        "outdoors" => vec![food(), air("-10 C"), field("wind", "Wind", &limits::WIND, "0 m/s"), time()],
        _ => Vec::new(),
    }
}

/// Fat of what is on a tray: the tray's own where the sheet states it there, else that of the food of the table or of the
/// sheet's own; a recipe's follows from its ingredients.
fn fat(draft: &Draft, tray: usize, food: &str) -> Option<Field> {
    let place = format!("tray.{tray}.fat");
    if draft.has(&place) {
        return Some(quantity(draft, &place, "Fat", &limits::FAT, "", "of this tray; empty: that of the food"));
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
