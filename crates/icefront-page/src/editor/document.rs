//! A sheet being edited: values are put into its text, and remarks, order and all else stay as they are.
//!
//! A value goes by its place, such as `room`, `tray.0.depth` or `before_loading.method`. It is written as it was typed:
//! whether it can be used is for the sheet reader to say.

use std::fmt;

use icefront_kitchen::quantity::Kind;
use icefront_kitchen::sheet::schema;
use icefront_kitchen::sheet::schema::load::LOAD;
use toml_edit::{DocumentMut, Item, Table, TableLike, Value};

/// The document.
#[derive(Clone, Debug)]
pub struct Editor {
    pub(super) document: DocumentMut,
}

impl fmt::Display for Editor {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.document.fmt(f)
    }
}

impl Editor {
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

    /// Writes a value, making missing tables; an empty value removes the key.
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

    /// Removes a table.
    pub(super) fn remove(&mut self, steps: &[&str]) {
        if let Some((key, above)) = steps.split_last()
            && let Some(above) = self.table(above)
        {
            above.remove(key);
        }
    }

    fn item(&self, place: &str) -> Option<&Item> {
        self.item_at(&place.split('.').collect::<Vec<_>>())
    }

    pub(super) fn item_at(&self, steps: &[&str]) -> Option<&Item> {
        steps.iter().try_fold(self.document.as_item(), |item, step| match step.parse::<usize>() {
            Ok(number) => item.get(number),
            Err(_) => item.get(*step),
        })
    }

    /// The table at these steps, made where it is missing; `None` where something else stands there.
    pub(super) fn table(&mut self, steps: &[&str]) -> Option<&mut dyn TableLike> {
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
