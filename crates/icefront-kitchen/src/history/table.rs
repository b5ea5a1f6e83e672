//! Rows of the history: for each batch one `batch` row, one `tray` row per tray, and its readings. Nothing else is needed to
//! compute the batch again: the load sheet stands in the batch row.

use std::collections::HashSet;
use std::path::Path;

use icefront_core::constants::ZERO_CELSIUS_K;
use icefront_core::learning::{Quantity, Reading};
use icefront_core::units::{Duration, Energy};

use crate::format::{digits, trimmed};
use crate::history::outcome::{Outcome, TurnedOut};
use crate::problem::{BadFile, Problem};
use crate::{Failure, Storage, Text, formula};

/// First line of version 1. The first column holds the kind of the row and names the version.
pub const HEADER: &str =
    "history_1,batch,dryer,room_C,ready_h,energy_kWh,tray,food,loaded_g,water_lost_g,time_h,what,value,sheet";
const KIND: &str = "history_1";
/// What the first column was called before it named the version.
const FIRST_KIND: &str = "row";

/// Columns whose cells are texts of the cook's.
const TEXTS: [&str; 4] = ["batch", "dryer", "food", "sheet"];

/// A tray as its row has it.
#[derive(Clone, Debug, PartialEq)]
pub struct TrayRow {
    /// Food.
    pub food: String,
    /// Food loaded by the sheet's typical numbers, kg.
    pub loaded_kg: f64,
    /// Water lost by the last weighing, kg.
    pub water_lost_kg: Option<f64>,
}

/// A finished batch.
#[derive(Clone, Debug, PartialEq)]
pub struct Batch {
    /// Name.
    pub name: String,
    /// Name of the dryer, as its file says.
    pub dryer: String,
    /// Room, K.
    pub room_k: f64,
    /// Trays from the bottom.
    pub trays: Vec<TrayRow>,
    /// Readings in their order.
    pub readings: Vec<Reading>,
    /// How it turned out, where that was noted.
    pub outcomes: Vec<Outcome>,
    /// The load sheet.
    pub sheet: String,
}

impl Batch {
    fn last(&self, what: Quantity) -> Option<f64> {
        self.readings.iter().rev().find(|r| r.quantity == what).map(|r| r.value)
    }

    /// Its rows.
    pub fn rows(&self) -> Result<Vec<u8>, csv::Error> {
        let mut table = csv::Writer::from_writer(Vec::new());
        let hours = |s: f64| trimmed(Duration::from_seconds(s).hours(), 4);
        let or_empty = |x: Option<f64>, show: &dyn Fn(f64) -> String| x.map_or_else(String::new, show);
        let mut row = |cells: &[(&str, String)]| {
            let cell = |name: &str| cells.iter().find(|(n, _)| *n == name).map_or("", |(_, text)| text.as_str());
            let written =
                |name: &str| if TEXTS.contains(&name) { formula::neutral(cell(name)) } else { cell(name).into() };
            table.write_record(HEADER.split(',').map(|name| written(name).into_owned()))
        };
        let batch = || ("batch", self.name.clone());
        row(&[
            (KIND, "batch".into()),
            batch(),
            ("dryer", self.dryer.clone()),
            ("room_C", digits(self.room_k - ZERO_CELSIUS_K)),
            ("ready_h", or_empty(self.last(Quantity::Finished), &hours)),
            (
                "energy_kWh",
                or_empty(self.last(Quantity::Energy), &|j| trimmed(Energy::from_joules(j).kilowatt_hours(), 4)),
            ),
            ("sheet", escaped(&self.sheet)),
        ])?;
        let grams = |kg: f64| trimmed(1e3 * kg, 4);
        for (i, tray) in self.trays.iter().enumerate() {
            row(&[
                (KIND, "tray".into()),
                batch(),
                ("tray", (i + 1).to_string()),
                ("food", tray.food.clone()),
                ("loaded_g", grams(tray.loaded_kg)),
                ("water_lost_g", or_empty(tray.water_lost_kg, &grams)),
            ])?;
        }
        for reading in &self.readings {
            let tray = reading.quantity.tray();
            let of_kind = |(quantity, ..): &Written| *quantity == reading.quantity;
            for (_, what, factor, zero) in quantities(tray.unwrap_or(0)).into_iter().filter(of_kind) {
                row(&[
                    (KIND, "reading".into()),
                    batch(),
                    ("tray", tray.map_or_else(String::new, |t| (t + 1).to_string())),
                    ("time_h", trimmed(Duration::from_seconds(reading.time_s).hours(), 6)),
                    ("what", what.into()),
                    ("value", trimmed((reading.value - zero) / factor, 6)),
                ])?;
            }
        }
        let mut bytes = table.into_inner().map_err(|e| csv::Error::from(e.into_error()))?;
        bytes.extend(outcome_rows(&self.name, &self.outcomes)?);
        Ok(bytes)
    }
}

