//! A load in a cook's words: each argument is a tray, such as `chili, 1/2 in` or `strawberries, sliced 1/4 in, 2 lb`. The words
//! become the text of a sheet, which is then read like any other: what is said here is what a saved sheet says.

use icefront_core::units::DateOrder;

use crate::Failure;
use crate::format::UnitSystem;
use crate::quantity::{AMOUNT, DEPTH, MEASURE, QuantityError};
use crate::sheet::Text;

/// What else may be said of the whole load.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Wishes {
    /// A built-in dryer, or the path of a dryer file.
    pub dryer: Option<String>,
    /// Room temperature, with its unit.
    pub room: Option<String>,
    /// Price of 1 kWh.
    pub price_per_kwh: Option<f64>,
    /// Its currency.
    pub currency: Option<String>,
    /// Servings.
    pub servings: Option<f64>,
    /// Units of the answer.
    pub units: Option<UnitSystem>,
    /// How dates with slashes are meant.
    pub dates: Option<DateOrder>,
    /// Whether a run may be paused to weigh a tray.
    pub can_pause: Option<bool>,
}

/// The dryer where none is named.
const DRYER: &str = "0.36 m2";
/// How wide slices and how long sticks are where it is not said.
fn piece_side(units: UnitSystem) -> &'static str {
    match units {
        UnitSystem::Metric => "about 50 mm",
        UnitSystem::Us => "about 2 in",
    }
}

/// Words for shapes, each with the name in a sheet and the key of its size.
const SHAPES: [(&str, &[&str]); 4] = [
    ("cubes", &["cubes", "cube", "cubed", "diced", "dice", "chunks", "chunk", "pieces"]),
    ("slices", &["slices", "slice", "sliced", "rings", "rounds", "thin"]),
    ("spheres", &["balls", "ball", "whole", "spheres", "berries", "round"]),
    ("sticks", &["sticks", "stick", "strips", "strip", "fries", "batons"]),
];
/// Words without a meaning of their own beside a size.
const BESIDE: [&str; 9] = ["deep", "thick", "high", "wide", "layer", "each", "across", "diameter", "in"];

/// The text of a sheet for these trays, and what was taken for granted.
///
/// # Errors
/// A tray without food, depth or size, in words.
pub fn sheet(trays: &[String], wishes: &Wishes) -> Result<(Text, Vec<String>), Failure> {
    let mut notes = Vec::new();
    let mut text = String::from("# A load in a cook's words.\nicefront = 1\n");
    let line = |key: &str, value: &str| format!("{key} = {}\n", quoted(value));
    let dryer = wishes.dryer.clone().unwrap_or_else(|| {
        notes.push(format!("an invented dryer with {DRYER} of shelves (--dryer names another: `icefront dryers`)"));
        DRYER.to_string()
    });
    text += &line("dryer", &dryer);
    text += &wishes.room.as_deref().map_or(String::new(), |room| line("room", room));
    text += &wishes.servings.map_or(String::new(), |servings| format!("servings = {servings}\n"));
    text += &wishes.units.map_or(String::new(), |units| line("units", units.name()));
    text += &wishes.dates.map_or(String::new(), |dates| line("dates", dates.name()));
    text += &wishes.can_pause.map_or(String::new(), |can| format!("can_pause = {can}\n"));
    if let Some(price) = wishes.price_per_kwh {
        text += &format!("\n[tariff]\nprice_per_kwh = {price}\n");
        text += &wishes.currency.as_deref().map_or(String::new(), |currency| line("currency", currency));
    }
    let mut number = 0;
    for words in trays {
        let tray = Tray::read(words)?;
        for _ in 0..tray.copies {
            number += 1;
            text += &format!(
                "\n[[tray]] # {}\n{}",
                words.replace(char::is_control, " "),
                tray.toml(wishes.units.unwrap_or_default())
            );
        }
        let side = piece_side(wishes.units.unwrap_or_default());
        notes.extend(tray.assumed.map(|(what, how)| format!("{} ({what} {side} {how})", tray.food)));
    }
    if number == 0 {
        return Err(Failure::BadValue {
            key: "load".into(),
            reason: "nothing is on the trays".into(),
            allowed: "trays such as \"chili, 1/2 in\" \"strawberries, sliced 1/4 in, 2 lb\"".into(),
        });
    }
    Ok((Text { path: "your words".into(), text }, notes))
}

/// A TOML string.
fn quoted(text: &str) -> String {
    let escaped: String = text
        .chars()
        .map(|c| match c {
            '"' => "\\\"".to_string(),
            '\\' => "\\\\".to_string(),
            c if c.is_control() => " ".to_string(),
            c => c.to_string(),
        })
        .collect();
    format!("\"{escaped}\"")
}

