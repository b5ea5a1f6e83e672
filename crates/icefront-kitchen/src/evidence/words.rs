//! Numbers and sums of the table in words. Only digits that mean something are shown.

use std::fmt::Write as _;

use crate::evidence::{Coverage, Measure, Predicted, Published, Row, Summary, Table, Verdict};
use crate::format::trimmed;

/// How many rows, sources and misses.
pub fn totals(table: &Table) -> String {
    let near = table.rows.iter().filter(|row| row.verdict.is_near()).count();
    let known = table.rows.iter().filter(|row| row.verdict == Verdict::KnownMiss).count();
    format!(
        "{} rows from {} sources: {near} near enough, {known} known misses, {} others.",
        table.rows.len(),
        table.sources.len(),
        table.rows.len() - near - known
    )
}

/// How often published figures lie in their ranges.
pub fn coverage_words(coverage: &Coverage) -> String {
    format!(
        "Published figures inside their predicted 10 to 90 % range: {} of {}; half of the ranges span more than a factor \
         of {}. Were four in five inside, so few or fewer would have a chance of {:.0} %, so many or more {:.0} %: {}.",
        coverage.inside,
        coverage.rows,
        digits(coverage.median_span, 2),
        100.0 * coverage.chance_of_so_few,
        100.0 * coverage.chance_of_so_many,
        if coverage.is_believed() { "the ranges pass at 5 %" } else { "the ranges are too narrow or off" }
    )
}

/// The statistics of a group.
pub fn summary_words(summary: &Summary) -> String {
    let mut words = format!("{} of {} near enough", summary.near, summary.rows);
    if let (Some(bias), Some(spread)) = (summary.bias_frac, summary.spread_frac) {
        let _ = write!(words, "; bias {}, spread {}", percent(bias), percent(spread));
    }
    if let (Some(bias), Some(spread)) = (summary.bias_own_unit, summary.spread_own_unit) {
        let _ = write!(words, "; bias {}, spread {} in the row's unit", digits(bias, 2), digits(spread, 2));
    }
    let _ = write!(words, "; furthest off: {}", summary.worst);
    words
}

/// A published figure with its range.
pub fn published(p: &Published) -> String {
    match (p.low, p.high) {
        (Some(low), Some(high)) if (0.5 * (low + high) - p.value).abs() < 1e-6 * p.value.abs() => {
            format!("{}..{}", digits(low, 4), digits(high, 4))
        }
        (Some(low), Some(high)) => format!("{} ({}..{})", digits(p.value, 4), digits(low, 4), digits(high, 4)),
        (Some(low), None) => format!("above {}", digits(low, 4)),
        (None, Some(high)) => format!("below {}", digits(high, 4)),
        (None, None) => digits(p.value, 6),
    }
}

/// A prediction with its range.
pub fn predicted(p: &Predicted) -> String {
    match (p.low, p.high) {
        (Some(low), Some(high)) => format!("{} ({}..{})", digits(p.value, 3), digits(low, 3), digits(high, 3)),
        _ => digits(p.value, 4),
    }
}

/// Predicted less published, with its sign.
pub fn deviation(row: &Row) -> String {
    let sign = if row.deviation >= 0.0 { "+" } else { "" };
    match row.measure {
        Measure::Absolute => format!("{sign}{}", digits(row.deviation, 2)),
        _ if row.deviation.abs() < ZERO_FRAC => "0 %".into(),
        _ => format!("{sign}{}", percent(row.deviation)),
    }
}

/// The largest deviation allowed.
pub fn allowed(row: &Row) -> String {
    match (row.measure, row.allowed) {
        (Measure::Range, _) => "in range".into(),
        (Measure::Absolute, Some(allowed)) => digits(allowed, 2),
        (_, allowed) => format!("{} %", digits(100.0 * allowed.unwrap_or(0.0), 2)),
    }
}

/// A fraction below this is shown as zero.
const ZERO_FRAC: f64 = 5e-5;

/// A fraction in per cent.
pub fn percent(frac: f64) -> String {
    if frac.abs() < ZERO_FRAC { "0 %".into() } else { format!("{} %", digits(100.0 * frac, 2)) }
}

/// A number with so many significant digits, without trailing zeros.
pub fn digits(value: f64, significant: usize) -> String {
    if value == 0.0 {
        return "0".into();
    }
    let before = value.abs().log10().floor() as i32;
    let decimals = (significant as i32 - 1 - before).clamp(0, 12) as usize;
    trimmed(value, decimals)
}

#[cfg(test)]
mod tests {
    use super::digits;

    #[test]
    fn only_significant_digits_are_shown() {
        let shown = [digits(12.3456, 3), digits(0.00123456, 3), digits(123_456.0, 3), digits(2.0, 4), digits(-0.5, 2)];
        assert_eq!(shown, ["12.3", "0.00123", "123456", "2", "-0.5"]);
    }
}
