//! Amounts and lengths as a kitchen says them, turned into figures: `half an inch`, `a pound and a half`, `4-6 cups`, `½ cup`,
//! `2 fingers deep`, `a 9 x 13 in pan`, `2 tins`. What is vague becomes a range.
//!
//! A finger is 16 to 20 mm across, a tin of the common size holds 400 to 440 g (14 to 15.5 oz), a small one 140 to 230 g, a
//! large one 790 to 830 g (28 oz): common practice, no source.

use std::borrow::Cow;

/// Words for numbers.
const NUMBERS: [(&str, &str); 19] = [
    ("one", "1"),
    ("two", "2"),
    ("three", "3"),
    ("four", "4"),
    ("five", "5"),
    ("six", "6"),
    ("seven", "7"),
    ("eight", "8"),
    ("nine", "9"),
    ("ten", "10"),
    ("eleven", "11"),
    ("twelve", "12"),
    ("dozen", "12"),
    ("half", "0.5"),
    ("halves", "0.5"),
    ("quarter", "0.25"),
    ("third", "0.333333"),
    ("thirds", "0.333333"),
    ("quarters", "0.25"),
];
/// Words that say no more than the number and the unit beside them.
const ASIDE: [&str; 13] =
    ["a", "an", "of", "deep", "thick", "high", "pan", "tray", "dish", "the", "just", "sheet", "heaped"];
/// Least and most that a word of the kitchen stands for, in a unit that is known.
const VAGUE: [(&str, f64, f64, &str); 11] = [
    ("finger", 16.0, 20.0, "mm"),
    ("fingers", 16.0, 20.0, "mm"),
    ("can", 400.0, 440.0, "g"),
    ("cans", 400.0, 440.0, "g"),
    ("tin", 400.0, 440.0, "g"),
    ("tins", 400.0, 440.0, "g"),
    ("small-can", 140.0, 230.0, "g"),
    ("large-can", 790.0, 830.0, "g"),
    ("handful", 25.0, 50.0, "g"),
    ("handfuls", 25.0, 50.0, "g"),
    ("knob", 10.0, 20.0, "g"),
];

/// The text with words turned into figures, as far as they can be; what is written in figures already stays as it is.
pub fn figures(text: &str) -> Cow<'_, str> {
    let plain = signs(text);
    let plain = dashes(&plain);
    if plain.split_whitespace().all(|word| !is_spoken(word)) {
        return if plain == text { Cow::Borrowed(text) } else { Cow::Owned(plain) };
    }
    Cow::Owned(vague(&words(&plain)))
}

fn is_spoken(word: &str) -> bool {
    let word = word.to_lowercase();
    ASIDE.contains(&word.as_str()) || number(&word).is_some() || VAGUE.iter().any(|(vague, ..)| *vague == word)
}

/// Whether a word in small letters is a number.
pub fn is_number(word: &str) -> bool {
    number(word).is_some()
}

/// Whether a sign is a fraction.
pub fn is_fraction(letter: char) -> bool {
    fraction(letter).is_some()
}

fn number(word: &str) -> Option<&'static str> {
    NUMBERS.iter().find(|(said, _)| *said == word).map(|(_, figure)| *figure)
}

fn fraction(letter: char) -> Option<&'static str> {
    Some(match letter {
        '½' => "1/2",
        '¼' => "1/4",
        '¾' => "3/4",
        '⅓' => "1/3",
        '⅔' => "2/3",
        '⅛' => "1/8",
        '⅜' => "3/8",
        '⅝' => "5/8",
        '⅞' => "7/8",
        _ => return None,
    })
}

/// Fractions in one sign and quotes for inches.
fn signs(text: &str) -> String {
    let mut plain = String::with_capacity(text.len());
    for letter in text.chars() {
        let quote = matches!(letter, '\u{2033}' | '\u{201c}' | '\u{201d}').then_some("\"");
        let Some(fraction) = fraction(letter).or(quote) else {
            plain.push(letter);
            continue;
        };
        if letter.is_numeric() && plain.ends_with(|c: char| c.is_ascii_digit()) {
            plain.push(' ');
        }
        plain.push_str(fraction);
    }
    plain
}

