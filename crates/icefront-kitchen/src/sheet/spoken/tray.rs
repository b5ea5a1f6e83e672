//! One tray in a cook's words.

use crate::Failure;
use crate::format::{self, UnitSystem};
use crate::quantity::spoken::figures;
use crate::sheet::spoken::phrase::{Phrase, cut_of_slices};
use crate::sheet::spoken::{quoted, whole};

/// Words for food that is not frozen before, which is what is taken where nothing is said.
const NOT_FROZEN: [&str; 12] = [
    "not frozen",
    "unfrozen",
    "fresh",
    "not pre-frozen",
    "thawed",
    "chilled",
    "cold",
    "from the fridge",
    "from fridge",
    "from the refrigerator",
    "refrigerated",
    "at room temperature",
];
/// Words for food that is.
const FROZEN: [&str; 19] = [
    "frozen in the freezer beforehand",
    "frozen in the freezer",
    "frozen in my freezer",
    "frozen in our freezer",
    "frozen in a freezer",
    "frozen in freezer",
    "frozen beforehand",
    "frozen in advance",
    "frozen before",
    "frozen first",
    "frozen through",
    "frozen overnight",
    "frozen solid",
    "hard frozen",
    "from the freezer",
    "from freezer",
    "already frozen",
    "pre-frozen",
    "prefrozen",
];
/// Words behind an amount that is that of each tray.
const EACH: [&str; 6] = ["on each tray", "on each", "per tray", "each tray", "a tray", "each"];
/// Words behind an amount that is that of all trays, as any other is.
const IN_ALL: [&str; 3] = ["in all", "in total", "total"];
/// Most trays of the same food.
const MOST_COPIES: usize = 20;

/// How many trays of the same.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Copies {
    /// So many.
    Count(usize),
    /// As many as the dryer has room for.
    All,
}

/// One tray.
#[derive(Clone, Debug, PartialEq)]
pub struct Tray {
    /// Its food.
    pub food: String,
    shape: Option<&'static str>,
    /// Depth of a layer, or size of pieces.
    size: Option<String>,
    /// Whether the size is that of the table.
    size_of_table: bool,
    amount: Option<String>,
    is_layer: bool,
    /// How cold it is loaded, as a sheet says it; empty where that is not said.
    frozen: Option<String>,
    /// Whether an amount is that of each of several trays.
    each: bool,
    lined: bool,
    /// How many trays of it.
    pub copies: Copies,
}

impl Tray {
    /// Reads it.
    ///
    /// # Errors
    /// A tray without food, depth or size, in words.
    pub fn read(words: &str, units: UnitSystem) -> Result<Self, Failure> {
        let wrong = |reason: String| Failure::BadValue {
            key: words.to_string(),
            reason,
            allowed:
                "a food and how deep or how large, such as \"chili, 1/2 in\", \"raw chicken, 12 mm cubes, frozen\", \
                      \"strawberries, sliced 1/4 in, 2 lb\""
                    .into(),
        };
        let mut tray = Self::empty();
        let mut food: Vec<String> = Vec::new();
        let points = decimal_points(words);
        let points = tray.leading_copies(points.trim()).map_err(&wrong)?;
        for part in points.split([';', ',']).map(str::trim).filter(|part| !part.is_empty()) {
            food.extend(tray.take(part, !food.is_empty()).map_err(&wrong)?);
        }
        tray.food = food.join(", ");
        if tray.food.is_empty() {
            return Err(wrong("no food is named".into()));
        }
        tray.cut_in_name();
        tray.whole(units);
        match tray.question() {
            Some(question) => Err(Failure::Unclear { words: Some(words.to_string()), question }),
            None => Ok(tray),
        }
    }

    fn empty() -> Self {
        Self {
            food: String::new(),
            shape: None,
            size: None,
            size_of_table: false,
            amount: None,
            is_layer: false,
            frozen: None,
            each: false,
            lined: false,
            copies: Copies::Count(1),
        }
    }

