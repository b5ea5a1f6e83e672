//! The price of 1 kWh as a bill says it: `0.29 EUR`, `$0.16`, `16 cents`, `27p`.

/// Price of 1 kWh.
#[derive(Clone, Debug, PartialEq)]
pub struct Price {
    /// In whole units of the currency.
    pub per_kwh: f64,
    /// The currency, where it is said.
    pub currency: Option<String>,
}

/// Nobody pays more than this for 1 kWh in a currency that has cents or pence.
const MOST_PER_KWH: f64 = 5.0;
/// Words behind a price that say nothing new.
const ASIDE: [&str; 6] = ["per kwh", "a kwh", "/kwh", "/ kwh", "for 1 kwh", "kwh"];
/// Words for a hundredth, each with its currency. `ct` and `cent` are those of the euro, `cents` those of a dollar.
const HUNDREDTHS: [(&str, &str); 8] = [
    ("cents", "$"),
    ("\u{a2}", "$"),
    ("c", "$"),
    ("cent", "EUR"),
    ("ct", "EUR"),
    ("p", "\u{a3}"),
    ("pence", "\u{a3}"),
    ("penny", "\u{a3}"),
];

impl Price {
    /// Reads a price; a currency that is said beside it counts more than one within it.
    ///
    /// # Errors
    /// What cannot be read or believed, with what to write instead.
    pub fn read(text: &str, beside: Option<&str>) -> Result<Self, String> {
        let (amount, unit) = amount_and_unit(text).ok_or_else(|| HELP.to_string())?;
        if SHELLS.iter().any(|shell| unit.to_lowercase().ends_with(shell)) {
            return Err(format!(
                "your shell has put its own name, `{unit}`, in the place of `$0`: write `16 cents` or `0.16 USD`"
            ));
        }
        let hundredth = HUNDREDTHS.iter().find(|(word, _)| *word == unit.to_lowercase());
        let (per_kwh, currency) = match hundredth {
            Some((_, currency)) => (amount / 100.0, Some(*currency)),
            None => (amount, Some(unit.as_str()).filter(|unit| !unit.is_empty())),
        };
        let currency = beside.or(currency).map(str::to_string);
        if per_kwh > MOST_PER_KWH && currency.as_deref().is_none_or(has_hundredths) {
            return Err(format!(
                "{amount} for 1 kWh is a lot; is that in cents? Write `{amount} cents` or `{}`",
                amount / 100.0
            ));
        }
        Ok(Self { per_kwh, currency })
    }
}

/// Shells that put their name in the place of `$0`.
const SHELLS: [&str; 5] = ["bash", "zsh", "fish", "dash", "/sh"];
/// How to write one.
const HELP: &str = "write the price of 1 kWh, such as `0.29 EUR`, `$0.16`, `16 cents` or `27p`";

/// Currencies that are known to have hundredths; in others 1 kWh may cost more than a few units.
fn has_hundredths(currency: &str) -> bool {
    ["$", "usd", "eur", "\u{20ac}", "gbp", "\u{a3}", "chf", "aud", "cad", "nzd"]
        .contains(&currency.to_lowercase().as_str())
}

/// The number of a text and what stands around it.
fn amount_and_unit(text: &str) -> Option<(f64, String)> {
    let lower = text.trim().to_lowercase();
    let end = ASIDE.iter().find_map(|aside| lower.strip_suffix(aside)).map_or(lower.len(), str::len);
    let text = text.trim().get(..end).unwrap_or(text).trim();
    let is_of_number = |c: char| c.is_ascii_digit() || matches!(c, '.' | ',');
    let from = text.find(is_of_number)?;
    let number = text.get(from..)?;
    let (number, behind) = number.split_at(number.find(|c| !is_of_number(c)).unwrap_or(number.len()));
    let amount = number.replace(',', ".").parse::<f64>().ok().filter(|amount| amount.is_finite())?;
    let (before, behind) = (text.get(..from)?.trim(), behind.trim());
    let unit = match (before, behind) {
        (unit, "") | ("", unit) => unit,
        _ => return None,
    };
    let is_unit = !unit.chars().any(|c| c.is_ascii_digit() || matches!(c, '-' | '+' | '%'));
    is_unit.then(|| (amount, unit.to_string()))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn prices_are_read_as_a_bill_says_them() {
        for (text, per_kwh, currency) in [
            ("16 cents", 0.16, Some("$")),
            ("$0.16", 0.16, Some("$")),
            ("$ 0,16", 0.16, Some("$")),
            ("0.16 USD", 0.16, Some("USD")),
            ("EUR 0.29", 0.29, Some("EUR")),
            ("0.29 \u{20ac}/kWh", 0.29, Some("\u{20ac}")),
            ("29 ct/kWh", 0.29, Some("EUR")),
            ("27p", 0.27, Some("\u{a3}")),
            ("16\u{a2} per kWh", 0.16, Some("$")),
            ("0.29", 0.29, None),
            ("30 JPY", 30.0, Some("JPY")),
        ] {
            let read = Price::read(text, None).unwrap();
            approx::assert_relative_eq!(read.per_kwh, per_kwh, max_relative = 1e-12);
            assert_eq!(read.currency.as_deref(), currency, "{text}");
        }
        assert_eq!(Price::read("16 cents", Some("CAD")).unwrap().currency.as_deref(), Some("CAD"));
        assert_eq!(Price::read("30", Some("JPY")).unwrap().per_kwh, 30.0);
    }

    #[test]
    fn what_is_no_price_is_refused_with_what_to_write() {
        for text in ["", "much", "-0.2", "0.1 to 0.2", "1.2.3", "inf", "20 %"] {
            assert!(Price::read(text, None).unwrap_err().contains("16 cents"), "{text}");
        }
        for text in ["16", "$16", "29 EUR"] {
            assert!(Price::read(text, None).unwrap_err().contains("is that in cents?"), "{text}");
        }
    }
}
