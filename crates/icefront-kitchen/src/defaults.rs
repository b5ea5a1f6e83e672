//! A cook's own defaults for loads given in words: her dryer, room, price. They live in a small file and fill in what the words
//! leave open; nothing else is changed by them.

use std::path::Path;

use icefront_core::units::DateOrder;
use serde::{Deserialize, Serialize};

use crate::format::UnitSystem;
use crate::sheet::spoken::Wishes;
use crate::{Failure, Storage, storage};

/// The file.
#[derive(Clone, Debug, Default, PartialEq, Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
pub struct Defaults {
    /// A built-in dryer, or the path of a dryer file.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub dryer: Option<String>,
    /// Room temperature, with its unit.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub room: Option<String>,
    /// Price of 1 kWh.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub price_per_kwh: Option<f64>,
    /// Its currency.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub currency: Option<String>,
    /// Units of the answers.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub units: Option<UnitSystem>,
    /// How she writes dates with slashes.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub dates: Option<DateOrder>,
    /// Whether her dryer may be paused to weigh a tray.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub can_pause: Option<bool>,
}

impl Defaults {
    /// Reads the file; none is no default.
    ///
    /// # Errors
    /// A file that cannot be read or understood, with its line.
    pub fn read(path: &Path, files: &dyn Storage) -> Result<Self, Failure> {
        let Ok(bytes) = files.read(path, storage::LARGEST_SHEET) else { return Ok(Self::default()) };
        let unreadable = |reason: String| Failure::Unreadable { path: path.into(), reason };
        let text = String::from_utf8(bytes).map_err(|_| unreadable("it is not UTF-8 text".into()))?;
        toml::from_str(&text).map_err(|e| {
            let line = e.span().map_or(1, |span| 1 + text[..span.start.min(text.len())].matches('\n').count());
            unreadable(format!(
                "line {line}: {}; allowed: dryer, room, price_per_kwh, currency, units, dates, can_pause",
                e.message()
            ))
        })
    }

    /// The text of the file.
    pub fn text(&self) -> String {
        let text = toml::to_string(self).unwrap_or_default();
        format!("# Defaults of icefront for loads given in words.\n{text}")
    }

    /// Fills in what the words leave open; what was filled in, in words.
    pub fn fill(&self, wishes: &mut Wishes) -> Vec<String> {
        let mut used = Vec::new();
        let mut text = |mine: &Option<String>, wish: &mut Option<String>, what: &str| {
            if let (Some(mine), None) = (mine, &wish) {
                used.push(format!("{what} {mine}"));
                *wish = Some(mine.clone());
            }
        };
        text(&self.dryer, &mut wishes.dryer, "dryer");
        text(&self.room, &mut wishes.room, "room");
        text(&self.currency, &mut wishes.currency, "currency");
        if let (Some(price), None) = (self.price_per_kwh, wishes.price_per_kwh) {
            used.push(format!("{price} per kWh"));
            wishes.price_per_kwh = Some(price);
        }
        if let (Some(units), None) = (self.units, wishes.units) {
            used.push(format!("units {}", units.name()));
            wishes.units = Some(units);
        }
        if let (Some(dates), None) = (self.dates, wishes.dates) {
            used.push(format!("dates {}", dates.name()));
            wishes.dates = Some(dates);
        }
        if let (Some(can_pause), None) = (self.can_pause, wishes.can_pause) {
            used.push(if can_pause { "a run may be paused" } else { "a run may not be paused" }.to_string());
            wishes.can_pause = Some(can_pause);
        }
        used
    }

    /// These with what is given in others.
    #[must_use]
    pub fn with(self, other: Self) -> Self {
        Self {
            dryer: other.dryer.or(self.dryer),
            room: other.room.or(self.room),
            price_per_kwh: other.price_per_kwh.or(self.price_per_kwh),
            currency: other.currency.or(self.currency),
            units: other.units.or(self.units),
            dates: other.dates.or(self.dates),
            can_pause: other.can_pause.or(self.can_pause),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::storage::Memory;

    #[test]
    fn what_is_written_is_read_and_fills_only_gaps() {
        let mine = Defaults { dryer: Some("0.60 m2".into()), price_per_kwh: Some(0.29), ..Defaults::default() };
        let files = Memory::of(&[("d.toml", &mine.text()), ("bad.toml", "dryer = \"a\"\nshelf = 3\n")]);
        assert_eq!(Defaults::read(Path::new("d.toml"), &files).unwrap(), mine);
        assert_eq!(Defaults::read(Path::new("none.toml"), &files).unwrap(), Defaults::default());
        let refused = Defaults::read(Path::new("bad.toml"), &files).unwrap_err().to_string();
        assert!(refused.contains("line 2") && refused.contains("currency"), "{refused}");
        let mut wishes = Wishes { dryer: Some("0.36 m2".into()), ..Wishes::default() };
        assert_eq!(mine.fill(&mut wishes), ["0.29 per kWh"]);
        assert_eq!((wishes.dryer.as_deref(), wishes.price_per_kwh), (Some("0.36 m2"), Some(0.29)));
    }
}
