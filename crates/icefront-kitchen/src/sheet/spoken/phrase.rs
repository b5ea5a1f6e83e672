//! One phrase of a cook's words taken apart: food, cut, and how deep, large or much, in any order and with or without commas.

use crate::quantity::{AMOUNT, DEPTH, MEASURE, QuantityError, amount, spoken};

/// Words for shapes, each with the name in a sheet.
const SHAPES: [(&str, &[&str]); 4] = [
    ("cubes", &["cubes", "cube", "cubed", "diced", "dice", "chunks", "chunk", "pieces"]),
    ("slices", &["slices", "slice", "sliced", "rings", "rounds", "coins", "thin"]),
    ("spheres", &["balls", "ball", "whole", "spheres", "berries", "round"]),
    ("sticks", &["sticks", "stick", "strips", "strip", "fries", "batons"]),
];
/// Shape words that say how a food is cut where they stand before its name; others are part of names, as in `whole milk`.
const CUT_BEFORE: [&str; 3] = ["sliced", "diced", "cubed"];
/// The same behind its name.
const CUT_BEHIND: [&str; 12] =
    ["sliced", "diced", "cubed", "slices", "cubes", "chunks", "strips", "rounds", "rings", "coins", "sticks", "whole"];
/// Words without a meaning of their own beside a size.
const BESIDE: [&str; 10] = ["deep", "thick", "high", "wide", "layer", "each", "across", "diameter", "in", "of"];
/// Words beside a size that mean a layer, whatever the food is called.
const OF_LAYER: [&str; 3] = ["deep", "layer", "high"];
/// How large a piece is, which is not part of its food's name.
const PIECE_SIZES: [&str; 4] = ["small", "medium", "large", "jumbo"];

/// A phrase taken apart.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Phrase {
    /// What is left for the name of the food.
    pub food: String,
    /// Shape, by its name in a sheet.
    pub shape: Option<&'static str>,
    /// Depths or sizes of pieces.
    pub sizes: Vec<String>,
    /// Weights, measures or pieces.
    pub amounts: Vec<String>,
    /// Whether a size is said to be a depth.
    pub is_layer: bool,
}

/// What some words measure.
enum Measure {
    Size(String),
    Amount(String),
}

impl Phrase {
    /// Takes a phrase apart; `named`: whether the food has a name already.
    ///
    /// # Errors
    /// A number that is no depth, size or amount, in words.
    pub fn read(text: &str, named: bool) -> Result<Self, String> {
        let mut phrase = Self::default();
        let words: Vec<&str> = text.split_whitespace().collect();
        let mut rest = words.as_slice();
        if let [one] = rest
            && let Some(shape) = shape_of(one)
        {
            return Ok(Self { shape: Some(shape), ..phrase });
        }
        while !rest.is_empty() {
            let Some((measure, beside, left)) = measured(rest) else { break };
            rest = phrase.take(measure, beside, left);
        }
        if rest.first().is_some_and(|word| begins_with_digit(word)) {
            let left = rest.join(" ");
            return phrase.numbered(&left, named);
        }
        phrase.food = rest.join(" ");
        Ok(phrase)
    }

    /// Notes a measure and the words beside it; what is left is the food, without the words for its cut.
    fn take<'a, 'b>(&mut self, measure: Measure, beside: &[&str], left: &'a [&'b str]) -> &'a [&'b str] {
        let mut idle: &[&str] = &["of"];
        match measure {
            Measure::Amount(amount) => self.amounts.push(amount),
            Measure::Size(size) => {
                self.sizes.push(size);
                idle = &["of", "deep", "thick", "high", "each"];
                self.is_layer |= has(beside, &OF_LAYER) || left.first().is_some_and(|word| has(&[word], &OF_LAYER));
            }
        }
        self.shape = self.shape.or_else(|| beside.iter().find_map(|word| shape_of(word)));
        let sized = !self.sizes.is_empty() && !self.is_layer;
        let (shape, left) = if sized { cut(left, &CUT_BEHIND) } else { (None, left) };
        self.shape = self.shape.or(shape);
        without_leading(left, idle)
    }

    /// A phrase that begins with a number which measures nothing: pieces of a food, or a name such as `2% milk`.
    fn numbered(mut self, text: &str, named: bool) -> Result<Self, String> {
        if let Some(missed) = out_of_range(text) {
            return Err(missed);
        }
        if named {
            return Err(refusal(text));
        }
        match amount::pieces(text) {
            Some((_, food)) => {
                let words: Vec<&str> = food.split_whitespace().collect();
                self.food = without_leading(&words, &PIECE_SIZES).join(" ");
                self.amounts.push(text.to_string());
            }
            None => self.food = text.to_string(),
        }
        Ok(self)
    }
}

/// The cut that the name of a food begins or ends with, as in `sliced strawberries`, and the name without it.
pub fn cut_of_slices(food: &str) -> Option<(&'static str, String)> {
    let words: Vec<&str> = food.split_whitespace().collect();
    match cut(&words, &["sliced", "slices"]) {
        (Some("slices"), left) => Some(("slices", left.join(" "))),
        _ => None,
    }
}

