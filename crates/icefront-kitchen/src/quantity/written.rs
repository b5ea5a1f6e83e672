//! Uncertain quantities as they are written: `12..18 mm`, `15 mm +- 3 mm`, `about 15 mm`; what each means as a
//! distribution is in `docs/load-sheet.md`.

use icefront_core::ranges::Spread;

use super::{Kind, Limit, QuantityError, spoken};

/// `about` is a fifth to either side, one time in ten further.
const ABOUT: f64 = 1.2;
/// `about` of a temperature, K.
const ABOUT_K: f64 = 3.0;

/// What a written quantity says, SI.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Written {
    /// A plain value, to which the model's own distributions apply.
    Plain(f64),
    /// A distribution that was given; fixed for `exactly 15 mm`.
    Given(Spread),
}

impl Limit {
    /// Reads a quantity that may be uncertain.
    ///
    /// # Errors
    /// [`QuantityError`] if it is no such quantity, or reaches outside the range.
    pub fn read(&self, text: &str) -> Result<Written, QuantityError> {
        let figures = spoken::figures(text);
        let text = figures.as_ref();
        if let Some(rest) = word(text, "exactly") {
            return Ok(Written::Given(Spread::Fixed(one(rest, self)?)));
        }
        let spread = if let Some(rest) = word(text, "about").or_else(|| text.strip_prefix('~')) {
            about(one(rest.trim(), self)?, self.kind)
        } else if let Some((low, high)) = text.split_once("..") {
            between(low.trim(), high.trim(), self)?
        } else if let Some((typical, by)) = split_give_or_take(text) {
            give_or_take(typical.trim(), by.trim(), self)?
        } else {
            // a third, said in words, is a share without a sign
            let spoken = matches!(figures, std::borrow::Cow::Owned(_));
            Spread::Fixed(if spoken { one(text, self)? } else { self.read_text(text)? })
        };
        let (low, high) = spread.ends();
        if low < self.low || high > self.high {
            return Err(QuantityError::Reaches { text: text.into(), low, high, limit: *self });
        }
        Ok(match spread {
            Spread::Fixed(value) => Written::Plain(value),
            spread => Written::Given(spread),
        })
    }
}

/// One plain quantity out of an uncertain one, to see what kind of unit it has.
pub fn plain(text: &str) -> &str {
    let text = word(text, "exactly").or_else(|| word(text, "about")).unwrap_or(text).trim_start_matches('~');
    let text = text.split_once("..").map_or(text, |(_, high)| high);
    split_give_or_take(text).map_or(text, |(typical, by)| if has_unit(typical) { typical } else { by }).trim()
}

fn word<'a>(text: &'a str, word: &str) -> Option<&'a str> {
    let (first, rest) = text.split_once(char::is_whitespace)?;
    first.eq_ignore_ascii_case(word).then_some(rest.trim())
}

fn split_give_or_take(text: &str) -> Option<(&str, &str)> {
    ["+-", "+/-", "\u{b1}"].iter().find_map(|sign| text.split_once(sign))
}

fn has_unit(text: &str) -> bool {
    text.chars().any(|c| c.is_alphabetic() || c == '%' || c == '"')
}

/// What follows the number.
fn unit(text: &str) -> &str {
    text.trim_start_matches(|c: char| c.is_ascii_digit() || " .-+/\u{2212}".contains(c))
}

/// One value; a kind without units may stand in quotes here, since the uncertain form needs them.
pub fn one(text: &str, limit: &Limit) -> Result<f64, QuantityError> {
    match limit.kind {
        Kind::Number => limit.read_number(text),
        Kind::Share if !text.contains('%') => limit.read_number(text),
        _ => limit.read_text(text),
    }
}

/// A text with the unit of the other part; a number whose key names the unit has none.
fn with_unit(text: &str, other: &str, kind: Kind) -> String {
    if kind == Kind::Number || has_unit(text) { text.into() } else { format!("{text} {}", unit(other)).trim().into() }
}

fn about(typical: f64, kind: Kind) -> Spread {
    match kind {
        Kind::Temperature => Spread::GiveOrTake { typical, by: ABOUT_K },
        _ => Spread::Factor { low: typical / ABOUT, typical, high: typical * ABOUT },
    }
}

fn between(low: &str, high: &str, limit: &Limit) -> Result<Spread, QuantityError> {
    let high_si = one(high, limit)?;
    let low_si = one(&with_unit(low, high, limit.kind), limit)?;
    if low_si >= high_si {
        return Err(QuantityError::Reversed { low: low.into(), high: high.into() });
    }
    Ok(Spread::Between { low: low_si, high: high_si })
}

