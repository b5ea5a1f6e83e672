//! Cells of a pantry: numbers and dates as spreadsheets of any country may save them, and text that no spreadsheet takes
//! for a formula.

use crate::format::trimmed;
use crate::formula;
use crate::shown::is_control;
use crate::table::plain_number;
use crate::weather::clock::{self, Date};

/// A number of 0 or more. `comma`: a decimal comma is understood, because columns are set apart otherwise.
pub fn read_number(text: &str, comma: bool) -> Result<f64, &'static str> {
    let plain = plain_number(text, comma)?;
    if !plain.bytes().all(|b| b.is_ascii_digit() || b == b'.') {
        return Err("not a plain number");
    }
    plain.parse().map_err(|_| "not a plain number")
}

/// A temperature, which alone may be below zero.
pub fn read_signed(text: &str, comma: bool) -> Result<f64, &'static str> {
    match text.strip_prefix(['-', '\u{2212}']) {
        Some(rest) => read_number(rest, comma).map(|number| -number),
        None => read_number(text, comma),
    }
}

/// A day as `2026-11-25`, or as `25.11.2026` or `25/11/2026` where only one reading makes sense.
pub fn read_date(text: &str) -> Result<Date, &'static str> {
    const WRONG: &str = "not a day such as 2026-11-25";
    if let Some(date) = clock::read_date(text) {
        return Ok(date);
    }
    let (sign, dotted) = if text.contains('.') { ('.', true) } else { ('/', false) };
    let numbers: Vec<i16> = text.split(sign).map_while(|part| part.parse().ok()).collect();
    let [first, second, year] = numbers[..] else { return Err(WRONG) };
    if year < 1000 || text.split(sign).count() != 3 {
        return Err(WRONG);
    }
    let (day_first, month_first) = (clock::date([year, second, first]), clock::date([year, first, second]));
    match (day_first, month_first) {
        (Some(date), _) if dotted => Ok(date),
        (Some(date), None) | (None, Some(date)) if !dotted => Ok(date),
        (Some(a), Some(b)) if !dotted && a == b => Ok(a),
        (Some(_), Some(_)) => Err("day and month cannot be distinguished; write it as 2026-11-25"),
        _ => Err(WRONG),
    }
}

/// Text as it goes into a file: on one line, and marked by an apostrophe where a spreadsheet would take it for a formula.
pub fn write_text(text: &str) -> String {
    let line: String = text.chars().map(|c| if is_control(c) { ' ' } else { c }).collect();
    formula::neutral(line.trim()).into_owned()
}

/// Text as it was before it went into a file.
pub fn read_text(text: &str) -> String {
    formula::original(text).to_string()
}

/// A number as it goes into a file: three decimals at most.
pub fn write_number(value: f64, comma: bool) -> String {
    let text = trimmed(value, 3);
    if comma { text.replace('.', ",") } else { text }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_of_both_kinds() {
        assert_eq!((read_number("12.5", false), read_number("12,5", true)), (Ok(12.5), Ok(12.5)));
        for (text, comma) in [("12,5", false), ("1.234,5", true), ("1,234.5", false), ("1,2,3", true)] {
            assert!(read_number(text, comma).is_err(), "{text}");
        }
        for text in ["", "-1", "NaN", "inf", "1e3", "0x10", ".", "5 g"] {
            assert!(read_number(text, true).is_err(), "{text}");
        }
        assert_eq!(read_signed("-18,5", true), Ok(-18.5));
        assert_eq!((write_number(12.5, true), write_number(300.0, false)), ("12,5".into(), "300".into()));
    }

    #[test]
    fn days_that_can_be_read_in_one_way_only() {
        let day = clock::date([2026, 11, 25]);
        for text in ["2026-11-25", "25.11.2026", "25/11/2026", "11/25/2026"] {
            assert_eq!(read_date(text).ok(), day, "{text}");
        }
        assert_eq!(read_date("04/04/2026").ok(), clock::date([2026, 4, 4]));
        for text in ["", "04/05/2026", "25.11.26", "2026-02-30", "31.02.2026", "25.11.2026.", "Nov 25", "1.2"] {
            assert!(read_date(text).is_err(), "{text}");
        }
    }

    #[test]
    fn text_is_on_one_line() {
        assert_eq!(write_text(" two\nlines\t\u{1b}"), "two lines");
    }
}
