//! The table as `docs/evidence.md`.

use std::fmt::Write as _;

use crate::evidence::words::{
    HOW_TO_READ, JUDGED_HEADS, RULES_ARE_WORTH, agreement, allowed, deviation, digits, judged_cells, predicted,
    published, said, totals,
};
use crate::evidence::{Fitted, Row, Table};
use crate::format::capital;

/// A page with all rows, misses, tolerances and sources.
pub fn markdown(table: &Table) -> String {
    let mut out = String::from(INTRODUCTION);
    let _ = writeln!(out, "\n{}\n\n## Drying times\n\n{HOW_TO_READ}\n", totals(table));
    let heads = JUDGED_HEADS.join(" | ");
    let _ = writeln!(out, "| drying times | model | {heads} |\n|---|---|{}", "---|".repeat(JUDGED_HEADS.len()));
    for set in &table.drying_times {
        let _ = writeln!(out, "| {} | this version | {} |", set.set, judged_cells(&set.now).join(" | "));
        let _ = writeln!(out, "| | first version | {} |", judged_cells(&set.first).join(" | "));
    }
    let _ = writeln!(
        out,
        "\n## Groups\n\nRows that a default was set on are left out of all but the first four numbers.\n\n| group | rows | near enough | \
         known misses | furthest off | {heads} | bias and spread in the row's unit |\n|---|---|---|---|---|---|{}",
        "---|".repeat(JUDGED_HEADS.len())
    );
    for s in &table.summaries {
        let own = s.bias_own_unit.zip(s.spread_own_unit);
        let own = own.map(|(bias, spread)| format!("{}, {}", digits(bias, 2), digits(spread, 2))).unwrap_or_default();
        let judged = judged_cells(&s.judged).join(" | ");
        let _ = writeln!(
            out,
            "| {} | {} | {} | {} | {} | {judged} | {own} |",
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
        out.push_str(&drawn(&table.rows_of(&summary.group).collect::<Vec<_>>()));
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
    out.push_str(&rules(table));
    out.push_str("\n## Sources\n\n| key | authors | year | what and where | how it was read | missing |\n|---|---|---|---|---|---|\n");
    for s in &table.sources {
        let _ = writeln!(out, "| {} | {} | {} | {} | {} | {} |", s.key, s.authors, s.year, s.title, s.read, s.missing);
    }
    out
}

/// Per row with draws: its scores, and which inputs were drawn because the source does not give them.
fn drawn(rows: &[&Row]) -> String {
    let mut out = String::new();
    for row in rows.iter().filter(|row| row.drawn.is_some()) {
        if out.is_empty() {
            out.push_str(
                "\n| row | score | first version | drawn, since the source does not give it |\n|---|---|---|---|\n",
            );
        }
        let number = |score: Option<f64>| score.map_or_else(|| "-".into(), |score| format!("{score:.3}"));
        let (now, first) = (number(row.score), number(row.first.map(|first| first.score)));
        let _ = writeln!(out, "| {} | {now} | {first} | {} |", row.id, row.drawn.as_deref().unwrap_or_default());
    }
    out
}

/// The rules of the trade, apart from all rows.
fn rules(table: &Table) -> String {
    let mut out = format!("\n## Rules of the trade\n\n{RULES_ARE_WORTH}\n\n{RULES_HEAD}");
    for rule in &table.rules {
        let computed = rule.computed.as_ref().map_or_else(|| "-".into(), predicted);
        let _ = writeln!(
            out,
            "| {} | {} | {} | {} | {} | {} | {computed} | {} | {} |",
            rule.id,
            rule.statement,
            rule.quantity,
            rule.conditions,
            rule.unit,
            said(rule),
            agreement(rule),
            rule.source
        );
    }
    out
}

const RULES_HEAD: &str = "| rule | statement | computed for it | conditions | unit | said | computed | agree | source |
|---|---|---|---|---|---|---|---|---|
";

const INTRODUCTION: &str = include_str!("introduction.md");

const HEAD: &str =
    "| row | quantity | conditions | unit | published | predicted (10-90 %) | off | allowed | holds | source |
|---|---|---|---|---|---|---|---|---|---|
";
