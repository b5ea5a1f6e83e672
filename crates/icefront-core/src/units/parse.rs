//! Text to number and unit. Everything the cook may write goes through [`terms`]; what a number looks like is decided by
//! [`leading_number`] alone.

use super::UnitError;
use super::scale::{Scale, Unit};

/// A number with the unit that follows it (empty if none does).
pub(super) struct Term {
    pub value: f64,
    pub unit: String,
}

/// One quantity in SI: its terms added up (`1 h 30 min`), each with a unit of `scale`.
pub(super) fn quantity(text: &str, scale: &'static Scale) -> Result<f64, UnitError> {
    let terms = terms(text)?;
    let shifted = scale.units.iter().any(|unit| unit.zero != 0.0);
    if terms.len() > 1 && shifted {
        return Err(UnitError::MoreThanOne { text: text.to_owned(), quantity: scale.quantity });
    }
    let mut sum = 0.0;
    for term in &terms {
        sum += si_value(term, scale, text)?;
    }
    finite(sum, text)
}

/// A length times a length, or an area: `25 cm x 40 cm`, `25 x 40 cm`, `0.1 m2`.
pub(super) fn area(text: &str, area: &'static Scale, length: &'static Scale) -> Result<f64, UnitError> {
    let plain = tidy(text);
    let Some((one, other)) = plain.split_once(['x', 'X', '×', '*']) else {
        return quantity(text, area).map_err(or_edges);
    };
    let last = terms(other)?;
    let mut first = terms(one)?;
    if let ([only], Some(with_unit)) = (first.as_mut_slice(), last.last())
        && only.unit.is_empty()
    {
        only.unit.clone_from(&with_unit.unit);
    }
    let side = |terms: &[Term]| terms.iter().try_fold(0.0, |sum, term| Ok(sum + si_value(term, length, text)?));
    finite(side(&first)? * side(&last)?, text)
}

/// Adds to the units that an error allows how an area is written by its edges.
fn or_edges(mut error: UnitError) -> UnitError {
    if let UnitError::MissingUnit { allowed, .. } | UnitError::UnknownUnit { allowed, .. } = &mut error {
        allowed.push("25 cm x 40 cm");
    }
    error
}

/// SI value of one term.
fn si_value(term: &Term, scale: &'static Scale, text: &str) -> Result<f64, UnitError> {
    let unit = find_unit(&term.unit, scale, text)?;
    if term.value < 0.0 && !scale.signed {
        return Err(UnitError::Negative { text: text.to_owned(), quantity: scale.quantity });
    }
    Ok(unit.zero + term.value * unit.factor)
}

/// Cuts a text into its numbers, each with the unit behind it.
fn terms(text: &str) -> Result<Vec<Term>, UnitError> {
    let plain = tidy(text);
    let mut rest = plain.trim();
    let mut terms = Vec::new();
    loop {
        let Some((value, after)) = leading_number(rest) else { return Err(refusal(rest, text)) };
        finite(value, text)?;
        if after.starts_with(',') {
            return Err(UnitError::Comma { text: text.to_owned() });
        }
        let after = after.trim_start();
        let end = unit_end(after);
        let unit = after[..end].trim_end().trim_end_matches([',', '.']).trim_end();
        terms.push(Term { value, unit: unit.to_owned() });
        rest = after[end..].trim_start();
        if rest.is_empty() {
            return Ok(terms);
        }
    }
}

/// Where a unit ends: before the next number. A last 2 or 3 glued to letters belongs to the unit (`m2`).
fn unit_end(text: &str) -> usize {
    let mut previous = ' ';
    for (at, c) in text.char_indices() {
        let power =
            (c == '2' || c == '3') && !text[at + 1..].starts_with(|next: char| next.is_alphanumeric() || next == '.');
        let new_number = c.is_ascii_digit() && !(previous.is_alphabetic() && power);
        let new_sign = previous.is_whitespace() && matches!(c, '-' | '+' | '.');
        if new_number || new_sign {
            return at;
        }
        previous = c;
    }
    text.len()
}

/// Number at the start of a text and what follows it: `12`, `-18`, `.5`, `1e-3`, `1/2`, `1 1/2`, `1-1/2`.
///
/// A point belongs to the number only if a digit follows, so `12..18` is 12 and then `..18`.
pub(super) fn leading_number(text: &str) -> Option<(f64, &str)> {
    let (whole, rest) = decimal(text)?;
    if let Some((bottom, after)) = rest.strip_prefix('/').and_then(digits) {
        return Some((whole / bottom, after));
    }
    let mixed = rest.strip_prefix([' ', '-']).and_then(digits).and_then(|(top, after)| {
        let (bottom, after) = after.strip_prefix('/').and_then(digits)?;
        Some((top / bottom, after))
    });
    match mixed {
        Some((part, after)) => Some((whole + part.copysign(whole), after)),
        None => Some((whole, rest)),
    }
}

