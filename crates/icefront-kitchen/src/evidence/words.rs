//! Numbers and sums of the table in words. Only digits that mean something are shown.

use std::fmt::Write as _;

use crate::evidence::{DryingTimes, Judged, Measure, Predicted, Published, Row, Rule, Summary, Table, Verdict};
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

/// What the numbers of a set mean.
pub const HOW_TO_READ: &str = "Published over predicted is a geometric mean: 1 is right, below 1 the model is too slow (or \
     its number too high). Spread: two figures in three lie within this factor of that mean. Width: high over low end of the \
     10 to 90 % ranges, median. Inside: published figures within their range, of which four in five should be; p is the \
     chance of so few, or fewer, if they were, and below 0.05 the ranges are rejected. Score: the continuous ranked \
     probability score of the logarithm, 0 is perfect and 0.1 about 10 % off; a range that is wide for safety scores badly, \
     too. The score of the first version is that of the first model on the same rows.";

/// A set of drying times in a sentence.
pub fn times_words(set: &DryingTimes) -> String {
    let (Some(ratio), Some(spread)) = (set.now.published_over_predicted, set.now.spread_factor) else {
        return format!("Drying times, {}: none.", set.set);
    };
    let (by, which) = if ratio < 1.0 { (1.0 / ratio, "long") } else { (ratio, "short") };
    let mut words = format!(
        "Drying times, {}: predictions are {by:.2} times too {which} on average over {} rows, and two in three of them within \
         a further factor of {spread:.2}",
        set.set, set.now.ratios
    );
    if let Some(width) = set.now.median_width {
        let _ = write!(
            words,
            "; {} of {} published times lie in their range (p {:.2}), and half of the ranges span more than a factor of {width:.1}",
            set.now.inside, set.now.ranges, set.now.chance_of_so_few
        );
    }
    if let (Some(now), Some(first)) = (set.now.score, set.first.score) {
        let than = if now < 0.999 * first {
            "better than"
        } else if now <= 1.001 * first {
            "that of"
        } else {
            "worse than"
        };
        let _ = write!(words, "; score {now:.3}, {than} the first version ({first:.3})");
    }
    words + "."
}

/// Heads of the numbers of a set.
pub const JUDGED_HEADS: [&str; 7] =
    ["n", "published/predicted", "spread", "ranges, median width", "inside", "p", "score"];

/// The numbers of a set, in the order of their heads; a dash for none.
pub fn judged_cells(judged: &Judged) -> [String; 7] {
    let number = |value: Option<f64>| value.map_or_else(|| "-".into(), |value| format!("{value:.2}"));
    let factor = |value: Option<f64>| value.map_or_else(|| "-".into(), |value| format!("x{value:.2}"));
    let (inside, p) = match judged.ranges {
        0 => ("-".into(), "-".into()),
        n => (format!("{} of {n}", judged.inside), number(Some(judged.chance_of_so_few))),
    };
    [
        judged.ratios.to_string(),
        number(judged.published_over_predicted),
        factor(judged.spread_factor),
        factor(judged.median_width),
        inside,
        p,
        judged.score.map_or_else(|| "-".into(), |score| format!("{score:.3}")),
    ]
}

/// The statistics of a group.
pub fn summary_words(summary: &Summary) -> String {
    let mut words = format!("{} of {} near enough", summary.near, summary.rows);
    let judged = &summary.judged;
    if let (Some(ratio), Some(spread)) = (judged.published_over_predicted, judged.spread_factor) {
        let _ = write!(words, "; published over predicted {}, spread x{}", digits(ratio, 3), digits(spread, 3));
    }
    if let (Some(bias), Some(spread)) = (summary.bias_own_unit, summary.spread_own_unit) {
        let _ = write!(words, "; bias {}, spread {} in the row's unit", digits(bias, 2), digits(spread, 2));
    }
    if let Some(width) = judged.median_width {
        let p = digits(judged.chance_of_so_few, 2);
        let _ = write!(
            words,
            "; {} of {} inside ranges of median width x{}",
            judged.inside,
            judged.ranges,
            digits(width, 2)
        );
        let _ = write!(words, " (p {p}: {})", if judged.ranges_pass() { "they pass" } else { "too narrow or off" });
    }
    if let Some(score) = judged.score {
        let _ = write!(words, "; score {}", digits(score, 2));
    }
    let _ = write!(words, "; furthest off: {}", summary.worst);
    words
}

/// What a rule of the trade says.
pub fn said(rule: &Rule) -> String {
    match (rule.low, rule.high) {
        (Some(low), Some(high)) => format!("{}..{}", digits(low, 4), digits(high, 4)),
        (Some(low), None) => format!("above {}", digits(low, 4)),
        (None, Some(high)) => format!("below {}", digits(high, 4)),
        (None, None) => "-".into(),
    }
}

/// Whether a rule and the model agree.
pub fn agreement(rule: &Rule) -> &'static str {
    match rule.agrees() {
        Some(true) => "yes",
        Some(false) => "no",
        None => "not computed",
    }
}

/// What the rules of the trade are worth.
pub const RULES_ARE_WORTH: &str = "Common practice, no source: nobody published these figures, so they count in no number \
     above and no test rests on them. They show where the model and the trade differ.";

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
    let before = libm::log10(value.abs()).floor() as i32;
    let decimals = (significant as i32 - 1 - before).clamp(0, 12) as usize;
    trimmed(value, decimals)
}

#[cfg(test)]
mod tests {
    use super::{digits, times_words};
    use crate::evidence::{DryingTimes, Judged};

    #[test]
    fn a_set_is_told_in_words() {
        let now = Judged {
            ratios: 24,
            published_over_predicted: Some(0.8),
            spread_factor: Some(1.4),
            ranges: 24,
            inside: 20,
            median_width: Some(3.0),
            chance_of_so_few: 0.7,
            chance_of_so_many: 0.5,
            score: Some(0.2),
        };
        let first = Judged { score: Some(0.3), ..now };
        let words = times_words(&DryingTimes { set: "all".into(), now, first });
        assert!(
            words.contains("1.25 times too long") && words.contains("better than the first version (0.300)"),
            "{words}"
        );
        let none = Judged { published_over_predicted: None, ..now };
        assert_eq!(times_words(&DryingTimes { set: "all".into(), now: none, first }), "Drying times, all: none.");
    }

    #[test]
    fn only_significant_digits_are_shown() {
        let shown = [digits(12.3456, 3), digits(0.00123456, 3), digits(123_456.0, 3), digits(2.0, 4), digits(-0.5, 2)];
        assert_eq!(shown, ["12.3", "0.00123", "123456", "2", "-0.5"]);
    }
}