    /// Takes `4 x`, `4 trays of` or `4 trays` before the food.
    fn leading_copies<'a>(&mut self, words: &'a str) -> Result<&'a str, String> {
        let digits = words.find(|c: char| !c.is_ascii_digit()).unwrap_or(words.len());
        let (count, rest) = words.split_at(digits);
        let rest = rest.trim_start();
        let food = ["x ", "X ", "\u{d7}", "trays of ", "tray of ", "trays ", "tray "]
            .iter()
            .find_map(|sign| rest.strip_prefix(sign));
        match food.map(str::trim_start).filter(|food| !count.is_empty() && food.starts_with(char::is_alphabetic)) {
            Some(food) => {
                self.copies = Copies::Count(copies(count, words)?);
                Ok(food)
            }
            None => Ok(words),
        }
    }

    /// Takes one part of the words; what belongs to the food's name is left.
    fn take(&mut self, part: &str, named: bool) -> Result<Option<String>, String> {
        let part = match without_last(part, &EACH) {
            Some(before) => {
                self.each = true;
                before
            }
            None => without_last(part, &IN_ALL).unwrap_or(part),
        };
        if part.is_empty() {
            return Ok(None);
        }
        if let Some((before, on)) = on_trays(part)
            && let Some(copies) = copies_in(&on.to_lowercase(), on)?
        {
            self.copies = copies;
            return self.take(before, named);
        }
        match part.to_lowercase().as_str() {
            lower if NOT_FROZEN.contains(&lower) => self.frozen = None,
            lower if frozen_at(lower).is_some() => self.frozen = frozen_at(lower),
            "lined" | "on paper" | "on parchment" | "on a mat" => self.lined = true,
            lower => match copies_in(lower, part)? {
                Some(copies) => self.copies = copies,
                None => return self.phrase(part, named),
            },
        }
        Ok(None)
    }

    /// Takes a phrase of food, cut and measures.
    fn phrase(&mut self, part: &str, named: bool) -> Result<Option<String>, String> {
        let Phrase { food, shape, sizes, amounts, is_layer } = Phrase::read(part, named)?;
        for size in sizes {
            if self.size.replace(size).is_some() {
                return Err(format!("`{part}` is a second depth or size"));
            }
        }
        for amount in amounts {
            if self.amount.replace(amount).is_some() {
                return Err(format!("`{part}` is a second amount"));
            }
        }
        self.is_layer |= is_layer;
        match (shape, self.shape) {
            (Some(new), Some(old)) if new != old => return Err(format!("{old} or {new}: it cannot be both")),
            (new, old) => self.shape = old.or(new),
        }
        Ok(Some(food).filter(|food| !food.is_empty()))
    }

    /// `sliced strawberries, 1/4 in` are slices.
    fn cut_in_name(&mut self) {
        if self.shape.is_none()
            && self.size.is_some()
            && !self.is_layer
            && let Some((shape, food)) = cut_of_slices(&self.food).filter(|(_, food)| !food.is_empty())
        {
            (self.shape, self.food) = (Some(shape), food);
        }
    }

    /// Whole pieces are as large as one of them weighs, where the table knows.
    fn whole(&mut self, units: UnitSystem) {
        if self.shape == Some("spheres") && self.size.is_none() {
            self.size = whole::size(&self.food, units);
            self.size_of_table = self.size.is_some();
        }
    }

    /// What has to be asked.
    fn question(&self) -> Option<String> {
        let food = &self.food;
        if self.size.is_some() {
            return None;
        }
        if self.shape.is_some() {
            let example = match self.shape {
                Some("spheres") => format!("`{food}, whole, 15 mm`"),
                Some("sticks") => format!("`{food}, sticks 10 mm`"),
                Some("slices") => format!("`{food}, sliced 1/4 in`"),
                _ => format!("`{food}, 1/2 in cubes`"),
            };
            return Some(format!("How large are the pieces? Say it as in {example}."));
        }
        self.amount.is_none().then(|| {
            format!(
                "How deep is it, or how much is it? A weight is enough: `{food}, 1 kg` or `{food}, 4 cups`. A full tray \
                 is usually about 1/2 in."
            )
        })
    }

    /// How wide slices and how long sticks are, which is not said: slices of small fruit are as wide as a whole one.
    fn side(&self, units: UnitSystem) -> String {
        let whole = whole::size(&self.food, units).filter(|_| self.shape == Some("slices"));
        let usual = match units {
            UnitSystem::Metric => "about 50 mm",
            UnitSystem::Us => "about 2 in",
        };
        whole.unwrap_or_else(|| usual.into())
    }

    /// What is taken for granted, in words.
    pub fn assumed(&self, units: UnitSystem) -> Option<String> {
        let (food, side) = (&self.food, self.side(units));
        match (self.shape, &self.size, &self.amount) {
            (Some("spheres"), Some(size), _) if self.size_of_table => Some(format!("{food} (whole, {size} across)")),
            (Some("slices"), ..) => Some(format!("{food} (slices {side} across)")),
            (Some("sticks"), ..) => Some(format!("{food} (sticks {side} long)")),
            (None, None, Some(amount)) => Some(format!("{food} (depth of {amount} spread over the tray)")),
            _ => None,
        }
    }

    /// The part of an amount for several trays that lies on each of so many, and the words that say so.
    ///
    /// # Errors
    /// An amount that cannot be divided, in words.
    pub fn shared_by(&mut self, trays: usize) -> Result<Option<String>, Failure> {
        let Some(whole) = self.amount.clone().filter(|_| trays > 1 && !self.each) else { return Ok(None) };
        let part = share(&whole, trays).ok_or_else(|| Failure::Unclear {
            words: Some(whole.clone()),
            question: format!("How much is on each tray? Say it as in `{trays} trays, 2 lb each`."),
        })?;
        let words = format!("{whole} {} in all, {part} on each of {trays} trays", self.food);
        self.amount = Some(part);
        Ok(Some(words))
    }

    /// Its lines of a sheet.
    pub fn toml(&self, units: UnitSystem) -> String {
        let shape = self.shape.unwrap_or("layer");
        let mut text = format!("food = {}\nshape = {}\n", quoted(&self.food), quoted(shape));
        let mut line = |key: &str, value: &str| text += &format!("{key} = {}\n", quoted(value));
        let size_key = match shape {
            "layer" => "depth",
            "slices" | "sticks" => "thickness",
            _ => "size",
        };
        if let Some(size) = &self.size {
            line(size_key, size);
        }
        match shape {
            "slices" => line("width", &self.side(units)),
            "sticks" => line("length", &self.side(units)),
            _ => {}
        }
        if let Some(amount) = &self.amount {
            line("amount", amount);
        }
        if self.lined {
            text += "lined = true\n";
        }
        if let Some(temperature) = &self.frozen {
            let unit = match units {
                _ if temperature.parse::<f64>().is_err() => "",
                UnitSystem::Metric => " C",
                UnitSystem::Us => " F",
            };
            let at = match temperature.as_str() {
                "" => String::new(),
                temperature => format!(", temperature = {}", quoted(&format!("{temperature}{unit}"))),
            };
            text += &format!("before_loading = {{ method = \"already frozen\"{at} }}\n");
        }
        text
    }
}

