//! Quantities as the user reads them: common units, and no more digits than mean something.

use icefront_core::units::{Duration, Energy, Length, Mass, Temperature};

/// Four digits at most, without trailing zeros.
pub fn digits(value: f64) -> String {
    if value == 0.0 || !value.is_finite() {
        return format!("{value}");
    }
    let decimals = (3 - value.abs().log10().floor() as i32).clamp(0, 9) as usize;
    trimmed(value, decimals)
}

/// With so many decimals, without zeros at the end.
pub fn trimmed(value: f64, decimals: usize) -> String {
    let text = format!("{value:.decimals$}");
    if text.contains('.') { text.trim_end_matches('0').trim_end_matches('.').to_string() } else { text }
}

/// `15 mm`
pub fn millimetres(metres: f64) -> String {
    format!("{} mm", digits(Length::from_metres(metres).millimetres()))
}

/// `-18 C`
pub fn celsius(kelvin: f64) -> String {
    let celsius = Temperature::from_kelvin(kelvin).celsius();
    // a tenth of a degree is more than anyone can tell, and -0 is 0
    format!("{} C", (celsius * 10.0).round() / 10.0 + 0.0)
}

/// `-21 C`: for predictions, whole degrees.
pub fn celsius_0(kelvin: f64) -> String {
    format!("{} C", Temperature::from_kelvin(kelvin).celsius().round() + 0.0)
}

/// `900 g`, from one kilogram on `1.25 kg`
pub fn mass(kilograms: f64) -> String {
    let (value, unit) =
        if kilograms < 1.0 { (Mass::from_kilograms(kilograms).grams(), "g") } else { (kilograms, "kg") };
    format!("{} {unit}", digits(value))
}

/// `0.1 m2`
pub fn area(square_metres: f64) -> String {
    format!("{} m2", digits(square_metres))
}

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

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn digits_stop_where_they_mean_nothing() {
        for (value, shown) in [(0.0, "0"), (3810.0, "3810"), (12.0, "12"), (0.123_456, "0.1235"), (99_999.4, "99999")] {
            assert_eq!(digits(value), shown);
        }
        assert_eq!([1, 3].map(|n| count(n, "sheet")), ["1 sheet", "3 sheets"]);
        assert_eq!(celsius(273.149_99), "0 C");
        assert_eq!(celsius_0(252.6), "-21 C");
        assert_eq!(mass(0.9), "900 g");
    }
}