/// One tray.
#[derive(Clone, Debug, Default, PartialEq)]
struct Tray {
    food: String,
    shape: Option<&'static str>,
    /// Depth of a layer, or size of pieces.
    size: Option<String>,
    amount: Option<String>,
    frozen: bool,
    lined: bool,
    copies: usize,
    /// Pieces of which one side is taken for granted, and how that is said.
    assumed: Option<(&'static str, &'static str)>,
}

impl Tray {
    fn read(words: &str) -> Result<Self, Failure> {
        let wrong = |reason: String| Failure::BadValue {
            key: words.to_string(),
            reason,
            allowed:
                "a food and how deep or how large, such as \"chili, 1/2 in\", \"raw chicken, 12 mm cubes, frozen\", \
                      \"strawberries, sliced 1/4 in, 2 lb\""
                    .into(),
        };
        let mut tray = Self { copies: 1, ..Self::default() };
        let mut food: Vec<&str> = Vec::new();
        for part in words.split([';', ',']).map(str::trim).filter(|part| !part.is_empty()) {
            // `1,5 cm` is one part of a number
            if !tray.take(part).map_err(&wrong)? {
                food.push(part);
            }
        }
        tray.food = food.join(", ");
        if tray.food.is_empty() {
            return Err(wrong("no food is named".into()));
        }
        if tray.size.is_none() && (tray.amount.is_none() || tray.shape.is_some()) {
            let what = if tray.shape.is_some() {
                "how large are the pieces?"
            } else {
                "how deep is it, or how large are the pieces?"
            };
            return Err(wrong(what.into()));
        }
        match tray.shape {
            Some("slices") => tray.assumed = Some(("slices", "across")),
            Some("sticks") => tray.assumed = Some(("sticks", "long")),
            _ => {}
        }
        Ok(tray)
    }

    /// Takes one part of the words; `false` if it belongs to the food's name.
    fn take(&mut self, part: &str) -> Result<bool, String> {
        let lower = part.to_lowercase();
        match lower.as_str() {
            "frozen" | "already frozen" | "pre-frozen" | "prefrozen" => {
                self.frozen = true;
                return Ok(true);
            }
            "lined" | "on paper" | "on parchment" | "on a mat" => {
                self.lined = true;
                return Ok(true);
            }
            _ => {}
        }
        if let Some(count) = lower.strip_suffix("trays").or_else(|| lower.strip_prefix('x')).map(str::trim) {
            let count = count.trim_start_matches("on ").parse::<usize>().ok().filter(|n| (1..=20).contains(n));
            self.copies = count.ok_or_else(|| format!("`{part}` is not a number of trays from 1 to 20"))?;
            return Ok(true);
        }
        let of_shape = |word: &str| SHAPES.iter().find(|(_, words)| words.contains(&word)).map(|(shape, _)| *shape);
        let all: Vec<&str> = part.split_whitespace().collect();
        let shape = all.iter().find_map(|word| of_shape(&word.to_lowercase()));
        let has_size = part.chars().any(|c| c.is_ascii_digit() || "½¼¾⅓⅔⅛".contains(c)) || lower.contains("inch");
        // "whole milk" and "thin crust pizza" are foods; a shape word counts alone or beside a size
        if !has_size {
            let alone = all.len() == 1 && shape.is_some();
            if alone {
                self.set_shape(shape)?;
            }
            return Ok(alone);
        }
        let kept = |word: &&&str| {
            let plain = word.to_lowercase();
            of_shape(&plain).is_none() && !BESIDE.contains(&plain.as_str()) || is_unit_in(&all, word)
        };
        let measure = all.iter().filter(kept).copied().collect::<Vec<_>>().join(" ");
        let plain = measure.replace('-', "..");
        let length = [measure.as_str(), plain.as_str()].into_iter().find(|text| DEPTH.read(text).is_ok());
        if let Some(length) = length {
            if self.size.replace(length.to_string()).is_some() {
                return Err(format!("`{part}` is a second depth or size"));
            }
            self.set_shape(shape)?;
            return Ok(true);
        }
        let amount = [measure.as_str(), plain.as_str()];
        if let Some(amount) = amount.into_iter().find(|text| AMOUNT.read(text).is_ok() || MEASURE.read(text).is_ok()) {
            if self.amount.replace(amount.to_string()).is_some() {
                return Err(format!("`{part}` is a second amount"));
            }
            self.set_shape(shape)?;
            return Ok(true);
        }
        if part.starts_with(|c: char| c.is_ascii_digit()) {
            // a unit that is known says which limit was missed
            let refused = || [DEPTH, AMOUNT, MEASURE].into_iter().filter_map(|limit| limit.read(&measure).err());
            let missed =
                |error: &QuantityError| matches!(error, QuantityError::Outside { .. } | QuantityError::Reaches { .. });
            let error = refused().find(missed).or_else(|| refused().next());
            let reason = error.map_or_else(|| "it is no depth, size or amount".to_string(), |error| error.to_string());
            return Err(if reason.contains(part) { reason } else { format!("`{part}`: {reason}") });
        }
        Ok(false)
    }

