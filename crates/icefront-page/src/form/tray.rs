//! Fields of one tray.

use icefront_core::food::FoodTable;
use icefront_kitchen::format;
use icefront_kitchen::sheet::schema::load::{FOOD_OF, TRAY};

use crate::editor::Editor;
use crate::form::field::{Control, Field, or};
use crate::form::freezing;
use crate::form::slider::Slider;

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
    /// Keys that the sheet has but the form does not.
    pub others: Vec<String>,
}

impl TrayFields {
    /// Fields of one tray.
    pub fn of(sheet: &Editor, tray: usize) -> Self {
        let at = |key: &str| format!("tray.{tray}.{key}");
        let (food, shape) = (sheet.food(tray), sheet.shown(&at("shape")));
        let (mut fields, mut more) = (Vec::new(), Vec::new());
        for key in TRAY.keys.iter().filter(|key| !key.label.is_empty()) {
            let is_given = key.folded && sheet.has(&at(key.name));
            if !key.goes_with(&shape) && !is_given {
                continue;
            }
            let folded = key.folded && key.name != "amount" || matches!(key.name, "fat" | "before_loading");
            let list = if folded { &mut more } else { &mut fields };
            match key.name {
                "food" => list.push(Field { value: food.clone(), ..Field::of(sheet, &at("food"), key) }),
                "fat" => list.extend(fat(sheet, tray, &food)),
                "before_loading" if sheet.has("rig") => {}
                "before_loading" => list.extend(freezing::fields(sheet, &at(key.name), Some("as the whole load"))),
                "embedded" => list.extend(pieces(sheet, &at(key.name))),
                "cut_width" if !sheet.has(&at("cut")) => {}
                _ => list.push(Field::of(sheet, &at(key.name), key)),
            }
        }
        let name = or(sheet.shown(&at("name")), &format!("tray {}", tray + 1));
        let others = others(sheet, tray, &[&fields[..], &more[..]].concat());
        Self { name, food, fields, more, others }
    }
}

/// Keys of a tray that none of these fields sets.
fn others(sheet: &Editor, tray: usize, fields: &[Field]) -> Vec<String> {
    let own = format!("tray.{tray}.");
    let has_field = |key: &str| {
        let field =
            |field: &Field| field.place.strip_prefix(&own).is_some_and(|place| place.split('.').next() == Some(key));
        key == "name" || key == "recipe" || fields.iter().any(field)
    };
    sheet.keys(&own).into_iter().filter(|key| !has_field(key)).collect()
}

/// Pieces of another food in a layer; their sizes once there are some.
fn pieces(sheet: &Editor, table: &str) -> Vec<Field> {
    let keys = TRAY.inner("embedded").map_or(&[][..], |table| table.keys);
    let shown = keys.iter().filter(|key| key.name == "food" || sheet.has(table) && !key.label.is_empty());
    shown.map(|key| Field::of(sheet, &format!("{table}.{}", key.name), key)).collect()
}

/// Fat of what is on a tray: the tray's own where the sheet states it there, else that of the food of the table or of the
/// sheet's own; a recipe's follows from its ingredients.
fn fat(sheet: &Editor, tray: usize, food: &str) -> Option<Field> {
    let place = format!("tray.{tray}.fat");
    if sheet.has(&place) {
        return TRAY.row("fat", None).map(|key| Field::of(sheet, &place, key));
    }
    if food.is_empty() || sheet.has(&format!("tray.{tray}.recipe")) {
        return None;
    }
    let of_table = |name: &str| Some(format::percent_1(FoodTable::embedded().ok()?.find(name).ok()?.composition.fat));
    let value = match (sheet.own_food(food, "fat"), sheet.own_food(food, "like")) {
        (Some(own), _) => own,
        (None, Some(like)) => of_table(&like)?,
        (None, None) => of_table(food)?,
    };
    let key = FOOD_OF.row("fat", None)?;
    let limit = key.limit()?;
    let hint = format!("of {food}, on every tray of this sheet; {}", limit.words);
    let control = Control::Typed(Slider::of(key.name, &limit, &value));
    Some(Field { place, label: key.label.into(), value, control, hint, otherwise: String::new(), unit: None })
}
