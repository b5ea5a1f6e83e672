//! The load that most commands begin with: a sheet, or trays in a cook's words.

use std::path::{Path, PathBuf};

use clap::Args;

use crate::Disk;
use crate::commands::defaults;
use crate::commands::units::system;
use crate::output::complain;
use icefront_kitchen::format::{UnitSystem, capital};
use icefront_kitchen::quantity::Price;
use icefront_kitchen::quantity::system::system_of;
use icefront_kitchen::sheet::spoken::{self, Wishes};
use icefront_kitchen::sheet::{self, Sheet, Text};
use icefront_kitchen::weather::clock::{Clock, HOUR_S};
use icefront_kitchen::{Failure, Look};

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
    /// Temperature of the shelves while they heat, such as "40 °C" or "105 °F".
    #[arg(long, value_name = "TEMPERATURE", allow_hyphen_values = true, help_heading = "Trays in words")]
    shelf: Option<String>,
    /// Price of 1 kWh, such as 0.29, '$0.16', "16 cents" or 27p.
    #[arg(long, value_name = "PRICE", allow_hyphen_values = true, help_heading = "Trays in words")]
    price: Option<String>,
    /// Currency of the price, where the price does not say it.
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

/// When a run starts where nothing else is said.
pub const USUAL_START: Clock = Clock(18.0 * HOUR_S);
/// So many words without a blank in any of them are taken for trays without quotation marks.
const LEAST_UNQUOTED: usize = 3;
/// What the arguments say.
#[derive(Default)]
struct Apart<'a> {
    trays: Vec<String>,
    /// As in `"0.29 EUR/kWh"`.
    price: Option<&'a str>,
    /// As in `"shelves at 40 °C"`.
    shelf: Option<&'a str>,
}

/// The sheet that is taken where none is named.
const USUAL: &str = "load.toml";

