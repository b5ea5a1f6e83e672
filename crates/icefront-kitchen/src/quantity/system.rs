//! Which units a cook writes in, by her own words.

use icefront_core::units::UnitSystem;

/// Units that only one of the systems has, as they stand behind a number.
const US: [&str; 14] =
    ["in", "inch", "inches", "\"", "''", "ft", "lb", "lbs", "pound", "pounds", "oz", "ounce", "ounces", "f"];
const METRIC: [&str; 11] = ["mm", "cm", "m", "g", "gram", "grams", "kg", "ml", "l", "litre", "c"];

/// The units in which a cook writes; `None` where she uses neither or both.
pub fn system_of<'a>(texts: impl IntoIterator<Item = &'a str>) -> Option<UnitSystem> {
    let words = texts.into_iter().flat_map(units_in);
    let (mut us, mut metric) = (false, false);
    for unit in words {
        us |= US.contains(&unit.as_str());
        metric |= METRIC.contains(&unit.as_str());
    }
    match (us, metric) {
        (true, false) => Some(UnitSystem::Us),
        (false, true) => Some(UnitSystem::Metric),
        _ => None,
    }
}

/// What stands behind the numbers of a text, in small letters: `in` of `1/2 in`, `mm` of `12mm`.
fn units_in(text: &str) -> Vec<String> {
    let plain = text.to_lowercase().replace('°', "").replace(['“', '”', '″'], "\"").replace(['’', '′'], "'");
    let is_number = |c: char| c.is_ascii_digit() || "½¼¾⅓⅔⅛".contains(c);
    let mut found = Vec::new();
    let mut rest = plain.as_str();
    while let Some(at) = rest.find(is_number) {
        rest = rest[at..].trim_start_matches(|c: char| is_number(c) || "./-– ".contains(c));
        let letters = rest.find(|c: char| !c.is_alphabetic() && c != '"' && c != '\'').unwrap_or(rest.len());
        found.push(rest[..letters].to_string());
    }
    found
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn units_of_the_words_are_those_of_the_answer() {
        let of = |words: &[&str]| system_of(words.iter().copied());
        for words in [&["chili, 1/2 in"][..], &["beef, 2 lb", "rice, ½ inch"], &["soup, 3/4\""], &["peas, 12oz"]] {
            assert_eq!(of(words), Some(UnitSystem::Us), "{words:?}");
        }
        for words in [&["chili, 12 mm"][..], &["rice, 1.5cm, 900 g"], &["beef in gravy, 12-18 mm deep"]] {
            assert_eq!(of(words), Some(UnitSystem::Metric), "{words:?}");
        }
        for words in [&["chili, 1/2 in", "rice, 12 mm"][..], &["peas, 2 cups"], &["peas, 2 trays"]] {
            assert_eq!(of(words), None, "{words:?}");
        }
        assert_eq!(of(&["peas, 2 cups", "68 °F"]), Some(UnitSystem::Us));
    }
}