/// `4-6 cups` is a range; `1-1/2 cups` and `-18 °C` are not.
fn dashes(text: &str) -> String {
    let letters: Vec<char> = text.chars().collect();
    let digit_from = |mut at: usize| {
        while letters.get(at) == Some(&' ') {
            at += 1;
        }
        letters.get(at).filter(|c| c.is_ascii_digit()).map(|_| at)
    };
    let mut plain = String::with_capacity(text.len());
    for (at, letter) in letters.iter().enumerate() {
        let is_dash = matches!(letter, '-' | '\u{2013}' | '\u{2212}');
        let before = plain.trim_end().ends_with(|c: char| c.is_ascii_digit());
        let after = digit_from(at + 1).filter(|_| is_dash && before);
        let mixed = after.is_some_and(|from| {
            letters.get(from..).unwrap_or_default().iter().find(|c| !c.is_ascii_digit()) == Some(&'/')
                && letters.get(at + 1) != Some(&' ')
        });
        if after.is_some() && !mixed { plain.push_str("..") } else { plain.push(*letter) }
    }
    plain
}

/// Numbers in words as figures: those beside each other multiply (`two dozen`, `half a dozen`, `three quarters`), and those behind
/// `and` add up (`a pound and a half`).
fn words(text: &str) -> String {
    let mut sum: Option<f64> = None;
    let mut rest: Vec<String> = Vec::new();
    let mut product: Option<f64> = None;
    let lower = text.to_lowercase().replace("small can", "small-can").replace("small tin", "small-can");
    let lower = lower.replace("large can", "large-can").replace("large tin", "large-can");
    for word in lower.split_whitespace() {
        if word == "and" {
            sum = Some(sum.unwrap_or(0.0) + product.take().unwrap_or(1.0));
        } else if ASIDE.contains(&word) {
            // `a` alone is one
        } else if let Some(value) = number(word).and_then(|figure| figure.parse::<f64>().ok()) {
            product = Some(product.unwrap_or(1.0) * value);
        } else if let (Ok(value), true) = (word.parse::<f64>(), rest.is_empty()) {
            product = Some(product.unwrap_or(1.0) * value);
        } else {
            rest.push(word.to_owned());
        }
    }
    let spoken = match (sum, product) {
        (None, None) if rest.first().is_some_and(|word| word.starts_with(|c: char| c.is_ascii_digit() || c == '.')) => {
            return rest.join(" ");
        }
        (sum, product) => sum.map_or(product.unwrap_or(1.0), |sum| sum + product.unwrap_or(0.0)),
    };
    format!("{} {}", shortest(spoken), rest.join(" ")).trim().to_owned()
}

/// A range for words that are vague.
fn vague(text: &str) -> String {
    let Some((count, unit)) = text.split_once(' ') else { return text.to_owned() };
    let Some((_, low, high, known)) = VAGUE.iter().find(|(word, ..)| *word == unit.trim()) else {
        return text.to_owned();
    };
    let (first, last) = count.split_once("..").unwrap_or((count, count));
    match (first.parse::<f64>(), last.parse::<f64>()) {
        (Ok(first), Ok(last)) => format!("{}..{} {known}", shortest(first * low), shortest(last * high)),
        _ => text.to_owned(),
    }
}

fn shortest(value: f64) -> String {
    let rounded = (value * 1e4).round() / 1e4;
    rounded.to_string()
}

#[cfg(test)]
mod tests {
    use super::figures;

    #[test]
    fn what_a_kitchen_says_becomes_figures() {
        for (said, figure) in [
            ("half an inch", "0.5 inch"),
            ("a pound and a half", "1.5 pound"),
            ("one and a half cups", "1.5 cups"),
            ("three quarters of an inch", "0.75 inch"),
            ("a quarter of a cup", "0.25 cup"),
            ("two cups", "2 cups"),
            ("a dozen eggs", "12 eggs"),
            ("half a dozen eggs", "6 eggs"),
            ("two dozen eggs", "24 eggs"),
            ("3 large eggs", "3 large eggs"),
            ("2 fingers deep", "32..40 mm"),
            ("a finger deep", "16..20 mm"),
            ("2 tins", "800..880 g"),
            ("1 large can", "790..830 g"),
            ("4-6 cups", "4..6 cups"),
            ("4 \u{2013} 6 cups", "4 .. 6 cups"),
            ("12-18 mm", "12..18 mm"),
            ("1-1/2 cups", "1-1/2 cups"),
            ("\u{bd} cup", "1/2 cup"),
            ("1\u{bd} cups", "1 1/2 cups"),
            ("1/2\u{201d}", "1/2\""),
            ("a 9 x 13 in pan", "9 x 13 in"),
            ("9 x 13 in pan", "9 x 13 in"),
            ("-18 °C", "-18 °C"),
            ("1e-9", "1e-9"),
            ("12..18 mm", "12..18 mm"),
            ("15 mm +- 3 mm", "15 mm +- 3 mm"),
            ("about 900 g", "about 900 g"),
            ("12 mm deep", "12 mm"),
        ] {
            assert_eq!(figures(said), figure, "{said}");
        }
    }
}
