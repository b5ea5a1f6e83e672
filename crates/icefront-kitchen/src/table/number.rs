//! Decimal points and decimal commas.

use std::borrow::Cow;

use crate::table::Separator;

/// A number with a decimal point. `comma`: a decimal comma is understood, because columns are set apart otherwise.
///
/// # Errors
/// What to say beside a number that can be read in two ways.
pub fn plain_number(text: &str, comma: bool) -> Result<Cow<'_, str>, &'static str> {
    let commas = text.bytes().filter(|byte| *byte == b',').take(2).count();
    match (commas, text.contains('.')) {
        (0, _) => Ok(Cow::Borrowed(text)),
        (1, false) if comma => Ok(Cow::Owned(text.replace(',', "."))),
        (1, false) => Err("a comma in a number; write a point, or set the columns apart by semicolons"),
        _ => Err("points and commas in one number; write it with a decimal point alone"),
    }
}

/// Numbers of one file, all written in one way.
#[derive(Clone, Copy, Debug)]
pub struct Numbers {
    comma: bool,
    seen: Option<char>,
}

impl Numbers {
    /// Numbers of a table with this between its columns.
    pub fn of(separator: Separator) -> Self {
        Self { comma: separator.decimal_comma(), seen: None }
    }

    /// The number in a cell with a decimal point.
    ///
    /// # Errors
    /// What to say beside a number that can be read in two ways.
    pub fn plain<'a>(&mut self, text: &'a str) -> Result<Cow<'a, str>, &'static str> {
        let plain = plain_number(text, self.comma)?;
        let sign = text.chars().find(|c| [',', '.'].contains(c));
        match (sign, self.seen) {
            (Some(','), Some('.')) => Err("a decimal comma where numbers before have decimal points"),
            (Some('.'), Some(',')) => Err("a point where numbers before have decimal commas"),
            (Some(sign), _) => {
                self.seen = Some(sign);
                Ok(plain)
            }
            (None, _) => Ok(plain),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_file_has_one_kind_of_decimals() {
        let mut numbers = Numbers::of(Separator::Semicolon);
        assert_eq!(numbers.plain("12,5").as_deref(), Ok("12.5"));
        assert_eq!(numbers.plain("-3").as_deref(), Ok("-3"));
        assert!(numbers.plain("1.250").is_err(), "a thousand and a quarter, or one and a quarter?");
        let mut numbers = Numbers::of(Separator::Comma);
        assert_eq!(numbers.plain("12.5").as_deref(), Ok("12.5"));
        assert!(numbers.plain("12,5").is_err() && numbers.plain("1,234.5").is_err());
    }
}