/// Signed decimal number at the start.
fn decimal(text: &str) -> Option<(f64, &str)> {
    let bytes = text.as_bytes();
    let digits_from = |from: usize| from + bytes.iter().skip(from).take_while(|b| b.is_ascii_digit()).count();
    let is_digit = |at: usize| bytes.get(at).is_some_and(u8::is_ascii_digit);
    let sign = usize::from(matches!(bytes.first(), Some(b'+' | b'-')));
    let mut end = digits_from(sign);
    if bytes.get(end) == Some(&b'.') && is_digit(end + 1) {
        end = digits_from(end + 1);
    }
    if end == sign {
        return None;
    }
    if matches!(bytes.get(end), Some(b'e' | b'E')) {
        let exponent = end + 1 + usize::from(matches!(bytes.get(end + 1), Some(b'+' | b'-')));
        if is_digit(exponent) {
            end = digits_from(exponent);
        }
    }
    let value = text[..end].parse().ok()?;
    Some((value, &text[end..]))
}

/// Unsigned whole number at the start.
fn digits(text: &str) -> Option<(f64, &str)> {
    let end = text.bytes().take_while(u8::is_ascii_digit).count();
    Some((text[..end].parse().ok()?, &text[end..]))
}

/// Why no number could be read here.
fn refusal(rest: &str, text: &str) -> UnitError {
    let word = rest.trim_start_matches(['+', '-']).split_whitespace().next().unwrap_or_default().to_lowercase();
    match word.as_str() {
        "nan" | "inf" | "infinity" => UnitError::NotFinite { text: text.to_owned() },
        _ => UnitError::NoNumber { text: text.to_owned() },
    }
}

fn finite(value: f64, text: &str) -> Result<f64, UnitError> {
    if value.is_finite() { Ok(value) } else { Err(UnitError::NotFinite { text: text.to_owned() }) }
}

/// One spelling for the signs that keyboards and cookbooks vary.
fn tidy(text: &str) -> String {
    let mut plain = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            '\u{2212}' | '\u{2012}' | '\u{2013}' => plain.push('-'),
            '\u{b0}' => {}
            '\u{b5}' | '\u{3bc}' => plain.push('u'),
            '\u{b2}' => plain.push('2'),
            '\u{b3}' => plain.push('3'),
            '\u{2033}' | '\u{201d}' => plain.push('"'),
            '\u{2032}' | '\u{2019}' => plain.push('\''),
            '\u{2044}' => plain.push('/'),
            '\u{bd}' => plain.push_str(" 1/2"),
            '\u{bc}' => plain.push_str(" 1/4"),
            '\u{be}' => plain.push_str(" 3/4"),
            c if c.is_whitespace() => plain.push(' '),
            c => plain.push(c),
        }
    }
    plain
}

/// The unit by this name. Case does not matter, but a leading m or M does (milli or mega).
fn find_unit(name: &str, scale: &'static Scale, text: &str) -> Result<&'static Unit, UnitError> {
    if name.is_empty() {
        let (text, quantity, allowed) = (text.to_owned(), scale.quantity, scale.names());
        return Err(UnitError::MissingUnit { text, quantity, allowed });
    }
    let same_prefix = |known: &str| known.starts_with('m') == name.starts_with('m');
    let same = |known: &str| known.eq_ignore_ascii_case(name) && same_prefix(known);
    let found = scale.units.iter().find(|unit| unit.names.iter().any(|known| same(known)));
    found.ok_or_else(|| UnitError::UnknownUnit {
        text: text.to_owned(),
        unit: name.to_owned(),
        quantity: scale.quantity,
        allowed: scale.names(),
        nearest: nearest(name, scale),
    })
}

/// The known name most like this one, offered only when close.
fn nearest(name: &str, scale: &'static Scale) -> Option<&'static str> {
    /// Least likeness (Jaro-Winkler, 0 to 1) that is worth an offer; chosen by trying misspellings.
    const CLOSE: f64 = 0.8;
    let likeness = |known: &str| strsim::jaro_winkler(&known.to_lowercase(), &name.to_lowercase());
    scale
        .units
        .iter()
        .flat_map(|unit| unit.names)
        .map(|known| (likeness(known), *known))
        .filter(|(like, _)| *like >= CLOSE)
        .max_by(|a, b| a.0.total_cmp(&b.0))
        .map(|(_, known)| known)
}
