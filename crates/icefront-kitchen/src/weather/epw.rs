//! A typical year in EPW form: 8 lines of header, then a line for each hour of the year.
//!
//! Hours are 1 to 24 in local standard time; the value belongs to the end of its hour. The months of a typical year
//! come from different years, so years are left out of account.

use crate::table::{Cell, Findings, Numbers, Record, Records, Separator};
use crate::weather::clock::{HOUR_S, date, start_s};
use crate::weather::column::{self, Column, Hour};
use crate::weather::row::Row;

/// Lines before the hours.
const HEADER_LINES: usize = 8;
/// Cells of a line of data that are used; a whole line has 35.
const LEAST_CELLS: usize = 24;
/// Hours of a year and of a leap year.
const YEARS_H: [usize; 2] = [8_760, 8_784];
/// Columns by position. Source: published EPW field lists.
const COLUMNS: [(usize, Column); 7] = [
    (6, column::AIR_C),
    (7, column::DEW_C),
    (12, column::SKY_IR),
    (13, column::SUNSHINE),
    (21, column::WIND_M_S),
    (22, column::TOTAL_CLOUD),
    (23, column::OPAQUE_CLOUD),
];

/// Whether a text is in this form.
pub fn is_epw(text: &str) -> bool {
    text.get(..9).is_some_and(|start| start.eq_ignore_ascii_case("location,"))
}

/// Reads a year; whatever is wrong is noted.
pub fn read(text: &str, findings: &mut Findings) -> Vec<Row> {
    check_header(Records::unquoted(text).nth(HEADER_LINES - 1), findings);
    let hours = || Records::unquoted(text).skip(HEADER_LINES);
    let count = hours().count();
    if !YEARS_H.contains(&count) {
        let span = Records::unquoted(text).last().map_or(0..0, |line| line.span);
        let label = format!("the last of {count} hours");
        let help = "a year has 8760 hours (8784 in a leap year); cut a single night out as CSV instead";
        findings.note("hours", &span, "this is not a whole year", label, help);
    }
    // any year of the right length
    let year = if count == YEARS_H[1] { 2000 } else { 2001 };
    let mut numbers = Numbers::of(Separator::Comma);
    let mut rows: Vec<Row> = Vec::with_capacity(count.min(YEARS_H[1]));
    for line in hours() {
        if let Some(row) = read_line(&line, year, rows.last(), &mut numbers, findings) {
            rows.push(row);
        }
    }
    rows
}

fn check_header(last: Option<Record<'_>>, findings: &mut Findings) {
    let Some(last) = last else {
        findings.note("header", &(0..0), "this EPW file ends in its header", "8 lines of header are needed", "");
        return;
    };
    let cell = |index: usize| last.cells.get(index).map_or("", |cell| cell.text.as_ref());
    if !cell(0).eq_ignore_ascii_case("data periods") {
        findings.note("header", &last.span, "the eighth line of an EPW file names its DATA PERIODS", "it does not", "");
    } else if cell(2) != "1" {
        let label = format!("`{}` records in an hour", cell(2));
        findings.note("header", &last.span, "only files with one record in an hour can be read", label, "");
    }
}

fn read_line(
    line: &Record<'_>,
    year: i16,
    before: Option<&Row>,
    numbers: &mut Numbers,
    findings: &mut Findings,
) -> Option<Row> {
    if line.cells.len() < LEAST_CELLS {
        let label = format!("{} cells", line.cells.len());
        findings.note("cells", &line.span, "this line is too short", label, "a line of EPW data has 35 cells");
        return None;
    }
    let time_s =
        read_time(line, year).filter(|time_s| before.is_none_or(|row| (time_s - row.time_s - HOUR_S).abs() < 1.0));
    let Some(time_s) = time_s else {
        let span = line.cells.get(1).map_or(0, |c| c.span.start)..line.cells.get(3).map_or(0, |c| c.span.end);
        let help = "month, day and hour (1 to 24, standard time) follow each other through the year";
        findings.note("order", &span, "this is not the hour after the line before", "month, day, hour", help);
        return None;
    };
    let mut hour = Hour::default();
    for (index, column) in &COLUMNS {
        if let Some(cell) = line.cells.get(*index) {
            column.read(cell, &mut hour, numbers, findings);
        }
    }
    column::compare(&hour, &line.span, findings);
    Some(Row { time_s, span: line.span.clone(), hour })
}

fn read_time(line: &Record<'_>, year: i16) -> Option<f64> {
    let number = |index: usize| line.cells.get(index).and_then(|cell: &Cell<'_>| cell.text.parse::<i16>().ok());
    let date = date([year, number(1)?, number(2)?])?;
    let hour = number(3).filter(|hour| (1..=24).contains(hour))?;
    Some(start_s(date) + f64::from(hour) * HOUR_S)
}
