//! A quantity as a field shows it: the number, and its unit beside it. Other texts, such as `about 15 mm` or `12..18 mm`,
//! stand in the field as they are.

/// A number and what follows it, exactly: `14` and ` mm` of `14 mm`; `None` for any other text.
pub fn split(text: &str) -> Option<(&str, &str)> {
    let end = text.char_indices().find(|(at, c)| !(c.is_ascii_digit() || *c == '.' || *at == 0 && *c == '-'));
    let (number, unit) = text.split_at(end?.0);
    let is_unit = |unit: &str| {
        let unit = unit.trim();
        !unit.is_empty() && unit.chars().all(|c| c.is_alphabetic() || "%\u{b0}/2".contains(c))
    };
    (number.parse::<f64>().is_ok() && is_unit(unit)).then_some((number, unit))
}

/// What was typed into a field with this unit beside it, as it goes into the sheet. A comma is a decimal comma where it cannot
/// be a thousands mark.
pub fn joined(typed: &str, unit: Option<&str>) -> String {
    let typed = with_point(typed.trim());
    match unit {
        Some(unit) if typed.parse::<f64>().is_ok() => format!("{typed}{unit}"),
        _ => typed,
    }
}

fn with_point(text: &str) -> String {
    let chars: Vec<char> = text.chars().collect();
    let digit = |at: usize| chars.get(at).is_some_and(char::is_ascii_digit);
    let one = |(at, c): (usize, &char)| {
        let after = (at + 1..).take_while(|at| digit(*at)).count();
        if *c == ',' && at > 0 && digit(at - 1) && !matches!(after, 0 | 3) { '.' } else { *c }
    };
    chars.iter().enumerate().map(one).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_plain_quantity_shows_its_unit_beside_it() {
        for (text, parts) in [
            ("14 mm", Some(("14", " mm"))),
            ("14mm", Some(("14", "mm"))),
            ("-5.5 C", Some(("-5.5", " C"))),
            ("12.5 %", Some(("12.5", " %"))),
            ("0.3 m2", Some(("0.3", " m2"))),
            ("about 15 mm", None),
            ("15 mm +- 3 mm", None),
            ("12..18 mm", None),
            ("1 lb 8 oz", None),
            ("12", None),
            ("", None),
            ("- mm", None),
        ] {
            assert_eq!(split(text), parts, "{text}");
            if let Some((number, unit)) = parts {
                assert_eq!(joined(number, Some(unit)), text, "it comes back as it was");
            }
        }
    }

    #[test]
    fn commas_are_decimal_where_they_can_be_nothing_else() {
        for (typed, unit, expected) in [
            ("12,5", Some(" mm"), "12.5 mm"),
            ("1,5 kg", Some(" g"), "1.5 kg"),
            ("1,200", Some(" g"), "1,200"),
            ("0.6 in", Some(" mm"), "0.6 in"),
            ("0,29", None, "0.29"),
            ("about 12,5 mm", Some(" mm"), "about 12.5 mm"),
            ("8, 9", Some(" mm"), "8, 9"),
            ("", Some(" mm"), ""),
        ] {
            assert_eq!(joined(typed, unit), expected, "{typed}");
        }
    }
}