impl LoadArgument {
    /// The text of the sheet, and the sheet, checked. Where the demonstration is taken unasked, a message says so.
    pub fn read(&self) -> Result<(Text, Sheet), Failure> {
        if !self.is_words() && self.file().is_none() {
            self.say_demonstration();
        }
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
            return of_text(text, assumed, self.again()).map_err(|failure| self.or_of_defaults(failure));
        }
        self.only_with_words()?;
        match self.file() {
            Some(path) => of_text(Text::read(&path, &Disk)?, Vec::new(), path.display().to_string()),
            None => {
                let unasked = (!self.demo).then(unasked);
                of_text(sheet::demonstration(), unasked.into_iter().collect(), "--demo".into())
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

    /// When it starts, by an option or among the trays, as in `"tonight at 6"`.
    ///
    /// # Errors
    /// [`Failure::Unclear`] where both say it.
    pub fn start(&self, option: Option<Clock>) -> Result<Option<Clock>, Failure> {
        let said = self.load.iter().find_map(|words| Some((words, Clock::read(words).ok()?)));
        match (option, said) {
            (Some(_), Some((words, _))) => Err(second("start", words)),
            (option, said) => Ok(option.or(said.map(|(_, start)| start))),
        }
    }

    /// The trays, and what stands among them of the whole load.
    fn apart(&self) -> Result<Apart<'_>, Failure> {
        let mut apart = Apart::default();
        let mut starts = None;
        for words in &self.load {
            let (what, place, value) = match () {
                () if Clock::read(words).is_ok() => ("start", &mut starts, words.as_str()),
                () if is_price(words) => ("price", &mut apart.price, words.as_str()),
                () => match of_shelves(words) {
                    Some(temperature) => ("temperature of the shelves", &mut apart.shelf, temperature),
                    None => {
                        apart.trays.push(words.clone());
                        continue;
                    }
                },
            };
            if place.replace(value).is_some() {
                return Err(second(what, words));
            }
        }
        Ok(apart)
    }

    /// The text of a sheet for the trays in words, and what was taken for granted.
    pub fn words(&self) -> Result<(Text, Vec<String>), Failure> {
        let Apart { trays, price, shelf } = self.apart()?;
        for (what, option, said) in [("price", &self.price, price), ("temperature of the shelves", &self.shelf, shelf)]
        {
            if let Some(words) = said.filter(|_| option.is_some()) {
                return Err(second(what, words));
            }
        }
        let price = price_of(self.price.as_deref().or(price), self.currency.as_deref())?;
        let mut wishes = Wishes {
            dryer: self.dryer.clone(),
            room: self.room.clone(),
            shelf: self.shelf.as_deref().or(shelf).map(str::to_string),
            price_per_kwh: price.as_ref().map(|price| price.per_kwh),
            currency: price.and_then(|price| price.currency).or_else(|| self.currency.clone()),
            servings: self.servings,
            units: self.units.or_else(|| {
                system_of(self.load.iter().map(String::as_str).chain(self.room.as_deref()).chain(self.shelf.as_deref()))
            }),
            ..Wishes::default()
        };
        let filled = if self.no_defaults { None } else { defaults::fill(&mut wishes)? };
        let mut assumed: Vec<String> = filled.into_iter().collect();
        let (text, notes) = spoken::sheet(&trays, &wishes).map_err(|failure| or_unquoted(&trays, failure))?;
        assumed.extend(notes);
        Ok((text, assumed))
    }

    /// The arguments that mean the same load with the same machine and cost.
    fn again(&self) -> String {
        let servings = self.servings.map(|servings| servings.to_string());
        let options = [
            ("--dryer", self.dryer.as_deref()),
            ("--room", self.room.as_deref()),
            ("--shelf", self.shelf.as_deref()),
            ("--price", self.price.as_deref()),
            ("--currency", self.currency.as_deref()),
            ("--servings", servings.as_deref()),
            ("--units", self.units.map(UnitSystem::name)),
        ];
        let trays = self.load.iter().map(|tray| quoted(tray));
        let given = options.iter().filter_map(|(option, value)| Some(format!("{option} {}", in_shell((*value)?))));
        trays.chain(given).chain(self.no_defaults.then(|| "--no-defaults".to_string())).collect::<Vec<_>>().join(" ")
    }

    /// The failure, or that of the defaults where these cannot be used.
    fn or_of_defaults(&self, failure: Failure) -> Failure {
        if self.no_defaults { failure } else { defaults::check().err().unwrap_or(failure) }
    }

    /// The text of each sheet that is named, or one for trays in words, or the demonstration where there is neither.
    pub fn texts(&self) -> Result<Vec<Text>, Failure> {
        let is_file = |one: &String| looks_like_file(one) || named_file(one).is_some();
        if self.is_words() && !self.load.iter().any(is_file) {
            return Ok(vec![self.words()?.0]);
        }
        self.only_with_words()?;
        if self.load.is_empty() {
            let Some(usual) = self.file() else {
                self.say_demonstration();
                return Ok(vec![sheet::demonstration()]);
            };
            return Ok(vec![Text::read(&usual, &Disk)?]);
        }
        let path = |one: &String| named_file(one).unwrap_or_else(|| PathBuf::from(one));
        self.load.iter().map(|one| Text::read(&path(one), &Disk)).collect()
    }

    fn say_demonstration(&self) {
        if !self.demo {
            complain(&format!("{}.", capital(&unasked())), Look::Plain);
        }
    }

    /// A sheet says these things itself.
    fn only_with_words(&self) -> Result<(), Failure> {
        let given = [
            ("--dryer", self.dryer.is_some()),
            ("--room", self.room.is_some()),
            ("--shelf", self.shelf.is_some()),
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

/// That the demonstration is taken though nobody asked for it.
fn unasked() -> String {
    format!("there is no {USUAL} here, so this is the invented demonstration")
}

/// The price of an option, in the currency of another where that is given.
///
/// # Errors
/// A price that cannot be read or believed.
pub fn price_of(text: Option<&str>, currency: Option<&str>) -> Result<Option<Price>, Failure> {
    let read = text.map(|text| Price::read(text, currency)).transpose();
    read.map_err(|question| Failure::Unclear { words: Some("--price".into()), question: format!("{question}.") })
}

/// Something that is said twice.
fn second(what: &str, words: &str) -> Failure {
    let question = format!("This is a second {what}; give only one.");
    Failure::Unclear { words: Some(words.to_string()), question }
}

/// Whether these words are the price of electricity.
fn is_price(words: &str) -> bool {
    let plain = words.to_lowercase().replace(' ', "");
    plain.contains("/kwh") || plain.contains("perkwh")
}

/// The temperature in `shelves at 40 °C`, `with the shelves at 105 °F`.
fn of_shelves(words: &str) -> Option<&str> {
    let words = words.trim();
    let without = |words: &'_ str, ahead: &str| {
        words.get(..ahead.len()).is_some_and(|first| first.eq_ignore_ascii_case(ahead)).then_some(ahead.len())
    };
    let mut at = 0;
    for ahead in ["with ", "the "] {
        at += without(words.get(at..)?, ahead).unwrap_or(0);
    }
    let rest = words.get(at..)?;
    let at = ["shelves at ", "shelf at "].iter().find_map(|ahead| without(rest, ahead))?;
    rest.get(at..).map(str::trim)
}

/// The failure, or a single one where a shell has taken trays without quotation marks apart.
fn or_unquoted(trays: &[String], failure: Failure) -> Failure {
    let is_one_word = |tray: &String| !tray.trim().contains(char::is_whitespace);
    if trays.len() < LEAST_UNQUOTED || !trays.iter().all(is_one_word) {
        return failure;
    }
    let question =
        "Put each tray between quotation marks, as in \"chili, 1/2 in\" \"strawberries, sliced 1/4 in, 2 lb\".";
    Failure::Unclear { words: Some(trays.join(" ")), question: question.into() }
}

/// A value of an option as a shell takes it.
fn in_shell(value: &str) -> String {
    let is_plain = |c: char| c.is_alphanumeric() || ".-_/:".contains(c);
    if value.chars().all(is_plain) { value.to_string() } else { quoted(value) }
}

/// Between quotation marks that a shell takes as they are.
fn quoted(text: &str) -> String {
    let mark = if text.contains(['"', '$', '`']) && !text.contains('\'') { '\'' } else { '"' };
    format!("{mark}{text}{mark}")
}

/// A path by its form.
fn looks_like_file(text: &str) -> bool {
    let path = Path::new(text);
    text == "-"
        || path.extension().is_some_and(|end| end.eq_ignore_ascii_case("toml"))
        || (path.components().count() > 1 && !text.contains(',') && !spoken::says_how_much(text))
}

/// A file of that name, with `.toml` or without.
fn named_file(text: &str) -> Option<PathBuf> {
    if text.contains(',') {
        return None;
    }
    [text.to_string(), format!("{text}.toml")].into_iter().map(PathBuf::from).find(|path| path.exists())
}
