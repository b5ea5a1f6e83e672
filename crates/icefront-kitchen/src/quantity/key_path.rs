//! Which key of a sheet or a dryer file, as data.

use std::fmt;

/// The place of a key or a table in a file: `tray`, `1`, `depth`.
#[derive(Clone, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct KeyPath(Vec<Step>);

/// One step into a file.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
enum Step {
    Key(String),
    /// Entry of a list, from 1.
    Entry(usize),
}

impl KeyPath {
    /// A key under this table.
    #[must_use]
    pub fn key(&self, key: &str) -> Self {
        self.with(Step::Key(key.into()))
    }

    /// An entry of this list, from 1.
    #[must_use]
    pub fn entry(&self, number: usize) -> Self {
        self.with(Step::Entry(number))
    }

    fn with(&self, step: Step) -> Self {
        Self(self.0.iter().cloned().chain([step]).collect())
    }

    /// Its steps with points between them, as `--vary` takes them: `contact.gap`, `tray.1.depth`.
    pub fn dotted(&self) -> String {
        let step = |step: &Step| match step {
            Step::Key(key) => key.clone(),
            Step::Entry(number) => number.to_string(),
        };
        self.0.iter().map(step).collect::<Vec<_>>().join(".")
    }

    /// A table as messages name it: `[food.my mince]`, `tray 1, before_loading`; empty for the top of the file.
    pub fn table_words(&self) -> String {
        words(&self.0)
    }

    /// What is wrong, after the table it is wrong in.
    pub fn title(&self, what: &str) -> String {
        let place = self.table_words();
        if place.is_empty() { what.into() } else { format!("{place}: {what}") }
    }
}

/// `tray 1, depth` for a key of a table.
impl fmt::Display for KeyPath {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.0.split_last() {
            Some((Step::Key(key), [])) => f.write_str(key),
            Some((Step::Key(key), table)) => write!(f, "{}, {key}", words(table)),
            _ => f.write_str(&self.table_words()),
        }
    }
}

fn words(table: &[Step]) -> String {
    let names = |steps: &[Step], between: &str| {
        let keys = steps.iter().filter_map(|step| if let Step::Key(key) = step { Some(key.as_str()) } else { None });
        keys.collect::<Vec<_>>().join(between)
    };
    match table.iter().rposition(|step| matches!(step, Step::Entry(_))) {
        Some(at) => {
            let (Some(Step::Key(list)), Some(Step::Entry(number))) = (table.get(at.wrapping_sub(1)), table.get(at))
            else {
                return String::new();
            };
            let inner = table.get(at + 1..).unwrap_or_default();
            let comma = if inner.is_empty() { "" } else { ", " };
            format!("{list} {number}{comma}{}", names(inner, ", "))
        }
        None if table.is_empty() => String::new(),
        None => format!("[{}]", names(table, ".")),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn places_read_as_in_messages() {
        let top = KeyPath::default();
        let tray = top.key("tray").entry(2);
        let food = top.key("food").key("my mince");
        for (shown, expected) in [
            (top.table_words(), ""),
            (top.key("room").to_string(), "room"),
            (tray.table_words(), "tray 2"),
            (tray.key("depth").to_string(), "tray 2, depth"),
            (tray.key("before_loading").key("time").to_string(), "tray 2, before_loading, time"),
            (food.table_words(), "[food.my mince]"),
            (food.key("fat").to_string(), "[food.my mince], fat"),
            (top.key("tariff").key("period").entry(1).table_words(), "period 1"),
            (top.key("contact").key("gap").dotted(), "contact.gap"),
            (tray.key("depth").dotted(), "tray.2.depth"),
        ] {
            assert_eq!(shown, expected);
        }
    }
}