/// How cold food is that is `frozen`, `frozen at -20 C`; empty where that is not said, `None` where it is not frozen.
fn frozen_at(words: &str) -> Option<String> {
    let rest = FROZEN.iter().chain(&["frozen"]).find_map(|said| words.strip_prefix(said))?;
    if rest.is_empty() {
        return Some(String::new());
    }
    rest.strip_prefix(" at ").or_else(|| rest.strip_prefix(" to ")).map(|at| at.trim().to_string())
}

/// An amount over a number of trays: `3 lb` of `6 lb` for two; `None` where it holds more than one number.
fn share(amount: &str, trays: usize) -> Option<String> {
    let figures = figures(amount);
    let is_number = |c: char| c.is_ascii_digit() || c == '.';
    let start = figures.find(is_number)?;
    let (before, rest) = figures.split_at_checked(start)?;
    let (number, after) = rest.split_at_checked(rest.find(|c| !is_number(c)).unwrap_or(rest.len()))?;
    if after.contains(is_number) {
        return None;
    }
    let part = number.parse::<f64>().ok()? / trays as f64;
    Some(format!("{before}{}{after}", format::trimmed(part, 3)))
}

/// What stands before one of these at the end, as words of their own: `2 lb` of `2 lb each`, but nothing of `peach`.
fn without_last<'a>(part: &'a str, words: &[&str]) -> Option<&'a str> {
    let before = words.iter().find_map(|word| part.strip_suffix(word))?;
    (before.is_empty() || before.ends_with(char::is_whitespace)).then(|| before.trim_end())
}

/// `3.6 kg` and `over 4 trays` of both.
fn on_trays(part: &str) -> Option<(&str, &str)> {
    let (before, _) = [" over ", " across ", " on "].iter().find_map(|word| part.rsplit_once(word))?;
    let on = part.get(before.len()..)?.trim_start();
    (on.ends_with("trays") || on.ends_with("shelves")).then_some((before, on))
}

/// `2 trays`, `x3`, `all trays`; `None` where a part says nothing of the kind.
fn copies_in(lower: &str, part: &str) -> Result<Option<Copies>, String> {
    let lower = ["on ", "over ", "across "].iter().find_map(|word| lower.strip_prefix(word)).unwrap_or(lower);
    if matches!(lower, "all" | "all trays" | "all shelves" | "every tray" | "every shelf") {
        return Ok(Some(Copies::All));
    }
    if let Some(count) = lower.strip_suffix("trays").or_else(|| lower.strip_suffix(" tray")) {
        return copies(&figures(count.trim()), part).map(|count| Some(Copies::Count(count)));
    }
    let is_number = |text: &&str| !text.is_empty() && text.bytes().all(|b| b.is_ascii_digit());
    let times = lower.strip_prefix('x').or_else(|| lower.strip_suffix('x')).map(str::trim).filter(is_number);
    times.map(|count| copies(count, part).map(Copies::Count)).transpose()
}

fn copies(count: &str, part: &str) -> Result<usize, String> {
    let count = count.trim().parse::<usize>().ok().filter(|n| (1..=MOST_COPIES).contains(n));
    count.ok_or_else(|| format!("`{part}` is not a number of trays from 1 to {MOST_COPIES}"))
}

/// The words with a point for each comma that can only be a decimal one: `0,5 cm`, but not `1,200 g`.
fn decimal_points(words: &str) -> String {
    let is_digit = |c: &char| c.is_ascii_digit();
    let mut plain = String::with_capacity(words.len());
    for (at, letter) in words.char_indices() {
        let before: String = plain.chars().rev().take_while(is_digit).collect();
        let rest = words.get(at + letter.len_utf8()..).unwrap_or_default();
        let digits = rest.chars().take_while(is_digit).count();
        let unit = rest.get(digits..).unwrap_or_default().trim_start();
        let has_unit = unit.starts_with(|c: char| c.is_alphabetic() || c == '"');
        let could_be_thousands = digits == 3 && before != "0";
        let is_decimal = letter == ',' && !before.is_empty() && digits > 0 && has_unit && !could_be_thousands;
        plain.push(if is_decimal { '.' } else { letter });
    }
    plain
}
