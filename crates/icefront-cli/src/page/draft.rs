//! A sheet being edited: fields of the page are put into its text, and remarks, order and all else stay as they are.
//!
//! A field goes by its place, such as `room`, `tray.0.depth` or `before_loading.method`. Values are written down as
//! they were typed: whether they can be used is for the sheet reader to say.

use std::fmt;

use toml_edit::{ArrayOfTables, DocumentMut, Item, Table, TableLike, Value};

use icefront_kitchen::sheet::limits::Kind;
use icefront_kitchen::sheet::schema;
use icefront_kitchen::sheet::schema::load::{BEFORE_LOADING, LOAD, TRAY};

use crate::page::shapes;

/// Most trays a page edits.
pub const MOST_TRAYS: usize = 40;

/// The document.
#[derive(Clone, Debug)]
pub struct Draft {
    document: DocumentMut,
}

/// What is done to the list of trays; trays count from 0.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum TrayStep {
    /// One more on top, like the topmost.
    Add,
    /// Taken out.
    Remove(usize),
    /// Changes places with the one above.
    Up(usize),
    /// Changes places with the one below.
    Down(usize),
}

impl fmt::Display for Draft {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.document.fmt(f)
    }
}

impl Draft {
    /// A text that is TOML.
    pub fn parse(text: &str) -> Option<Self> {
        Some(Self { document: text.parse().ok()? })
    }

    /// Number of trays.
    pub fn trays(&self) -> usize {
        match self.document.get("tray") {
            Some(Item::ArrayOfTables(list)) => list.len(),
            Some(Item::Value(Value::Array(list))) => list.len(),
            _ => 0,
        }
    }

    /// Whether something stands at a place.
    pub fn has(&self, place: &str) -> bool {
        self.item(place).is_some()
    }

    /// The value at a place as a field shows it; empty where there is none.
    pub fn shown(&self, place: &str) -> String {
        match self.item(place).and_then(Item::as_value) {
            Some(Value::String(text)) => text.value().clone(),
            Some(Value::Integer(number)) => number.display_repr().into_owned(),
            Some(Value::Float(number)) => number.display_repr().into_owned(),
            Some(Value::Boolean(yes)) => yes.value().to_string(),
            _ => String::new(),
        }
    }

    /// Keys in the table at a place.
    pub fn keys(&self, place: &str) -> Vec<String> {
        let table = self.item(place.trim_end_matches('.')).and_then(Item::as_table_like);
        table.map_or_else(Vec::new, |table| table.iter().map(|(key, _)| key.to_string()).collect())
    }

    /// The name of the food or recipe on a tray.
    pub fn food(&self, tray: usize) -> String {
        let recipe = self.shown(&format!("tray.{tray}.recipe"));
        if recipe.is_empty() { self.shown(&format!("tray.{tray}.food")) } else { recipe }
    }

    /// A value of the sheet's own food of this name.
    pub fn own_food(&self, name: &str, key: &str) -> Option<String> {
        let value = self.document.get("food")?.get(name)?.get(key)?;
        Some(value.as_str().map_or_else(|| value.to_string().trim().to_string(), str::to_string))
    }

