//! The table at a terminal.

use crate::Look;
use crate::blocks::{self, Column, Part, Words, in_order};
use crate::evidence::words::{coverage_words, deviation, predicted, published, summary_words, totals};
use crate::evidence::{Row, Summary, Table};
use crate::format::capital;

/// Totals, then each group with its summary.
pub fn text(table: &Table, look: Look) -> String {
    let sums = [totals(table), coverage_words(&table.coverage)].map(|sum| Words::new("", sum));
    let groups: Vec<blocks::Table<&str>> = table.summaries.iter().map(|summary| group(table, summary)).collect();
    let parts: Vec<&dyn Part> =
        sums.iter().map(|sum| sum as &dyn Part).chain(groups.iter().map(|group| group as &dyn Part)).collect();
    in_order(&parts, look)
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
