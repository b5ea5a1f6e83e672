//! Which field of the form a problem of the sheet belongs to.

use std::ops::Range;

use toml::de::{DeTable, DeValue};

/// Values of a sheet by where they stand in its text.
#[derive(Clone, Debug, Default)]
pub struct Places(Vec<(Range<usize>, String)>);

impl Places {
    /// Of a text; what is not TOML has none.
    pub fn of(text: &str) -> Self {
        let mut places = Self::default();
        let (table, wrong) = DeTable::parse_recoverable(text);
        if wrong.is_empty() {
            places.walk(table.get_ref(), "");
        }
        places
    }

    /// The innermost place that holds this byte; empty where none does.
    pub fn at(&self, byte: usize) -> &str {
        let holding = self.0.iter().filter(|(range, _)| range.contains(&byte));
        holding.min_by_key(|(range, _)| range.len()).map_or("", |(_, place)| place)
    }

    fn walk(&mut self, table: &DeTable<'_>, above: &str) {
        for (key, value) in table {
            let place = if above.is_empty() { key.get_ref().to_string() } else { format!("{above}.{}", key.get_ref()) };
            // a key and its value on one line belong together; a table's header stands for the table
            let range = if matches!(value.get_ref(), DeValue::Table(_)) { value.span() } else { key.span() };
            self.0.push((range.start..range.end.max(value.span().end), place.clone()));
            self.walk_value(value.get_ref(), &place);
        }
    }

    fn walk_value(&mut self, value: &DeValue<'_>, place: &str) {
        match value {
            DeValue::Table(table) => self.walk(table, place),
            DeValue::Array(list) => {
                for (number, entry) in list.iter().enumerate() {
                    let inner = format!("{place}.{number}");
                    self.0.push((entry.span(), inner.clone()));
                    self.walk_value(entry.get_ref(), &inner);
                }
            }
            _ => {}
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn each_value_is_found_by_its_place() {
        let text = "icefront = 1\nroom = \"20 C\"\n[end]\nmoisture = \"3 %\"\n[[tray]]\nfood = \"rice\"\n[[tray]]\n\
            depth = \"1 mm\"\n[tray.before_loading]\nmethod = \"x\"\n";
        let places = Places::of(text);
        for (part, place) in [
            ("20 C", "room"),
            ("room", "room"),
            ("3 %", "end.moisture"),
            ("rice", "tray.0.food"),
            ("1 mm", "tray.1.depth"),
            ("\"x\"", "tray.1.before_loading.method"),
            ("[[tray]]\ndepth", "tray.1"),
        ] {
            let byte = text.find(part).unwrap();
            assert_eq!(places.at(byte), place, "{part}");
        }
        assert_eq!(Places::of("room = ").at(0), "");
    }
}