    fn set_shape(&mut self, shape: Option<&'static str>) -> Result<(), String> {
        match (shape, self.shape) {
            (Some(new), Some(old)) if new != old => Err(format!("{old} or {new}?")),
            (Some(new), _) => {
                self.shape = Some(new);
                Ok(())
            }
            (None, _) => Ok(()),
        }
    }

    fn toml(&self, units: UnitSystem) -> String {
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
            "slices" => line("width", piece_side(units)),
            "sticks" => line("length", piece_side(units)),
            _ => {}
        }
        if let Some(amount) = &self.amount {
            line("amount", amount);
        }
        if self.lined {
            text += "lined = true\n";
        }
        if self.frozen {
            text += "before_loading = { method = \"already frozen\" }\n";
        }
        text
    }
}

/// Whether a word `in` stands for inches: right after a number.
fn is_unit_in(all: &[&str], word: &str) -> bool {
    let at = all.iter().position(|w| std::ptr::eq(w.as_ptr(), word.as_ptr()));
    let before = at.and_then(|at| at.checked_sub(1)).and_then(|at| all.get(at));
    word.eq_ignore_ascii_case("in")
        && before.is_some_and(|w| w.ends_with(|c: char| c.is_ascii_digit() || "½¼¾⅓⅔⅛".contains(c)))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::Sheet;

    fn tray(words: &str) -> String {
        sheet(&[words.to_string()], &Wishes::default()).unwrap().0.text.split_once("[[tray]]").unwrap().1.to_string()
    }

    #[test]
    fn words_become_a_tray() {
        for (words, lines) in [
            ("chili, 1/2 in", vec!["food = \"chili\"", "shape = \"layer\"", "depth = \"1/2 in\""]),
            (
                "strawberries, sliced 1/4 in, 2 lb",
                vec!["food = \"strawberries\"", "shape = \"slices\"", "thickness = \"1/4 in\"", "amount = \"2 lb\""],
            ),
            ("raw chicken, 12 mm cubes, frozen", vec!["food = \"raw chicken\"", "size = \"12 mm\"", "already frozen"]),
            ("blueberries, whole 12 mm", vec!["shape = \"spheres\"", "size = \"12 mm\""]),
            ("rice, cooked, 12-18 mm deep", vec!["food = \"rice, cooked\"", "depth = \"12-18 mm\""]),
            ("whole milk, 8 mm, lined", vec!["food = \"whole milk\"", "depth = \"8 mm\"", "lined = true"]),
            ("green beans, 900 g", vec!["food = \"green beans\"", "amount = \"900 g\""]),
            ("potato, sticks 10 mm", vec!["shape = \"sticks\"", "thickness = \"10 mm\""]),
        ] {
            let text = tray(words);
            for line in lines {
                assert!(text.contains(line), "{words}: `{line}` is missing in\n{text}");
            }
        }
    }

    #[test]
    fn the_sheet_can_be_read_and_trays_can_be_several() {
        let words = ["chicken soup, 12 mm, 2 trays".to_string(), "apple, slices 6 mm".to_string()];
        let wishes = Wishes { price_per_kwh: Some(0.3), currency: Some("EUR".into()), ..Wishes::default() };
        let (text, notes) = sheet(&words, &wishes).unwrap();
        assert_eq!(text.text.matches("[[tray]]").count(), 3);
        assert!(
            notes.iter().any(|n| n.contains("dryer")) && notes.iter().any(|n| n.contains("50 mm across")),
            "{notes:?}"
        );
        let apple = ["apple, raw, slices 6 mm".to_string()];
        sheet(&apple, &wishes).unwrap().0.text.parse::<Sheet>().unwrap();
    }

    #[test]
    fn pieces_of_a_load_in_inches_are_assumed_in_inches() {
        let wishes = Wishes { units: Some(UnitSystem::Us), ..Wishes::default() };
        let (text, notes) = sheet(&["apple, slices 1/4 in".to_string()], &wishes).unwrap();
        assert!(
            text.text.contains("units = \"us\"") && notes.iter().any(|n| n.contains("about 2 in across")),
            "{notes:?}"
        );
    }

    #[test]
    fn what_is_missing_is_asked_for() {
        for (words, part) in [
            ("chili", "how deep"),
            ("1/2 in", "no food"),
            ("beef, cubes", "how large"),
            ("beef, 10 mm, 12 mm", "second depth"),
            ("beef, 10 mm cubes, slices", "cubes or slices"),
            ("chili, 1/2 furlong", "1/2 furlong"),
            ("chili, 99 trays, 1 in", "number of trays"),
        ] {
            let refused = sheet(&[words.to_string()], &Wishes::default()).unwrap_err().to_string();
            assert!(refused.contains(part), "{words}: {refused}");
        }
    }
}
