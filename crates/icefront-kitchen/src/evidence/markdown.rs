//! The table as `docs/evidence.md`.

use std::fmt::Write as _;

use crate::evidence::words::{allowed, coverage_words, deviation, digits, percent, predicted, published, totals};
use crate::evidence::{Fitted, Table};
use crate::format::capital;

/// A page with all rows, misses, tolerances and sources.
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
        let _ = write!(out, "\n## {}\n\n{HEAD}", capital(&summary.group));
        for row in table.rows_of(&summary.group) {
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
        for row in table.rows_of(&summary.group) {
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

const INTRODUCTION: &str = include_str!("introduction.md");

const HEAD: &str =
    "| row | quantity | conditions | unit | published | predicted (10-90 %) | off | allowed | holds | source |
|---|---|---|---|---|---|---|---|---|---|
";
