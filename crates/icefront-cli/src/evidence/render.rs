//! The table as text, CSV, JSON and markdown. Only digits that mean something are shown.

use std::fmt::Write as _;

use serde::Serialize;

use crate::evidence::case::{Fitted, Kind, Measure};
use crate::evidence::row::{Predicted, Published, Row, Verdict};
use crate::evidence::{Coverage, Source, Summary, Table};
use icefront_kitchen::blocks as part;
use icefront_kitchen::blocks::{Column, Part, Words, in_order};
use icefront_kitchen::format::capital;
use icefront_kitchen::style::Look;

/// For a reader at a terminal: the sums, then each group with its summary.
pub fn text(table: &Table, look: Look) -> String {
    let sums = [totals(table), coverage_words(&table.coverage)].map(|sum| Words::new("", sum));
    let groups: Vec<part::Table> = table.summaries.iter().map(|summary| group(table, summary)).collect();
    let parts: Vec<&dyn Part> =
        sums.iter().map(|sum| sum as &dyn Part).chain(groups.iter().map(|group| group as &dyn Part)).collect();
    in_order(&parts, look)
}

fn group(table: &Table, summary: &Summary) -> part::Table {
    let row = |row: &Row| {
        let unit = if row.unit == "-" { String::new() } else { format!(" {}", row.unit) };
        let published = published(&row.published) + &unit;
        vec![row.id.clone(), published, predicted(&row.predicted), deviation(row), row.verdict.word().into()]
    };
    part::Table {
        label: summary.group,
        about: String::new(),
        columns: vec![
            Column::words("", 34),
            Column::number("published"),
            Column::number("predicted"),
            Column::number("off"),
            Column::words("holds", 28),
        ],
        rows: table.rows.iter().filter(|row| row.group == summary.group).map(row).collect(),
        notes: vec![format!("{}.", capital(&summary_words(summary)))],
    }
}

/// How many rows, sources and misses.
fn totals(table: &Table) -> String {
    let near = table.rows.iter().filter(|row| row.verdict.is_near()).count();
    let known = table.rows.iter().filter(|row| row.verdict == Verdict::KnownMiss).count();
    format!(
        "{} rows from {} sources: {near} near enough, {known} known misses, {} others.",
        table.rows.len(),
        table.sources.len(),
        table.rows.len() - near - known
    )
}

fn coverage_words(coverage: &Coverage) -> String {
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

fn summary_words(summary: &Summary) -> String {
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

/// One line per row, columns with their units in their own column.
pub fn csv(table: &Table) -> Result<String, ::csv::Error> {
    #[derive(Serialize)]
    struct Line<'a> {
        id: &'a str,
        group: &'a str,
        kind: Kind,
        quantity: &'a str,
        conditions: &'a str,
        unit: &'a str,
        published_low: Option<f64>,
        published: f64,
        published_high: Option<f64>,
        predicted_low: Option<f64>,
        predicted: f64,
        predicted_high: Option<f64>,
        deviation: f64,
        measure: Measure,
        allowed: Option<f64>,
        reason: &'a str,
        fitted: Fitted,
        verdict: Verdict,
        miss: Option<&'a str>,
        source: &'a str,
    }
    let mut writer = ::csv::Writer::from_writer(Vec::new());
    for row in &table.rows {
        writer.serialize(Line {
            id: &row.id,
            group: row.group,
            kind: row.kind,
            quantity: &row.quantity,
            conditions: &row.conditions,
            unit: &row.unit,
            published_low: row.published.low,
            published: row.published.value,
            published_high: row.published.high,
            predicted_low: row.predicted.low,
            predicted: row.predicted.typical,
            predicted_high: row.predicted.high,
            deviation: row.deviation,
            measure: row.measure,
            allowed: row.allowed,
            reason: &row.reason,
            fitted: row.fitted,
            verdict: row.verdict,
            miss: row.miss.as_deref(),
            source: &row.source,
        })?;
    }
    let bytes = writer.into_inner().map_err(|error| error.into_error())?;
    Ok(String::from_utf8_lossy(&bytes).into_owned())
}

/// Rows, summaries, coverage and sources.
pub fn json(table: &Table) -> Result<String, serde_json::Error> {
    #[derive(Serialize)]
    struct All<'a> {
        rows: &'a [Row],
        summaries: &'a [Summary],
        coverage: Coverage,
        sources: &'a [Source],
    }
    let all = All { rows: &table.rows, summaries: &table.summaries, coverage: table.coverage, sources: &table.sources };
    serde_json::to_string_pretty(&all).map(|text| text + "\n")
}

