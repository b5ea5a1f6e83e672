//! The form of a sheet, made from its schema: fields of the whole load, then of each tray.

mod entered;
mod field;
mod freezing;
mod load;
mod slider;
mod tray;

use std::collections::BTreeMap;

use icefront_kitchen::sheet::schema::load::{BEFORE_LOADING, END};

use crate::editor::{Editor, MOST_TRAYS};
pub use entered::{joined, split};
pub use field::{Control, Field};
pub use slider::Slider;
pub use tray::TrayFields;

/// The fields of a sheet.
#[derive(Clone, Debug, PartialEq)]
pub struct Form {
    /// Of the whole load.
    pub load: Vec<Field>,
    /// Of each tray.
    pub trays: Vec<TrayFields>,
}

impl Form {
    /// The form of a sheet, with these dryer files to choose from.
    pub fn of(sheet: &Editor, dryers: &[String]) -> Self {
        let trays = (0..sheet.trays().min(MOST_TRAYS)).map(|tray| TrayFields::of(sheet, tray));
        Self { load: load::fields(sheet, dryers), trays: trays.collect() }
    }

    /// All of its fields.
    fn into_fields(self) -> impl Iterator<Item = Field> {
        self.load.into_iter().chain(self.trays.into_iter().flat_map(|tray| tray.fields.into_iter().chain(tray.more)))
    }
}

/// Names that the sheet itself gives: recipes and foods of the cook's own.
pub fn own_foods(sheet: &Editor) -> Vec<String> {
    [sheet.keys("recipe"), sheet.keys("food")].concat()
}

/// Before the place of a field, in the name of the unit that stands beside it.
pub const UNIT_OF: &str = "unit:";

/// Puts typed values in their places: those that differ from what the form showed. Gives whether the form has other
/// fields now.
pub fn put(sheet: &mut Editor, typed: &[(String, String)]) -> bool {
    let mut shown: BTreeMap<String, Field> = all(sheet).map(|field| (field.place.clone(), field)).collect();
    let count = shown.len();
    let unit_of = |place: &str| {
        typed.iter().find(|(name, _)| name.strip_prefix(UNIT_OF) == Some(place)).map(|(_, unit)| unit.as_str())
    };
    let entered = |field: &Field, typed: &String| match field.control {
        Control::Typed(_) => entered::joined(typed, unit_of(&field.place)),
        _ => typed.trim().to_string(),
    };
    let changes: Vec<(Field, String)> = typed
        .iter()
        .filter_map(|(place, value)| Some((shown.remove(place)?, value)))
        .map(|(field, value)| {
            let value = entered(&field, value);
            (field, value)
        })
        .filter(|(field, value)| field.value.trim() != value)
        .collect();
    for (field, value) in &changes {
        match field.place.rsplit_once('.') {
            Some((tray, "fat")) if !sheet.has(&field.place) => {
                let food = tray.strip_prefix("tray.").and_then(|tray| Some(sheet.food(tray.parse().ok()?)));
                sheet.set_fat(&food.unwrap_or_default(), value);
            }
            Some(("end", _)) if !sheet.has("end.rule") => {
                sheet.set("end.rule", END.first_word());
                sheet.set(&field.place, value);
            }
            Some(("before_loading", "temperature")) if !sheet.has("before_loading.method") => {
                sheet.set("before_loading.method", BEFORE_LOADING.first_word());
                sheet.set(&field.place, value);
            }
            _ => sheet.set(&field.place, value),
        }
    }
    let chosen = changes.iter().any(|(field, _)| matches!(field.control, Control::Choice(_) | Control::Food));
    chosen || all(sheet).count() != count
}