    /// Puts a value in its place; an empty one takes the key out.
    pub fn set(&mut self, place: &str, typed: &str) {
        let steps: Vec<&str> = place.split('.').collect();
        match steps[..] {
            ["tray", tray, "food"] => self.set_food(tray, typed),
            ["tray", tray, "embedded", "food"] => self.set_pieces(tray, typed),
            ["tray", tray, "cut"] if typed.trim().is_empty() => {
                self.put(&steps, "");
                self.put(&["tray", tray, "cut_width"], "");
            }
            [.., "shape"] => {
                self.put(&steps, typed);
                shapes::settle(self, &steps[..steps.len() - 1].join("."));
            }
            [.., "before_loading", "method"] => self.set_method(&steps, typed),
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

    /// Adds, removes or moves a tray.
    pub fn step(&mut self, step: TrayStep) {
        let Some(Item::ArrayOfTables(list)) = self.document.get_mut("tray") else {
            if step == TrayStep::Add && !self.has("tray") {
                let mut list = ArrayOfTables::new();
                list.push(first_tray());
                self.document.insert("tray", Item::ArrayOfTables(list));
            }
            return;
        };
        let place = list.iter().next().and_then(Table::position);
        let mut trays: Vec<Table> = list.iter().cloned().collect();
        match step {
            TrayStep::Add if trays.len() < MOST_TRAYS => {
                let mut another = trays.last().cloned().unwrap_or_else(first_tray);
                another.remove("name");
                another.decor_mut().set_prefix("\n");
                trays.push(another);
            }
            TrayStep::Remove(i) if i < trays.len() && trays.len() > 1 => drop(trays.remove(i)),
            TrayStep::Up(i) if i < trays.len().saturating_sub(1) => trays.swap(i, i + 1),
            TrayStep::Down(i) if i > 0 && i < trays.len() => trays.swap(i, i - 1),
            _ => {}
        }
        // tables are written by their old places in the file: all trays go to the first one's, in their new order
        trays.iter_mut().for_each(forget_place);
        if let Some(first) = trays.first_mut() {
            first.set_position(place);
        }
        *list = trays.into_iter().collect();
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
            if let Some(above) = self.table(&table[..2]) {
                above.remove(table[2]);
            }
            return;
        }
        self.put(&[&table[..], &["food"]].concat(), food);
        self.give_missing(&table, TRAY.inner("embedded").map_or(&[][..], |table| table.keys));
    }

    fn set_method(&mut self, steps: &[&str], method: &str) {
        let table = &steps[..steps.len() - 1];
        if method.is_empty() {
            let (key, above) = (table[table.len() - 1], &table[..table.len() - 1]);
            if let Some(above) = self.table(above) {
                above.remove(key);
            }
            return;
        }
        let before = self.shown(&steps.join("."));
        self.put(steps, method);
        let range = |key, word| Some(BEFORE_LOADING.row(key, Some(word))?.limit()?.words);
        for key in BEFORE_LOADING.names().into_iter().filter(|key| *key != "method") {
            // frozen food and food from the refrigerator have no temperature in common
            if !BEFORE_LOADING.takes(key, method) || range(key, method) != range(key, &before) {
                self.put(&[table, &[key]].concat(), "");
            }
        }
        let own: Vec<_> = BEFORE_LOADING.keys.iter().copied().filter(|key| key.goes_with(method)).collect();
        self.give_missing(table, &own);
    }

    /// Gives required keys of a table that are missing their examples.
    fn give_missing(&mut self, table: &[&str], keys: &[schema::Key]) {
        for key in keys.iter().filter(|key| key.required) {
            let place = [table, &[key.name]].concat();
            if self.item_at(&place).is_none() {
                self.put(&place, key.example);
            }
        }
    }

    /// Writes a value or takes it out, making tables that are not there yet.
    pub(super) fn put(&mut self, steps: &[&str], typed: &str) {
        let Some((key, above)) = steps.split_last() else { return };
        let typed = typed.trim();
        if typed.is_empty() && self.item_at(steps).is_none() {
            return;
        }
        let Some(table) = self.table(above) else { return };
        if typed.is_empty() {
            table.remove(key);
            return;
        }
        let mut value = written(steps, typed);
        match table.get_mut(key).and_then(Item::as_value_mut) {
            Some(old) => {
                *value.decor_mut() = old.decor().clone();
                *old = value;
            }
            None => drop(table.insert(key, Item::Value(value))),
        }
    }

    fn item(&self, place: &str) -> Option<&Item> {
        self.item_at(&place.split('.').collect::<Vec<_>>())
    }

    fn item_at(&self, steps: &[&str]) -> Option<&Item> {
        steps.iter().try_fold(self.document.as_item(), |item, step| match step.parse::<usize>() {
            Ok(number) => item.get(number),
            Err(_) => item.get(*step),
        })
    }

    /// The table at these steps, made where it is missing; `None` where something else stands there.
    fn table(&mut self, steps: &[&str]) -> Option<&mut dyn TableLike> {
        let mut item = self.document.as_item_mut();
        for step in steps {
            item = match step.parse::<usize>() {
                Ok(number) => item.get_mut(number)?,
                Err(_) => {
                    let table = item.as_table_like_mut()?;
                    if !table.contains_key(step) && *step != "tray" {
                        table.insert(step, Item::Table(Table::new()));
                    }
                    table.get_mut(step)?
                }
            };
        }
        item.as_table_like_mut()
    }
}

/// A value as it is written into a sheet: numbers, `true` and `false` without quotes where the key takes such.
fn written(steps: &[&str], typed: &str) -> Value {
    match LOAD.at(steps).map(|key| key.value) {
        Some(schema::Value::Flag) if typed == "true" || typed == "false" => (typed == "true").into(),
        Some(schema::Value::Whole(..)) => typed.parse::<i64>().map_or_else(|_| typed.into(), Into::into),
        Some(schema::Value::Quantity(limit)) if limit.kind == Kind::Number => {
            let whole = typed.parse::<i64>().ok().map(Value::from);
            let number = || typed.parse::<f64>().ok().filter(|n| n.is_finite()).map(Value::from);
            whole.or_else(number).unwrap_or_else(|| typed.into())
        }
        _ => typed.into(),
    }
}

/// A tray to begin with.
fn first_tray() -> Table {
    let mut tray = Table::new();
    for (key, value) in [("food", "apples, raw, without skin"), ("shape", "layer"), ("depth", "12 mm")] {
        tray.insert(key, Item::Value(value.into()));
    }
    tray
}

fn forget_place(table: &mut Table) {
    table.set_position(None);
    table.iter_mut().filter_map(|(_, item)| item.as_table_mut()).for_each(forget_place);
}

#[cfg(test)]
mod tests {
    use super::*;