fn give_or_take(typical: &str, by: &str, limit: &Limit) -> Result<Spread, QuantityError> {
    let centre = one(&with_unit(typical, by, limit.kind), limit)?;
    // a difference: of temperatures it has another zero, and it may be smaller than the least allowed value
    let kind = if limit.kind == Kind::Temperature { Kind::Difference } else { limit.kind };
    let by = one(&with_unit(by, typical, limit.kind), &Limit::new(kind, 0.0, f64::MAX, "0 or more"))?;
    Ok(if by == 0.0 { Spread::Fixed(centre) } else { Spread::GiveOrTake { typical: centre, by } })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::{DEPTH, SHARE};

    fn spread(text: &str, limit: &Limit) -> Spread {
        match limit.read(text).unwrap_or_else(|e| panic!("{text}: {e}")) {
            Written::Plain(value) => Spread::Fixed(value),
            Written::Given(spread) => spread,
        }
    }

    fn refusal(text: &str, limit: &Limit) -> String {
        limit.read(text).map_or_else(|e| e.to_string(), |_| panic!("{text} was read"))
    }

    const PRICE: Limit = Limit::number(0.0, 100.0, "0 to 100");

    #[test]
    fn each_form_is_the_distribution_it_says() {
        let depth = DEPTH;
        for (text, u, value) in [
            ("12..18 mm", 0.0, 0.012),
            ("12..18 mm", 0.9, 0.0174),
            ("1/2 in .. 3/4 in", 1.0, 0.01905),
            ("15 mm +- 3 mm", 0.1, 0.012),
            ("15 \u{b1} 3 mm", 0.9, 0.018),
            ("about 12 mm", 0.1, 0.010),
            ("about 12 mm", 0.5, 0.012),
            ("about 12 mm", 0.9, 0.0144),
            ("15 mm", 0.9, 0.015),
        ] {
            approx::assert_relative_eq!(spread(text, &depth).quantile(u), value, max_relative = 1e-6);
        }
        assert_eq!(depth.read("exactly 15 mm"), Ok(Written::Given(Spread::Fixed(0.015))));
        assert_eq!(depth.read("15 mm +- 0 mm"), Ok(Written::Plain(0.015)));
        let Spread::GiveOrTake { typical, by } =
            spread("68 °F +- 9 °F", &Limit::celsius(-20.0, 45.0, "-20 °C to 45 °C"))
        else {
            panic!("not normal")
        };
        approx::assert_relative_eq!(typical, 293.15, max_relative = 1e-12);
        approx::assert_relative_eq!(by, 5.0, max_relative = 1e-12);
        approx::assert_relative_eq!(spread("10..20 %", &SHARE).quantile(1.0), 0.2, max_relative = 1e-12);
    }

    #[test]
    fn a_number_without_a_unit_may_be_uncertain_too() {
        let permeability = Limit::number(1e-11, 1e-6, "0.00000000001 to 0.000001");
        for (text, limit, low, high) in [
            ("0.25..0.35", PRICE, 0.25, 0.35),
            ("0.3 +- 0.05", PRICE, 0.25, 0.35),
            ("exactly 0.85", PRICE, 0.85, 0.85),
            ("about 0.3", PRICE, 0.25, 0.36),
            ("2e-9..3e-9", permeability, 2e-9, 3e-9),
            ("0.1..0.2", SHARE, 0.1, 0.2),
            ("0.15 +- 0.05", SHARE, 0.1, 0.2),
        ] {
            let (spread, is_range) = (spread(text, &limit), text.contains(".."));
            let (first, last) = if is_range { (0.0, 1.0) } else { (0.1, 0.9) };
            approx::assert_relative_eq!(spread.quantile(first), low, max_relative = 1e-6);
            approx::assert_relative_eq!(spread.quantile(last), high, max_relative = 1e-6);
        }
        assert!(refusal("0.25 EUR..0.35 EUR", &PRICE).contains("is not a number"));
    }

    #[test]
    fn absurd_ranges_are_refused_in_words() {
        for (text, part) in [
            ("18..12 mm", "is not below"),
            ("5 mm +- 4 mm", "reaches from"),
            ("12..18", "no unit"),
            ("about", "about"),
            ("60..90 mm", "outside"),
            ("12..x mm", "x"),
        ] {
            let label = refusal(text, &DEPTH);
            assert!(label.contains(part), "{text}: {label}");
        }
    }

    #[test]
    fn the_kind_of_an_uncertain_quantity_shows_in_its_plain_part() {
        for (text, expected) in
            [("2..3 cups", "3 cups"), ("about 900 g", "900 g"), ("15 +- 3 mm", "3 mm"), ("900 g +- 50 g", "900 g")]
        {
            assert_eq!(plain(text), expected);
        }
    }
}