/// Rows that say how a batch turned out.
pub(super) fn outcome_rows(name: &str, outcomes: &[Outcome]) -> Result<Vec<u8>, csv::Error> {
    let mut table = csv::Writer::from_writer(Vec::new());
    for outcome in outcomes {
        table.write_record(HEADER.split(',').map(|column| match column {
            KIND => "outcome".to_string(),
            "batch" => formula::neutral(name).into_owned(),
            "tray" => (outcome.tray + 1).to_string(),
            "what" => outcome.turned_out.word().to_string(),
            _ => String::new(),
        }))?;
    }
    table.into_inner().map_err(|e| csv::Error::from(e.into_error()))
}

/// How a quantity is written in the history: name with unit, SI value of that unit, SI value of its zero.
type Written = (Quantity, &'static str, f64, f64);

/// All kinds, on a tray where they belong to one.
fn quantities(tray: usize) -> [Written; 10] {
    [
        (Quantity::Weight { tray }, "weight_g", 1e-3, 0.0),
        (Quantity::WaterLost { tray }, "water_lost_g", 1e-3, 0.0),
        (Quantity::Product { tray }, "product_C", 1.0, ZERO_CELSIUS_K),
        (Quantity::Shelf { tray }, "shelf_C", 1.0, ZERO_CELSIUS_K),
        (Quantity::Pressure, "pressure_Pa", 1.0, 0.0),
        (Quantity::Energy, "energy_kWh", 3.6e6, 0.0),
        (Quantity::PressureRise, "rise_Pa_per_min", 1.0 / 60.0, 0.0),
        (Quantity::Drained, "drained_g", 1e-3, 0.0),
        (Quantity::PumpStarted, "pump started", 3_600.0, 0.0),
        (Quantity::Finished, "finished", 3_600.0, 0.0),
    ]
}

/// A sheet in one cell of one line.
fn escaped(text: &str) -> String {
    text.replace('\\', "\\\\").replace('\r', "").replace('\n', "\\n")
}

fn unescaped(cell: &str) -> String {
    let mut text = String::with_capacity(cell.len());
    let mut chars = cell.chars();
    while let Some(c) = chars.next() {
        match c {
            '\\' => match chars.next() {
                Some('n') => text.push('\n'),
                Some(other) => text.push(other),
                None => {}
            },
            c => text.push(c),
        }
    }
    text
}

/// Reads a history and checks all of it.
pub fn read(path: &Path, files: &dyn Storage) -> Result<Vec<Batch>, Failure> {
    checked(path, &Text::read_table(path, files)?)
}

/// The batches of a file, or the file with what is wrong with it.
pub(super) fn checked(path: &Path, text: &Text) -> Result<Vec<Batch>, Failure> {
    parse(&text.text).map_err(|problem| {
        Failure::BadFiles(vec![BadFile {
            path: path.to_path_buf(),
            text: text.text.clone(),
            problems: vec![problem].into(),
        }])
    })
}

/// The batches of a history's text, or the first thing that is wrong with it.
pub fn parse(text: &str) -> Result<Vec<Batch>, Problem> {
    let mut table = csv::ReaderBuilder::new().has_headers(false).from_reader(text.as_bytes());
    let mut batches: Vec<Batch> = Vec::new();
    let mut names = HashSet::new();
    for (number, record) in table.records().enumerate() {
        let record = record.map_err(|e| {
            let at = e.position().map_or(text.len(), |p| p.byte() as usize);
            problem(text, at, "a line does not fit the header", "not as many cells")
        })?;
        let at = record.position().map_or(0, |p| p.byte() as usize);
        let wrong = |title: String, label: &str| problem(text, at, &title, label);
        if number == 0 {
            let (version, rest) = (record.get(0).unwrap_or_default(), record.iter().skip(1));
            if rest.ne(HEADER.split(',').skip(1)) || ![KIND, FIRST_KIND].contains(&version) {
                let other = version.starts_with("history_") && version != KIND;
                let title =
                    if other { "only version 1 of a history can be read" } else { "this is not a history of icefront" };
                return Err(wrong(title.into(), "another header"));
            }
            continue;
        }
        let cell = |name: &str| {
            let cell = HEADER.split(',').position(|c| c == name).and_then(|i| record.get(i)).unwrap_or("");
            if TEXTS.contains(&name) { formula::original(cell) } else { cell }
        };
        let number = |name: &str| {
            let read: Option<f64> = cell(name).parse().ok().filter(|x: &f64| x.is_finite());
            read.ok_or_else(|| wrong(format!("`{name}` cannot be `{}`", cell(name)), "not a number"))
        };
        match cell(KIND) {
            "batch" => {
                let name = cell("batch").to_string();
                if !names.insert(name.clone()) {
                    return Err(wrong(format!("batch `{name}` is given twice"), "again"));
                }
                batches.push(Batch {
                    name,
                    dryer: cell("dryer").to_string(),
                    room_k: number("room_C")? + ZERO_CELSIUS_K,
                    trays: Vec::new(),
                    readings: Vec::new(),
                    outcomes: Vec::new(),
                    sheet: unescaped(cell("sheet")),
                });
            }
            // noted later: anywhere after its batch
            "outcome" => {
                let Some(batch) = batches.iter_mut().find(|b| b.name == cell("batch")) else {
                    let title = format!("an outcome of batch `{}`, which is not there", cell("batch"));
                    return Err(wrong(title, "no such batch before"));
                };
                let tray = cell("tray").parse::<usize>().ok().and_then(|t| t.checked_sub(1));
                let found = tray.filter(|t| *t < batch.trays.len()).zip(TurnedOut::of_word(cell("what")));
                let Some((tray, turned_out)) = found else {
                    return Err(wrong(format!("`{}` cannot be read here", cell("what")), "not an outcome"));
                };
                batch.outcomes.push(Outcome { tray, turned_out });
            }
            kind @ ("tray" | "reading") => {
                let Some(batch) = batches.last_mut().filter(|b| b.name == cell("batch")) else {
                    let title = format!("a row of batch `{}` has no others", cell("batch"));
                    return Err(wrong(title, "not under its batch"));
                };
                if kind == "tray" {
                    let water_lost_kg =
                        if cell("water_lost_g").is_empty() { None } else { Some(1e-3 * number("water_lost_g")?) };
                    let loaded_kg = 1e-3 * number("loaded_g")?;
                    batch.trays.push(TrayRow { food: cell("food").to_string(), loaded_kg, water_lost_kg });
                } else {
                    let tray = cell("tray").parse::<usize>().ok().and_then(|t| t.checked_sub(1));
                    let found = quantities(tray.unwrap_or(0)).into_iter().find(|(_, what, ..)| *what == cell("what"));
                    let fits =
                        found.filter(|(q, ..)| q.tray().is_none() || tray.is_some_and(|t| t < batch.trays.len()));
                    let Some((quantity, _, factor, zero)) = fits else {
                        return Err(wrong(format!("`{}` cannot be read here", cell("what")), "not a reading"));
                    };
                    let time_s = 3_600.0 * number("time_h")?;
                    batch.readings.push(Reading { time_s, quantity, value: factor * number("value")? + zero });
                }
            }
            other => return Err(wrong(format!("no row is a `{other}`"), "`batch`, `tray`, `reading` or `outcome`")),
        }
    }
    Ok(batches)
}

/// A problem with the line that starts at a byte.
fn problem(text: &str, at: usize, title: &str, label: &str) -> Problem {
    let at = at.min(text.len().saturating_sub(1));
    let end = text.get(at..).and_then(|rest| rest.find('\n')).map_or(text.len(), |n| at + n);
    Problem::new(at..end, title, label, "see docs/guide/learning.md for the columns")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_batch_comes_back_as_it_was_logged() {
        let reading = |quantity, time_s, value| Reading { time_s, quantity, value };
        let batch = Batch {
            name: "=1+2, first".into(),
            dryer: "0.60 m2".into(),
            room_k: 293.15,
            trays: vec![TrayRow { food: "@bean \"stew\"".into(), loaded_kg: 1.25, water_lost_kg: Some(0.75) }],
            readings: vec![
                reading(Quantity::Weight { tray: 0 }, 36_000.0, 0.75),
                reading(Quantity::Shelf { tray: 0 }, 36_000.0, 303.15),
                reading(Quantity::Energy, 43_200.0, 1.8e7),
                reading(Quantity::PumpStarted, 7_200.0, 7_200.0),
            ],
            outcomes: vec![Outcome { tray: 0, turned_out: TurnedOut::Damp }],
            sheet: "icefront = 1\nnote = \"a \\\\ b\"\n".into(),
        };
        let text = format!("{HEADER}\n") + std::str::from_utf8(&batch.rows().unwrap()).unwrap();
        let back = parse(&text).unwrap();
        assert_eq!(back.len(), 1);
        assert_eq!((&back[0].name, &back[0].sheet, &back[0].trays), (&batch.name, &batch.sheet, &batch.trays));
        assert_eq!(back[0].outcomes, batch.outcomes);
        for (a, b) in back[0].readings.iter().zip(&batch.readings) {
            assert_eq!(a.quantity, b.quantity);
            approx::assert_relative_eq!(a.value, b.value, max_relative = 1e-6);
        }
        assert_eq!(text.lines().count(), 8, "one line per row");
        for row in csv::Reader::from_reader(text.as_bytes()).records().map(|row| row.unwrap()) {
            assert!(row.iter().all(|cell| !cell.starts_with(['=', '+', '@'])), "a spreadsheet computes {row:?}");
        }
    }

    #[test]
    fn a_torn_line_is_found() {
        let head = HEADER;
        for torn in
            [format!("{head}\nbatch,a,d"), format!("{head}\nreading,a,,,,,1,,,,2,weight_g,5,\n"), "x,y\n".into()]
        {
            assert!(parse(&torn).is_err(), "{torn}");
        }
    }
}