/// For `docs/evidence.md`.
pub fn markdown(table: &Table) -> String {
    let mut out = String::from(INTRODUCTION);
    let _ = writeln!(out, "\n{}\n\n{}\n\n## Summary\n", totals(table), coverage_words(&table.coverage));
    out.push_str(
        "| group | rows | near enough | known misses | bias | spread | furthest off |\n|---|---|---|---|---|---|---|\n",
    );
    for s in &table.summaries {
        let join = |frac: Option<f64>, own: Option<f64>| {
            let frac = frac.map(percent);
            let own = own.map(|o| format!("{} (row's unit)", digits(o, 2)));
            [frac, own].into_iter().flatten().collect::<Vec<_>>().join(", ")
        };
        let (bias, spread) = (join(s.bias_frac, s.bias_own_unit), join(s.spread_frac, s.spread_own_unit));
        let _ = writeln!(
            out,
            "| {} | {} | {} | {} | {bias} | {spread} | {} |",
            s.group, s.rows, s.near, s.known_misses, s.worst
        );
    }
    out.push_str("\n## Known misses\n\n| row | believed reason |\n|---|---|\n");
    for (row, miss) in table.rows.iter().filter_map(|row| Some((row, row.miss.as_ref()?))) {
        let _ = writeln!(out, "| {} | {miss} |", row.id);
    }
    for summary in &table.summaries {
        let _ = write!(out, "\n## {}\n\n{HEAD}", capital(summary.group));
        for row in table.rows.iter().filter(|row| row.group == summary.group) {
            let fitted = match row.fitted {
                Fitted::Nothing => "",
                Fitted::AnotherPart => " (fitted on another part of it)",
                Fitted::DefaultSetOnIt => " (default set on it)",
            };
            let _ = writeln!(
                out,
                "| {} | {}{fitted} | {} | {} | {} | {} | {} | {} | {} | {} |",
                row.id,
                row.quantity,
                row.conditions.replace('|', "/"),
                row.unit,
                published(&row.published),
                predicted(&row.predicted),
                deviation(row),
                allowed(row),
                row.verdict.word(),
                row.source
            );
        }
        let mut reasons: Vec<(String, &str)> = Vec::new();
        for row in table.rows.iter().filter(|row| row.group == summary.group) {
            if !reasons.contains(&(allowed(row), &row.reason)) {
                reasons.push((allowed(row), &row.reason));
            }
        }
        out.push('\n');
        for (allowed, reason) in reasons {
            let _ = writeln!(out, "- {allowed}: {reason}.");
        }
    }
    out.push_str("\n## Sources\n\n| key | authors | year | what and where | how it was read | missing |\n|---|---|---|---|---|---|\n");
    for s in &table.sources {
        let _ = writeln!(out, "| {} | {} | {} | {} | {} | {} |", s.key, s.authors, s.year, s.title, s.read, s.missing);
    }
    out
}

const INTRODUCTION: &str = "# Evidence

Predictions beside published standards, exact solutions, handbooks and experiments. This file is written by
`icefront evidence --markdown`; `tests/published.rs` fails if it is out of date. What was published stands in
`data/published/` (and `data/properties/`), each number with its source.

*Verification* is our arithmetic against an exact solution, a standard or a worked example; *validation* is the model
against an experiment. Nothing was fitted unless a row says so: `fitted on another part of it` (of the same run or
machine), or `default set on it`, where a default of the model came from that very source, so that the row proves
nothing. A prediction in brackets is the 10 to 90 % range over 256 draws of what the publication does not tell and of the
food's parameters (`data/published/drying_cases.md`, written before any run; it tells what was changed after). A row that
misses stays in.
";

const HEAD: &str =
    "| row | quantity | conditions | unit | published | predicted (10-90 %) | off | allowed | holds | source |
|---|---|---|---|---|---|---|---|---|---|
";

fn published(p: &Published) -> String {
    match (p.low, p.high) {
        (Some(low), Some(high)) if (0.5 * (low + high) - p.value).abs() < 1e-9 * p.value.abs() => {
            format!("{}..{}", digits(low, 4), digits(high, 4))
        }
        (Some(low), Some(high)) => format!("{} ({}..{})", digits(p.value, 4), digits(low, 4), digits(high, 4)),
        (Some(low), None) => format!("above {}", digits(low, 4)),
        (None, Some(high)) => format!("below {}", digits(high, 4)),
        (None, None) => digits(p.value, 6),
    }
}

fn predicted(p: &Predicted) -> String {
    match (p.low, p.high) {
        (Some(low), Some(high)) => format!("{} ({}..{})", digits(p.typical, 3), digits(low, 3), digits(high, 3)),
        _ => digits(p.typical, 4),
    }
}

fn deviation(row: &Row) -> String {
    let sign = if row.deviation >= 0.0 { "+" } else { "" };
    match row.measure {
        Measure::Absolute => format!("{sign}{}", digits(row.deviation, 2)),
        _ if row.deviation.abs() < NOTHING_FRAC => "0 %".into(),
        _ => format!("{sign}{}", percent(row.deviation)),
    }
}

fn allowed(row: &Row) -> String {
    match (row.measure, row.allowed) {
        (Measure::Range, _) => "in range".into(),
        (Measure::Absolute, Some(allowed)) => digits(allowed, 2),
        (_, allowed) => format!("{} %", digits(100.0 * allowed.unwrap_or(0.0), 2)),
    }
}

/// A share below this is shown as nothing.
const NOTHING_FRAC: f64 = 5e-5;

/// A share in per cent.
fn percent(share: f64) -> String {
    if share.abs() < NOTHING_FRAC { "0 %".into() } else { format!("{} %", digits(100.0 * share, 2)) }
}

/// A number with so many significant digits, without trailing noughts.
fn digits(value: f64, significant: usize) -> String {
    if !value.is_finite() {
        return if value.is_nan() { "none".into() } else { "never".into() };
    }
    if value == 0.0 {
        return "0".into();
    }
    let before = value.abs().log10().floor() as i32;
    let decimals = (significant as i32 - 1 - before).clamp(0, 12) as usize;
    let text = format!("{value:.decimals$}");
    if text.contains('.') { text.trim_end_matches('0').trim_end_matches('.').into() } else { text }
}

#[cfg(test)]
mod tests {
    use super::digits;

    #[test]
    fn as_many_digits_as_asked_for() {
        let shown = [digits(12.3456, 3), digits(0.00123456, 3), digits(123_456.0, 3), digits(2.0, 4), digits(-0.5, 2)];
        assert_eq!(shown, ["12.3", "0.00123", "123456", "2", "-0.5"]);
        assert_eq!((digits(f64::INFINITY, 3), digits(f64::NAN, 3)), ("never".into(), "none".into()));
    }
}
