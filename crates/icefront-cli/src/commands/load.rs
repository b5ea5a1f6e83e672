//! The load that most commands begin with: a sheet, or trays in a cook's words.

use std::path::{Path, PathBuf};

use clap::Args;

use crate::Disk;
use crate::commands::defaults;
use crate::commands::units::system;
use icefront_kitchen::Failure;
use icefront_kitchen::format::UnitSystem;
use icefront_kitchen::quantity::system::system_of;
use icefront_kitchen::sheet::spoken::{self, Wishes};
use icefront_kitchen::sheet::{self, Sheet, Text};

/// A load sheet, trays in words, or neither.
#[derive(Debug, Args)]
pub struct LoadArgument {
    /// A load sheet, or each tray in words: "chili, 1/2 in" "strawberries, sliced 1/4 in, 2 lb". Without any: load.toml here.
    #[arg(value_name = "LOAD.toml | TRAY")]
    load: Vec<String>,
    /// Take the invented demonstration load.
    #[arg(long, conflicts_with = "load")]
    demo: bool,
    /// The dryer: a built-in one or the path of a dryer file.
    #[arg(long, value_name = "NAME", help_heading = "Trays in words")]
    dryer: Option<String>,
    /// Room temperature, such as "68 °F".
    #[arg(long, value_name = "TEMPERATURE", allow_hyphen_values = true, help_heading = "Trays in words")]
    room: Option<String>,
    /// Price of 1 kWh.
    #[arg(long, value_name = "PRICE", help_heading = "Trays in words")]
    price: Option<f64>,
    /// Currency of the price.
    #[arg(long, value_name = "TEXT", help_heading = "Trays in words")]
    currency: Option<String>,
    /// Servings in the load.
    #[arg(long, value_name = "N", help_heading = "Trays in words")]
    servings: Option<f64>,
    /// Units of the answer: metric or us. Without it: those of the words, else of your defaults.
    #[arg(long, value_name = "SYSTEM", value_parser = system, help_heading = "Trays in words")]
    units: Option<UnitSystem>,
    /// Leave your own defaults out.
    #[arg(long, help_heading = "Trays in words")]
    no_defaults: bool,
}

/// What was given, read and checked.
pub struct Given {
    /// Text of the sheet.
    pub text: Text,
    /// The sheet.
    pub sheet: Sheet,
    /// What was taken for granted, in words.
    pub assumed: Vec<String>,
    /// How a command names the load again.
    pub again: String,
}

/// The sheet that is taken where none is named.
const USUAL: &str = "load.toml";

impl LoadArgument {
    /// The text of the sheet, and the sheet, checked.
    pub fn read(&self) -> Result<(Text, Sheet), Failure> {
        let Given { text, sheet, .. } = self.given()?;
        Ok((text, sheet))
    }

    /// The load, with what was taken for granted.
    pub fn given(&self) -> Result<Given, Failure> {
        let of_text = |text: Text, assumed: Vec<String>, again: String| {
            let sheet = sheet::read(&text, &Disk)?;
            Ok(Given { text, sheet, assumed, again })
        };
        if self.is_words() {
            let (text, assumed) = self.words()?;
            let again = self.load.iter().map(|tray| format!("\"{tray}\"")).collect::<Vec<_>>().join(" ");
            return of_text(text, assumed, again);
        }
        self.only_with_words()?;
        match self.file() {
            Some(path) => of_text(Text::read(&path, &Disk)?, Vec::new(), path.display().to_string()),
            None => {
                let none =
                    (!self.demo).then(|| format!("there is no {USUAL} here, so this is the invented demonstration"));
                of_text(sheet::demonstration(), none.into_iter().collect(), "--demo".into())
            }
        }
    }

    /// Whether trays are given in words: several arguments, or one that is no file.
    pub fn is_words(&self) -> bool {
        match self.load.as_slice() {
            [] => false,
            [one] => !looks_like_file(one) && named_file(one).is_none(),
            several => several.iter().any(|one| !looks_like_file(one)),
        }
    }

    /// The text of a sheet for the trays in words, and what was taken for granted.
    pub fn words(&self) -> Result<(Text, Vec<String>), Failure> {
        let mut wishes = Wishes {
            dryer: self.dryer.clone(),
            room: self.room.clone(),
            price_per_kwh: self.price,
            currency: self.currency.clone(),
            servings: self.servings,
            units: self.units.or_else(|| system_of(self.load.iter().map(String::as_str).chain(self.room.as_deref()))),
            ..Wishes::default()
        };
        let filled = if self.no_defaults { None } else { defaults::fill(&mut wishes)? };
        let mut assumed: Vec<String> = filled.into_iter().collect();
        let (text, notes) = spoken::sheet(&self.load, &wishes)?;
        assumed.extend(notes);
        Ok((text, assumed))
    }

    /// A sheet says these things itself.
    fn only_with_words(&self) -> Result<(), Failure> {
        let given = [
            ("--dryer", self.dryer.is_some()),
            ("--room", self.room.is_some()),
            ("--price", self.price.is_some()),
            ("--currency", self.currency.is_some()),
            ("--servings", self.servings.is_some()),
            ("--units", self.units.is_some()),
        ];
        match given.iter().find(|(_, is)| *is) {
            Some((option, _)) => Err(Failure::BadValue {
                key: (*option).into(),
                reason: "a load sheet says this itself".into(),
                allowed: "the key in the sheet".into(),
            }),
            None => Ok(()),
        }
    }

    fn file(&self) -> Option<PathBuf> {
        if self.demo {
            return None;
        }
        match self.load.first() {
            Some(one) => Some(named_file(one).unwrap_or_else(|| PathBuf::from(one))),
            None => Some(PathBuf::from(USUAL)).filter(|path| path.is_file()),
        }
    }
}

/// A path by its form.
fn looks_like_file(text: &str) -> bool {
    let path = Path::new(text);
    text == "-"
        || path.extension().is_some_and(|end| end.eq_ignore_ascii_case("toml"))
        || (path.components().count() > 1 && !text.contains(','))
}

/// A file of that name, with `.toml` or without.
fn named_file(text: &str) -> Option<PathBuf> {
    if text.contains(',') {
        return None;
    }
    [text.to_string(), format!("{text}.toml")].into_iter().map(PathBuf::from).find(|path| path.exists())
}
