//! The table at a terminal.

use crate::Look;
use crate::blocks::{self, Column, Part, Words, in_order};
use crate::evidence::words::{
    HOW_TO_READ, RULES_ARE_WORTH, agreement, deviation, judged_cells, predicted, published, said, summary_words,
    times_words, totals,
};
use crate::evidence::{Judged, Row, Rule, Summary, Table};
use crate::format::capital;

/// Totals, then each group with its summary.
pub fn text(table: &Table, look: Look) -> String {
    let sums = std::iter::once(totals(table)).chain(table.drying_times.iter().map(times_words));
    let sums: Vec<Words> = sums.map(|sum| Words::new("", sum)).collect();
    let times = drying_times(table);
    let groups: Vec<blocks::Table<&str>> = table.summaries.iter().map(|summary| group(table, summary)).collect();
    let mut parts: Vec<&dyn Part> = sums.iter().map(|sum| sum as &dyn Part).collect();
    parts.push(&times);
    parts.extend(groups.iter().map(|group| group as &dyn Part));
    let rules = rules(table);
    parts.push(&rules);
    in_order(&parts, look)
}

/// Published drying times as a whole, by this version and the first.
fn drying_times(table: &Table) -> blocks::Table<&'static str> {
    let row = |set: &str, judged: &Judged| {
        let cells = judged_cells(judged);
        std::iter::once(set.to_string()).chain(cells).collect::<Vec<String>>()
    };
    let rows = table.drying_times.iter().flat_map(|set| [row(&set.set, &set.now), row("first version", &set.first)]);
    blocks::Table::new(
        "drying times",
        [
            Column::words("", 30),
            Column::number("n"),
            Column::number("mean"),
            Column::number("spread"),
            Column::number("width"),
            Column::number("inside"),
            Column::number("p"),
            Column::number("score"),
        ],
        rows,
    )
    .note(HOW_TO_READ)
}

/// What the trade says and nobody published.
fn rules(table: &Table) -> blocks::Table<&'static str> {
    let row = |rule: &Rule| {
        let unit = if matches!(rule.unit.as_str(), "" | "-") { String::new() } else { format!(" {}", rule.unit) };
        let computed = rule.computed.as_ref().map_or_else(|| "-".into(), predicted);
        vec![rule.id.clone(), said(rule) + &unit, computed, agreement(rule).into()]
    };
    blocks::Table::new(
        "rules of the trade",
        [Column::words("", 34), Column::number("said"), Column::number("computed"), Column::words("agree", 28)],
        table.rules.iter().map(row),
    )
    .note(RULES_ARE_WORTH)
}

fn group<'t>(table: &'t Table, summary: &'t Summary) -> blocks::Table<&'t str> {
    let row = |row: &Row| {
        let unit = if row.unit == "-" { String::new() } else { format!(" {}", row.unit) };
        let published = published(&row.published) + &unit;
        vec![row.id.clone(), published, predicted(&row.predicted), deviation(row), row.verdict.word().into()]
    };
    let [published, predicted, off] = ["published", "predicted", "off"].map(Column::number);
    let columns = [Column::words("", 34), published, predicted, off, Column::words("holds", 28)];
    blocks::Table::new(summary.group.as_str(), columns, table.rows_of(&summary.group).map(row))
        .note(format!("{}.", capital(&summary_words(summary))))
}