    const SHEET: &str = "# my load\nicefront = 1\ndryer = \"0.60 m2\"\nroom = \"20 C\" # kitchen\n\n[[tray]]\n\
        food = \"rice\" # white\nshape = \"layer\"\ndepth = \"12 mm\"\n\n[tray.expert]\nemissivity = 0.9\n\n[[tray]]\n\
        recipe = \"stew\"\nshape = \"cubes\"\nsize = \"10 mm\"\nlayers = 2\n\n[recipe.stew]\nwater = \"1 cup\"\n";

    fn draft() -> Draft {
        Draft::parse(SHEET).unwrap()
    }

    #[test]
    fn a_value_changes_and_all_else_stays() {
        let mut draft = draft();
        assert_eq!(draft.to_string(), SHEET);
        draft.set("room", "about 25 C");
        draft.set("tray.0.depth", "14 mm");
        let expected = SHEET.replace("\"20 C\" #", "\"about 25 C\" #").replace("12 mm", "14 mm");
        assert_eq!(draft.to_string(), expected);
    }

    #[test]
    fn numbers_go_without_quotes_and_nonsense_stays_as_typed() {
        let mut draft = draft();
        draft.set("servings", "12");
        draft.set("tray.1.layers", "two \"deep\"\n");
        draft.set("tray.0.lined", "true");
        let text = draft.to_string();
        assert!(text.contains("servings = 12\n"), "{text}");
        assert!(Draft::parse(&text).is_some(), "{text}");
        assert_eq!(Draft::parse(&text).unwrap().shown("tray.1.layers"), "two \"deep\"");
        assert_eq!(draft.shown("tray.0.lined"), "true");
    }

    #[test]
    fn a_tray_moves_with_its_remarks_and_tables() {
        let mut moved = draft();
        moved.step(TrayStep::Up(0));
        let text = moved.to_string();
        let again = Draft::parse(&text).unwrap();
        assert_eq!((again.food(0), again.food(1)), ("stew".to_string(), "rice".to_string()));
        assert_eq!(again.shown("tray.1.expert.emissivity"), "0.9", "{text}");
        assert!(!again.has("tray.0.expert"), "{text}");
        assert!(text.contains("# white"), "{text}");
        moved.step(TrayStep::Down(1));
        assert_eq!(Draft::parse(&moved.to_string()).unwrap().shown("tray.0.expert.emissivity"), "0.9");
    }

    #[test]
    fn trays_come_and_go() {
        let mut draft = draft();
        draft.step(TrayStep::Add);
        assert_eq!((draft.trays(), draft.food(2)), (3, "stew".to_string()));
        draft.step(TrayStep::Remove(0));
        draft.step(TrayStep::Remove(0));
        draft.step(TrayStep::Remove(0));
        assert_eq!(draft.trays(), 1, "the last one stays");
        for step in [TrayStep::Remove(7), TrayStep::Up(usize::MAX), TrayStep::Down(usize::MAX)] {
            draft.step(step);
        }
        for _ in 0..2 * MOST_TRAYS {
            draft.step(TrayStep::Add);
        }
        assert_eq!(draft.trays(), MOST_TRAYS);
        assert!(Draft::parse(&draft.to_string()).is_some());
    }

    #[test]
    fn a_recipe_and_a_food_take_turns() {
        let mut draft = draft();
        draft.set("tray.0.food", "stew");
        assert_eq!(draft.shown("tray.0.recipe"), "stew");
        assert!(!draft.has("tray.0.food"));
        draft.set("tray.0.food", "carrots");
        assert!(!draft.has("tray.0.recipe"));
        draft.set_fat("rice", "3 %");
        assert_eq!(draft.own_food("rice", "like").as_deref(), Some("rice"));
        draft.set_fat("rice", "4 %");
        assert_eq!(draft.own_food("rice", "fat").as_deref(), Some("4 %"));
    }

    #[test]
    fn a_method_brings_what_it_needs_and_drops_what_it_does_not_take() {
        let mut draft = draft();
        draft.set("before_loading.method", "outdoors");
        assert_eq!(draft.shown("before_loading.air"), "-10 C");
        draft.set("before_loading.method", "already frozen");
        assert!(!draft.has("before_loading.air") && !draft.has("before_loading.time"));
        draft.set("tray.0.before_loading.method", "freezer");
        assert_eq!(draft.shown("tray.0.before_loading.time"), "14 h");
        draft.set("tray.0.before_loading.time", "9 h");
        draft.set("tray.0.before_loading.method", "outdoors");
        assert_eq!(draft.shown("tray.0.before_loading.air"), "-10 C", "outdoors needs an air temperature");
        assert_eq!(draft.shown("tray.0.before_loading.time"), "9 h", "what was entered stays");
        draft.set("tray.0.before_loading.method", "");
        assert!(!draft.has("tray.0.before_loading"));
    }

    #[test]
    fn places_that_are_not_there_change_nothing() {
        let mut draft = draft();
        draft.set("tray.9.depth", "14 mm");
        draft.set("room.x", "14 mm");
        assert_eq!(draft.to_string(), SHEET);
    }
}
