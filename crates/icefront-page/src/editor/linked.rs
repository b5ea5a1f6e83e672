//! Keys that belong together: a shape has its sizes, a way of freezing its temperatures, a tray its food or its recipe.
//! Setting one of them adds what it requires, with the examples of the schema, and removes what does not go with it.

use icefront_kitchen::sheet::schema::Key;
use icefront_kitchen::sheet::schema::load::{BEFORE_LOADING, TRAY};

use crate::editor::document::Editor;

impl Editor {
    /// Sets a value, and what belongs to it; an empty one removes the key.
    pub fn set(&mut self, place: &str, typed: &str) {
        let steps: Vec<&str> = place.split('.').collect();
        match steps[..] {
            ["tray", tray, "food"] => self.set_food(tray, typed),
            ["tray", tray, "embedded", "food"] => self.set_pieces(tray, typed),
            ["tray", tray, "cut"] if typed.trim().is_empty() => {
                self.put(&steps, "");
                self.put(&["tray", tray, "cut_width"], "");
            }
            ["tray", tray, "shape"] => self.set_shape(&["tray", tray], typed),
            ["tray", tray, key] if !typed.trim().is_empty() => {
                // of keys that say the same, the one that was set last counts
                for other in TRAY.keys.iter().filter(|row| row.name == key).flat_map(|row| row.instead_of) {
                    self.put(&["tray", tray, other], "");
                }
                self.put(&steps, typed);
            }
            [ref table @ .., "method"] if table.last() == Some(&"before_loading") => self.set_method(table, typed),
            _ => self.put(&steps, typed),
        }
    }

    /// Puts a fat content on the food of this name, which becomes a food of the sheet's own.
    pub fn set_fat(&mut self, food: &str, typed: &str) {
        if self.own_food(food, "like").is_none() {
            self.put(&["food", food, "like"], food);
        }
        self.put(&["food", food, "fat"], typed);
    }

    fn set_food(&mut self, tray: &str, name: &str) {
        let is_recipe = self.keys("recipe").iter().any(|recipe| recipe == name);
        let (key, other) = if is_recipe { ("recipe", "food") } else { ("food", "recipe") };
        self.put(&["tray", tray, other], "");
        self.put(&["tray", tray, key], name);
    }

    /// Pieces in a layer, with sizes to begin with; without a food there are none.
    fn set_pieces(&mut self, tray: &str, food: &str) {
        let table = ["tray", tray, "embedded"];
        if food.trim().is_empty() {
            return self.remove(&table);
        }
        self.put(&[&table[..], &["food"]].concat(), food);
        self.give_missing(&table, TRAY.inner("embedded").map_or(&[][..], |table| table.keys));
    }

    fn set_shape(&mut self, tray: &[&str], shape: &str) {
        let at = |key| [tray, &[key]].concat();
        self.put(&at("shape"), shape);
        let Some(shape) = TRAY.word("shape", shape) else { return };
        for key in TRAY.names().into_iter().filter(|key| !TRAY.takes(key, shape)) {
            self.put(&at(key), "");
        }
        for size in TRAY.keys.iter().filter(|key| !key.with.is_empty() && !key.folded && key.goes_with(shape)) {
            if ![size.name].iter().chain(size.instead_of).any(|key| self.item_at(&at(key)).is_some()) {
                self.put(&at(size.name), size.example);
            }
        }
    }

    fn set_method(&mut self, table: &[&str], method: &str) {
        if method.is_empty() {
            return self.remove(table);
        }
        let at = |key| [table, &[key]].concat();
        let before = self.shown(&at("method").join("."));
        self.put(&at("method"), method);
        let range = |key, word| Some(BEFORE_LOADING.row(key, Some(word))?.limit()?.words);
        for key in BEFORE_LOADING.names().into_iter().filter(|key| *key != "method") {
            // frozen food and food from the refrigerator have no temperature in common
            if !BEFORE_LOADING.takes(key, method) || range(key, method) != range(key, &before) {
                self.put(&at(key), "");
            }
        }
        let own: Vec<_> = BEFORE_LOADING.keys.iter().copied().filter(|key| key.goes_with(method)).collect();
        self.give_missing(table, &own);
    }

    /// Gives required keys of a table that are missing their examples.
    fn give_missing(&mut self, table: &[&str], keys: &[Key]) {
        for key in keys.iter().filter(|key| key.required) {
            let place = [table, &[key.name]].concat();
            if self.item_at(&place).is_none() {
                self.put(&place, key.example);
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn sheet() -> Editor {
        let trays = "[[tray]]\nfood = \"rice\" # white\nshape = \"layer\"\ndepth = \"12 mm\"\n\n";
        Editor::parse(&format!("icefront = 1\n\n{trays}[recipe.stew]\nwater = \"1 cup\"\n")).unwrap()
    }

    #[test]
    fn a_recipe_and_a_food_take_turns() {
        let mut sheet = sheet();
        sheet.set("tray.0.food", "stew");
        assert_eq!(sheet.shown("tray.0.recipe"), "stew");
        assert!(!sheet.has("tray.0.food"));
        sheet.set("tray.0.food", "carrots");
        assert!(!sheet.has("tray.0.recipe"));
        sheet.set_fat("rice", "3 %");
        assert_eq!(sheet.own_food("rice", "like").as_deref(), Some("rice"));
        sheet.set_fat("rice", "4 %");
        assert_eq!(sheet.own_food("rice", "fat").as_deref(), Some("4 %"));
    }

    #[test]
    fn an_amount_and_a_depth_take_turns() {
        let mut sheet = sheet();
        sheet.set("tray.0.amount", "900 g");
        assert_eq!((sheet.has("tray.0.depth"), sheet.shown("tray.0.amount")), (false, "900 g".to_string()));
        sheet.set("tray.0.depth", "9 mm");
        assert!(!sheet.has("tray.0.amount"));
    }

    #[test]
    fn a_method_brings_what_it_needs_and_drops_what_it_does_not_take() {
        let mut sheet = sheet();
        sheet.set("before_loading.method", "outdoors");
        assert_eq!(sheet.shown("before_loading.air"), "-10 °C");
        sheet.set("before_loading.method", "already frozen");
        assert!(!sheet.has("before_loading.air") && !sheet.has("before_loading.time"));
        sheet.set("tray.0.before_loading.method", "freezer");
        assert_eq!(sheet.shown("tray.0.before_loading.time"), "14 h");
        sheet.set("tray.0.before_loading.time", "9 h");
        sheet.set("tray.0.before_loading.method", "outdoors");
        assert_eq!(sheet.shown("tray.0.before_loading.air"), "-10 °C", "outdoors needs an air temperature");
        assert_eq!(sheet.shown("tray.0.before_loading.time"), "9 h", "what was entered stays");
        sheet.set("tray.0.before_loading.method", "");
        assert!(!sheet.has("tray.0.before_loading"));
    }

    #[test]
    fn another_shape_brings_its_sizes() {
        let text = "icefront = 1\n[[tray]]\nfood = \"rice\"\nshape = \"layer\"\ndepth = \"9 mm\"\n";
        let mut sheet = Editor::parse(text).unwrap();
        sheet.set("tray.0.shape", "slices");
        assert_eq!((sheet.shown("tray.0.thickness"), sheet.has("tray.0.depth")), ("6 mm".to_string(), false));
        sheet.set("tray.0.layers", "2");
        sheet.set("tray.0.shape", "layer");
        assert_eq!(sheet.shown("tray.0.depth"), "12 mm");
        assert!(!sheet.has("tray.0.layers") && !sheet.has("tray.0.width"));
    }
}
