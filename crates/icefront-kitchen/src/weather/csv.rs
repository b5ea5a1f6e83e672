//! A plain table of hours: a header that names the columns with their units, then a line per hour.

use crate::problem::nearest_within;
use crate::table::{Cell, Findings, Numbers, Record, Records};
use crate::weather::clock::{HOUR_S, read_stamp};
use crate::weather::column::{self, Column, Hour};
use crate::weather::row::Row;

/// Names of the column that holds the time.
const TIME: [&str; 2] = ["time", "local_standard_time"];
/// As many changed letters make a known name of an unknown one.
const MISSPELT: usize = 2;

/// What a column of this file is.
enum Use {
    Time,
    Value(Column),
    Ignored,
}

/// Reads a table; whatever is wrong is noted.
pub fn read(text: &str, findings: &mut Findings) -> Vec<Row> {
    let mut records = Records::of(text);
    let mut numbers = Numbers::of(records.separator());
    let Some(header) = records.header(findings) else { return Vec::new() };
    let Some(uses) = read_header(&header, findings) else { return Vec::new() };
    let mut rows: Vec<Row> = Vec::new();
    for record in records {
        if record.fits(uses.len(), findings) {
            rows.extend(read_line(&record, &uses, rows.last(), &mut numbers, findings));
        }
    }
    if rows.is_empty() && findings.is_empty() {
        findings.note("hours", &header.span, "there are no hours", "nothing follows the header", "");
    }
    rows
}

/// Whether the header of a table names the air, so that it is meant as a table of hours.
pub fn names_air(text: &str) -> bool {
    let header = Records::of(text).next();
    let known = column::ALL.into_iter().filter(|column| is_same_place(column.place, column::AIR_C.place));
    let names: Vec<&str> = known.map(|column| column.name).collect();
    let is_air = |cell: &Cell<'_>| names.iter().any(|name| name.eq_ignore_ascii_case(&cell.text));
    header.is_some_and(|header| header.cells.iter().any(is_air))
}

fn read_header(header: &Record<'_>, findings: &mut Findings) -> Option<Vec<Use>> {
    let uses: Vec<Use> = header.cells.iter().map(|cell| read_name(cell, findings)).collect();
    let time = uses.iter().filter(|u| matches!(u, Use::Time)).count();
    let needed = |place: fn(&mut Hour) -> &mut Option<f64>| {
        uses.iter().filter(|u| matches!(u, Use::Value(c) if is_same_place(c.place, place))).count()
    };
    let wind_names = "`wind_m_s`, `wind_km_h` or `wind_mph`";
    let counts = [
        ("time", "`time`", time),
        ("air", "`air_temp_C` or `air_temp_F`", needed(column::AIR_C.place)),
        ("wind", wind_names, needed(column::WIND_M_S.place)),
    ];
    let mut fits = true;
    for (what, names, count) in counts.into_iter().filter(|(.., count)| *count != 1) {
        let title =
            if count == 0 { format!("no column for the {what}") } else { format!("{count} columns for the {what}") };
        findings.note(what, &header.span, title, "in this header", format!("give {names}, once"));
        fits = false;
    }
    fits.then_some(uses)
}

/// Whether two places are the same field of an hour.
fn is_same_place(a: fn(&mut Hour) -> &mut Option<f64>, b: fn(&mut Hour) -> &mut Option<f64>) -> bool {
    let mut hour = Hour::default();
    *a(&mut hour) = Some(1.0);
    b(&mut hour).is_some()
}

fn read_name(cell: &Cell<'_>, findings: &mut Findings) -> Use {
    let name: &str = &cell.text;
    if TIME.iter().any(|known| known.eq_ignore_ascii_case(name)) {
        return Use::Time;
    }
    if let Some(column) = column::ALL.into_iter().find(|column| column.name.eq_ignore_ascii_case(name)) {
        return Use::Value(column);
    }
    if let Some(near) = nearest_within(name, column::ALL.iter().map(|c| c.name), MISSPELT) {
        let title = format!("no column is named `{name}`");
        findings.note(name, &cell.span, title, "unknown name or unit", format!("did you mean `{near}`?"));
    }
    Use::Ignored
}

fn read_line(
    line: &Record<'_>,
    uses: &[Use],
    before: Option<&Row>,
    numbers: &mut Numbers,
    findings: &mut Findings,
) -> Option<Row> {
    let mut time_s = None;
    let mut hour = Hour::default();
    for (cell, what) in line.cells.iter().zip(uses) {
        match what {
            Use::Time => time_s = read_time(cell, before, findings),
            Use::Value(column) => column.read(cell, &mut hour, numbers, findings),
            Use::Ignored => {}
        }
    }
    column::compare(&hour, &line.span, findings);
    Some(Row { time_s: time_s?, span: line.span.clone(), hour })
}

fn read_time(cell: &Cell<'_>, before: Option<&Row>, findings: &mut Findings) -> Option<f64> {
    let time_s = match read_stamp(&cell.text) {
        Ok(time_s) => time_s,
        Err(label) => {
            findings.note("stamp", &cell.span, "the time cannot be read", label, "");
            return None;
        }
    };
    let back_s = before.map_or(-1.0, |row| row.time_s - time_s);
    if back_s < 0.0 {
        return Some(time_s);
    }
    let label = if back_s > 0.0 { "earlier than the line before" } else { "the same as in the line before" };
    let help = if back_s <= HOUR_S {
        "if clocks were put back in this night: write local standard time throughout, or leave the second of the two \
         hours out"
    } else {
        "hours must follow each other; give years that do not fit together as separate files"
    };
    findings.note("order", &cell.span, "time goes back", label, help);
    None
}
