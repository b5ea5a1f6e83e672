//! A cook's own defaults for loads given in words: her dryer, room, price. They live in a small file and fill in what the words
//! leave open; nothing else is changed by them.

use std::path::Path;

use icefront_core::units::DateOrder;
use serde::{Deserialize, Serialize};

use crate::format::UnitSystem;
use crate::sheet::spoken::{self, Wishes};
use crate::{Failure, Storage, sheet, storage};

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

    /// Checks them by the reader of sheets.
    ///
    /// # Errors
    /// The first that cannot be used, and what to write instead.
    pub fn check(&self, files: &dyn Storage) -> Result<(), Wrong> {
        let texts = [("dryer", &self.dryer), ("room", &self.room), ("currency", &self.currency)];
        if let Some((key, _)) = texts.iter().find(|(_, text)| text.as_ref().is_some_and(|text| text.trim().is_empty()))
        {
            return Err(Wrong::new(key, "nothing is written", example(key)));
        }
        let mut wishes = Wishes::default();
        self.fill(&mut wishes);
        let read = spoken::sheet(&[TRAY.to_string()], &wishes).and_then(|(text, _)| sheet::read(&text, files));
        read.map(|_| ()).map_err(|failure| Wrong::of(&failure))
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

/// A tray that nothing is wrong with, to check defaults by.
const TRAY: &str = "cooked rice, 12 mm";

/// A default that cannot be used.
#[derive(Clone, Debug, PartialEq)]
pub struct Wrong {
    /// Its key in the file; empty where that is not known.
    pub key: String,
    /// Why, in words.
    pub reason: String,
    /// What to write instead.
    pub allowed: String,
}

impl Wrong {
    fn new(key: &str, reason: impl Into<String>, allowed: impl Into<String>) -> Self {
        Self { key: key.into(), reason: reason.into(), allowed: allowed.into() }
    }

    /// The first problem that the reader of sheets found.
    fn of(failure: &Failure) -> Self {
        let first =
            if let Failure::BadFiles(files) = failure { files.iter().flat_map(|f| &f.problems).next() } else { None };
        let Some(problem) = first else { return Self::new("", failure.to_string(), "") };
        let key = KEYS.iter().find(|key| problem.key.as_ref().is_some_and(|path| path.to_string().ends_with(*key)));
        let key = key.or_else(|| KEYS.iter().find(|key| problem.title.contains(*key))).copied().unwrap_or_default();
        let help = problem.help.as_deref().unwrap_or_default();
        let allowed = help.trim_start_matches("use ").trim_start_matches("allowed: ").trim_end_matches(" instead");
        let reason = if problem.label.is_empty() { &problem.title } else { &problem.label };
        Self::new(key, reason, if allowed.is_empty() { example(key) } else { allowed })
    }

    /// What is wrong, in a sentence.
    pub fn sentence(&self) -> String {
        let Self { key, reason, allowed } = self;
        if key.is_empty() {
            return reason.clone();
        }
        format!(
            "your default `{key}` cannot be used: {reason}. Write {allowed}, with `icefront defaults --{}`",
            option(key)
        )
    }

    /// The same of an option that sets a default.
    pub fn of_option(self) -> Failure {
        let Self { key, reason, allowed } = self;
        if key.is_empty() {
            return Failure::Unclear { words: None, question: reason };
        }
        Failure::BadValue { key: format!("--{}", option(&key)), reason, allowed }
    }
}

/// Keys of the file that a sheet has too.
const KEYS: [&str; 4] = ["dryer", "room", "price_per_kwh", "currency"];

/// The option of a key.
fn option(key: &str) -> &str {
    if key == "price_per_kwh" { "price" } else { key }
}

fn example(key: &str) -> &'static str {
    match key {
        "dryer" => "one that `icefront dryers` lists, such as \"0.36 m2\", or the path of a dryer file",
        "room" => "a temperature such as \"20 °C\"",
        "currency" => "a currency such as EUR",
        _ => "a number such as 0.29",
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::storage::Memory;

    #[test]
    fn what_no_sheet_would_take_is_refused_with_what_to_write() {
        let text = |text: &str| Some(text.to_string());
        for (wrong, part) in [
            (Defaults { dryer: text("nonesuch"), ..Defaults::default() }, "--dryer"),
            (Defaults { dryer: text(" "), ..Defaults::default() }, "0.36 m2"),
            (Defaults { room: text("400 °C"), ..Defaults::default() }, "-20 °C to 45 °C"),
            (Defaults { room: text("72"), ..Defaults::default() }, "Use `72 °F` instead"),
            (Defaults { currency: text(""), ..Defaults::default() }, "EUR"),
        ] {
            let refused = wrong.check(&Memory::of(&[])).unwrap_err();
            assert!(refused.sentence().starts_with("your default `"), "{refused:?}");
            let refused = refused.of_option().to_string();
            assert!(refused.starts_with("`--") && refused.contains(part), "{refused}");
        }
        let right = Defaults { dryer: text("0.60 m2"), room: text("68 °F"), ..Defaults::default() };
        assert_eq!(right.check(&Memory::of(&[])), Ok(()));
    }

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
