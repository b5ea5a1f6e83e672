//! Numbers, times and lists as the user reads them. Quantities that differ between metric and US customary units are written by
//! [`UnitSystem`] alone.

use icefront_core::units::{Duration, Energy};
pub use icefront_core::units::{UnitSystem, digits, trimmed};

/// `3 %`
pub fn percent(share: f64) -> String {
    format!("{} %", digits(share * 100.0))
}

/// `2.5 %`, `0.3 %`: for predictions, one decimal.
pub fn percent_1(share: f64) -> String {
    format!("{:.1} %", share * 100.0)
}

/// A number with so many decimals; `never` for a time that no run reaches.
pub fn or_never(value: f64, decimals: usize) -> String {
    if value.is_finite() { format!("{value:.decimals$}") } else { "never".into() }
}

/// `4.2 h`: for predictions, one decimal.
pub fn hours(seconds: f64) -> String {
    format!("{:.1} h", in_hours(seconds))
}

/// The number alone.
pub fn in_hours(seconds: f64) -> f64 {
    Duration::from_seconds(seconds).hours()
}

/// A time in a column of hours: `no` where it never comes.
pub fn hour(seconds: Option<f64>) -> String {
    seconds.map_or_else(|| "no".into(), |s| format!("{:.1}", in_hours(s)))
}

/// `1 sheet`, `3 sheets`
pub fn count(how_many: usize, what: &str) -> String {
    format!("{how_many} {what}{}", if how_many == 1 { "" } else { "s" })
}

/// Kilowatt-hours.
pub fn kilowatt_hours(joules: f64) -> f64 {
    Energy::from_joules(joules).kilowatt_hours()
}

/// `a, b and c`
pub fn and(items: &[String]) -> String {
    match items.split_last() {
        Some((last, rest)) if !rest.is_empty() => format!("{} and {last}", rest.join(", ")),
        _ => items.concat(),
    }
}

/// First letter as a capital.
pub fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

/// `7.33 EUR`, `$1.43`, or `1.43` where no currency is known.
pub fn money(amount: f64, currency: &str) -> String {
    match currency {
        "" => format!("{amount:.2}"),
        "$" | "£" | "€" => format!("{currency}{amount:.2}"),
        other => format!("{amount:.2} {other}"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn one_is_not_many() {
        assert_eq!([1, 3].map(|n| count(n, "sheet")), ["1 sheet", "3 sheets"]);
    }
}