/// Whether a phrase says how deep, large or much, and so is no name of a file.
pub fn says_how_much(text: &str) -> bool {
    let words: Vec<&str> = text.split_whitespace().collect();
    measured(&words).is_some()
}

fn cut<'a, 'b>(words: &'a [&'b str], behind: &[&str]) -> (Option<&'static str>, &'a [&'b str]) {
    match words {
        // `cubes of beef`
        [first, of, name @ ..] if !name.is_empty() && has(&[of], &["of"]) && shape_of(first).is_some() => {
            (shape_of(first), name)
        }
        [name @ .., last] if !name.is_empty() && has(&[last], behind) => (shape_of(last), name),
        [first, name @ ..] if !name.is_empty() && has(&[first], &CUT_BEFORE) && has(&[first], behind) => {
            (shape_of(first), name)
        }
        [first] if has(&[first], behind) => (shape_of(first), &[]),
        _ => (None, words),
    }
}

/// A measure at the end or the beginning of some words, the words beside it, and the others.
fn measured<'a, 'b>(words: &'a [&'b str]) -> Option<(Measure, &'a [&'b str], &'a [&'b str])> {
    let starts = |at: &usize| words.get(*at).is_some_and(|word| begins(word));
    let whole = || words.iter().any(|word| begins(word) || word.eq_ignore_ascii_case("inch"));
    if let Some(measure) = Some(words).filter(|_| whole()).and_then(measure) {
        return Some((measure, words, &[]));
    }
    let behind = (1..words.len()).filter(starts).find_map(|at| {
        let (left, said) = words.split_at_checked(at)?;
        Some((measure(said)?, said, left))
    });
    let before = || {
        (1..words.len()).rev().find_map(|at| {
            let (said, left) = words.split_at_checked(at)?;
            // a word that adds nothing to the measure is the food's: `2 lb thick bacon`
            let (_, shorter) = said.split_last()?;
            Some((measure(said).filter(|_| measure(shorter).is_none())?, said, left))
        })
    };
    let is_number_or_article = |word: &&str| begins(word) || has(&[word], &["a", "an"]);
    behind.or_else(|| words.first().filter(|word| is_number_or_article(word)).and_then(|_| before()))
}

/// What all of some words measure, beside words for a shape.
fn measure(words: &[&str]) -> Option<Measure> {
    let kept = |(at, word): (usize, &&str)| {
        let plain = word.to_lowercase();
        let is_inch = plain == "in" && at.checked_sub(1).and_then(|at| words.get(at)).is_some_and(|w| ends_number(w));
        is_inch || shape_of(word).is_none() && !BESIDE.contains(&plain.as_str())
    };
    let said: Vec<&str> = words.iter().enumerate().filter(|(at, word)| kept((*at, word))).map(|(_, w)| *w).collect();
    let text = said.join(" ");
    let forms = [text.clone(), text.replace('-', "..")];
    let reads = |limit: &crate::quantity::Limit| forms.iter().find(|text| limit.read(text).is_ok()).cloned();
    reads(&DEPTH).map(Measure::Size).or_else(|| reads(&AMOUNT).or_else(|| reads(&MEASURE)).map(Measure::Amount))
}

/// Why a number with a known unit misses its range.
fn out_of_range(text: &str) -> Option<String> {
    let missed = |error: &QuantityError| matches!(error, QuantityError::Outside { .. } | QuantityError::Reaches { .. });
    [DEPTH, AMOUNT, MEASURE]
        .iter()
        .filter_map(|limit| limit.read(text).err())
        .find(missed)
        .map(|error| error.to_string())
}

/// What to say of a number that is no measure.
fn refusal(text: &str) -> String {
    let reason = DEPTH.read(text).err().map_or_else(|| "it is no depth, size or amount".to_string(), |e| e.to_string());
    if reason.contains(text) { reason } else { format!("`{text}`: {reason}") }
}

fn shape_of(word: &str) -> Option<&'static str> {
    SHAPES.iter().find(|(_, words)| has(&[word], words)).map(|(shape, _)| *shape)
}

fn has(words: &[&str], list: &[&str]) -> bool {
    words.iter().any(|word| list.iter().any(|one| one.eq_ignore_ascii_case(word)))
}

fn without_leading<'a, 'b>(words: &'a [&'b str], list: &[&str]) -> &'a [&'b str] {
    match words {
        [first, rest @ ..] if has(&[first], list) => without_leading(rest, list),
        _ => words,
    }
}

fn begins_with_digit(word: &str) -> bool {
    word.starts_with(|c: char| c.is_ascii_digit() || spoken::is_fraction(c))
}

/// Whether a word begins a measure.
fn begins(word: &str) -> bool {
    begins_with_digit(word)
        || word.starts_with(['~', '.'])
        || has(&[word], &["about", "exactly"])
        || spoken::is_number(&word.to_lowercase())
}

fn ends_number(word: &str) -> bool {
    word.ends_with(|c: char| c.is_ascii_digit() || spoken::is_fraction(c)) || spoken::is_number(&word.to_lowercase())
}