fn all(sheet: &Editor) -> impl Iterator<Item = Field> + use<> {
    Form::of(sheet, &[]).into_fields()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn sheet() -> Editor {
        Editor::parse(&icefront_kitchen::sheet::demonstration().text).unwrap()
    }

    fn typed(list: &[(&str, &str)]) -> Vec<(String, String)> {
        list.iter().map(|(place, value)| (place.to_string(), value.to_string())).collect()
    }

    #[test]
    fn a_form_sent_back_as_it_was_changes_nothing() {
        let mut sheet = sheet();
        let before = sheet.to_string();
        let sent: Vec<_> = all(&sheet).map(|field| (field.place, field.value)).collect();
        assert!(sent.len() > 50, "{}", sent.len());
        assert!(!put(&mut sheet, &sent));
        assert_eq!(sheet.to_string(), before);
    }

    #[test]
    fn fat_makes_a_food_of_the_sheets_own() {
        let mut sheet = sheet();
        put(&mut sheet, &typed(&[("tray.1.fat", "12 %")]));
        assert!(
            sheet.to_string().contains("[food.\"diced turkey\"]\nlike = \"diced turkey\"\nfat = \"12 %\""),
            "{sheet}"
        );
        let shown = TrayFields::of(&sheet, 1).more.into_iter().find(|f| f.place == "tray.1.fat").unwrap();
        assert_eq!(shown.value, "12 %");
    }

    #[test]
    fn the_fat_of_a_tray_is_shown_and_set_on_the_tray() {
        let text =
            "icefront = 1\n[[tray]]\nfood = \"cooked rice\"\nshape = \"layer\"\ndepth = \"9 mm\"\nfat = \"20 %\"\n";
        let shown =
            |sheet: &Editor| TrayFields::of(sheet, 0).more.into_iter().find(|f| f.place == "tray.0.fat").unwrap().value;
        let mut sheet = Editor::parse(text).unwrap();
        assert_eq!(shown(&sheet), "20 %");
        put(&mut sheet, &typed(&[("tray.0.fat", "30 %")]));
        assert_eq!(sheet.to_string(), text.replace("20 %", "30 %"));
        put(&mut sheet, &typed(&[("tray.0.fat", "")]));
        assert_eq!(shown(&sheet), "0.3 %", "that of the food: {sheet}");
        let recipe =
            format!("{}[recipe.stew]\nrice = \"1 cup\"\n", text.replace("food = \"cooked rice\"", "recipe = \"stew\""));
        assert_eq!(shown(&Editor::parse(&recipe).unwrap()), "20 %", "a recipe's too");
    }

    #[test]
    fn a_number_takes_the_unit_beside_it_and_a_decimal_comma() {
        let mut sheet = sheet();
        put(&mut sheet, &typed(&[("tray.0.depth", "12,5"), ("unit:tray.0.depth", " mm"), ("room", "68 F")]));
        assert_eq!((sheet.shown("tray.0.depth"), sheet.shown("room")), ("12.5 mm".into(), "68 F".into()));
    }

    #[test]
    fn unknown_places_are_left_alone() {
        let mut sheet = sheet();
        let before = sheet.to_string();
        put(
            &mut sheet,
            &typed(&[("tray.99.depth", "1 mm"), ("recipe.x", "1"), ("icefront", "2"), ("tray.0.size", "1")]),
        );
        assert_eq!(sheet.to_string(), before);
    }

    #[test]
    fn a_cut_brings_its_width_and_takes_it_away() {
        let mut sheet = sheet();
        assert!(put(&mut sheet, &typed(&[("tray.0.cut", "50 mm")])));
        assert!(TrayFields::of(&sheet, 0).more.iter().any(|field| field.place == "tray.0.cut_width"));
        put(&mut sheet, &typed(&[("tray.0.cut_width", "2 mm")]));
        put(&mut sheet, &typed(&[("tray.0.cut", "")]));
        assert!(!sheet.has("tray.0.cut") && !sheet.has("tray.0.cut_width"), "{sheet}");
    }

    #[test]
    fn other_fields_come_with_another_shape() {
        let mut sheet = sheet();
        assert!(put(&mut sheet, &typed(&[("tray.0.shape", "cubes"), ("tray.0.depth", "14 mm")])));
        assert_eq!(sheet.shown("tray.0.size"), "10 mm");
        assert!(!sheet.has("tray.0.depth"));
    }
}
