//! Readings of a run, kept beside its sheet: `load.toml` has `load.readings.csv`, which `icefront update` reads too. A
//! reading entered on the page is a line added at its end, once the file with that line has been read and found right;
//! lines of others stay.

use csv::{ReaderBuilder, StringRecord, WriterBuilder};
use icefront_core::load::Load;
use icefront_core::units::DateOrder;
use icefront_kitchen::problem::BadFile;
use icefront_kitchen::readings::read_rows;
use icefront_kitchen::readings::when::When;
use icefront_kitchen::table::Findings;
use icefront_kitchen::weather::clock::{Clock, Date};
use icefront_kitchen::{Failure, Text, formula};

use crate::form::joined;
use crate::names::{READINGS_ENDING, SHEET_ENDING, or_usual};
use crate::{Folder, Request};

/// First line of a file that the page begins.
const HEADER: &str = "time,event,tray,weight_g,water_lost_g,product_C,shelf_C,pressure_Pa,energy_kWh,rise_Pa_per_min\n";

/// What can be entered.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Kind {
    /// Its column.
    pub column: &'static str,
    /// What stands there where it is an event; else a number is read.
    pub event: &'static str,
    /// What it is called.
    pub words: &'static str,
    /// The unit of the number.
    pub unit: &'static str,
    /// Whether it belongs to one tray.
    pub of_tray: bool,
}

impl Kind {
    /// Its name in forms.
    pub fn name(self) -> String {
        if self.event.is_empty() { self.column.into() } else { format!("{}:{}", self.column, self.event) }
    }
}

const fn event(event: &'static str, words: &'static str) -> Kind {
    Kind { column: "event", event, words, unit: "", of_tray: false }
}

const fn number(column: &'static str, words: &'static str, unit: &'static str, of_tray: bool) -> Kind {
    Kind { column, event: "", words, unit, of_tray }
}

const START: Kind = event("started", "machine switched on");

/// All kinds, those that need no opening of the door first.
pub const KINDS: [Kind; 10] = [
    number("energy_kWh", "plug meter since the start", "kWh", false),
    number("shelf_C", "shelf under a tray", "°C", true),
    number("product_C", "probe in the coldest part of the food", "°C", true),
    number("pressure_Pa", "pressure gauge", "Pa", false),
    number("rise_Pa_per_min", "pressure rise with the valve closed", "Pa per minute", false),
    number("weight_g", "food on a tray, weighed", "g", true),
    number("water_lost_g", "water a tray has lost", "g", true),
    START,
    event("pump started", "pump started"),
    event("finished", "run ended"),
];

/// Shown when only the start is known.
pub const STARTED: &str = "The start of the run is kept. Enter what you read from the machine, and the finish follows.";

/// The name of the file beside a sheet.
pub fn name(sheet: &str) -> String {
    format!("{}{READINGS_ENDING}", sheet.strip_suffix(SHEET_ENDING).unwrap_or(sheet))
}

/// The file beside a sheet, and its name.
pub fn text(folder: &Folder, sheet: &str) -> Result<(String, Text), Failure> {
    saved(folder, sheet)?;
    let name = name(sheet);
    let text = folder.text(&name, &folder.read(&name)?);
    Ok((name, text))
}

/// Readings need a sheet that is kept in the folder.
fn saved(folder: &Folder, sheet: &str) -> Result<(), Failure> {
    if folder.version(sheet).is_none() {
        return Err(Failure::unfit(or_usual(sheet), "save the sheet first: its readings are kept beside it"));
    }
    Ok(())
}

/// Lines so far in words; none where the file is not there.
pub fn noted(folder: &Folder, sheet: &str) -> Vec<Noted> {
    noted_in(&folder.read(&name(sheet)).unwrap_or_default())
}

fn noted_in(text: &str) -> Vec<Noted> {
    let mut reader = ReaderBuilder::new().comment(Some(b'#')).flexible(true).from_reader(text.as_bytes());
    let header = reader.headers().cloned().unwrap_or_default();
    reader.records().flatten().map(|record| Noted::of(&header, &record)).collect()
}

/// When the run was started, by the clock, where a line says so.
pub fn started(noted: &[Noted]) -> Option<Clock> {
    let start = noted.iter().find(|line| line.starts)?;
    // the time of day is the same whichever of day and month comes first
    match When::read(&start.time, Some(DateOrder::DayFirst)).ok()? {
        When::OfDay(s) | When::Stamp(s) => Some(Clock(0.0).after(s)),
        When::SinceStart(_) | When::SincePump(_) => None,
    }
}

/// The day on which the run was started, as `2026-01-15`, where a line says so.
pub fn started_on(noted: &[Noted]) -> Option<&str> {
    let (day, _) = noted.iter().find(|line| line.starts)?.time.split_once(' ')?;
    day.parse::<Date>().ok().map(|_| day)
}

/// A line of the file.
#[derive(Clone, Debug, PartialEq)]
pub struct Noted {
    /// Its time, as it was written.
    pub time: String,
    /// What was read.
    pub words: String,
    /// Whether it is the start of the run.
    pub starts: bool,
}

impl Noted {
    fn of(header: &StringRecord, record: &StringRecord) -> Self {
        let cells =
            || header.iter().map(str::trim).zip(record.iter().map(str::trim)).filter(|(_, cell)| !cell.is_empty());
        let cell = |name: &str| cells().find(|(known, _)| *known == name).map_or("", |(_, cell)| cell);
        let words =
            |(column, value): (&str, &str)| match column {
                "time" | "time_h" | "tray" => None,
                "event" => Some(
                    KINDS
                        .iter()
                        .find(|kind| kind.column == "event" && kind.event == value)
                        .map_or_else(|| value.to_string(), |kind| kind.words.to_string()),
                ),
                _ => Some(KINDS.iter().find(|kind| kind.column == column).map_or_else(
                    || format!("{column} {value}"),
                    |kind| format!("{}: {value} {}", kind.words, kind.unit),
                )),
            };
        let said: Vec<String> = cells().filter_map(words).collect();
        let tray = Some(cell("tray")).filter(|tray| !tray.is_empty()).map(|tray| format!("tray {tray}, "));
        Self {
            time: if cell("time").is_empty() { format!("{} h", cell("time_h")) } else { cell("time").into() },
            words: format!("{}{}", tray.unwrap_or_default(), said.join(", ")),
            starts: cell("event") == START.event,
        }
    }
}

/// Enters the start of the run on this day at this time.
pub fn begin(folder: &Folder, load: &Load, sheet: &str, day: &str, time: &str) -> Result<(), Failure> {
    let fields = [("reading.day", day), ("reading.time", time), ("reading.kind", &START.name())];
    let fields = fields.map(|(name, value)| (name.to_string(), value.to_string())).to_vec();
    add(folder, load, &Request { file: sheet.into(), fields, ..Request::default() })
}

/// Adds the reading in the fields at the end; nothing is written where it cannot be read again as a reading of this load.
pub fn add(folder: &Folder, load: &Load, request: &Request) -> Result<(), Failure> {
    let file = name(&request.file);
    change(folder, &request.file, |text| {
        let text = if text.trim().is_empty() { HEADER.to_string() } else { text };
        let line = line(&text, request).map_err(|reason| Failure::unfit(&file, reason))?;
        let end = if text.ends_with('\n') { "" } else { "\n" };
        let text = format!("{text}{end}{line}");
        let mut findings = Findings::default();
        read_rows(&text, load, 0.0, &mut findings);
        if findings.is_empty() {
            return Ok(text);
        }
        let problems = findings.into_problems();
        Err(Failure::BadFiles(vec![BadFile { path: file.clone().into(), text, problems }]))
    })
}

/// Takes the last reading back.
pub fn take_back(folder: &Folder, sheet: &str) -> Result<(), Failure> {
    let file = name(sheet);
    change(folder, sheet, |text| {
        let mut lines: Vec<&str> = text.lines().collect();
        if lines.len() < 2 {
            return Err(Failure::unfit(&file, "it holds no reading to take back"));
        }
        lines.pop();
        Ok(lines.iter().map(|line| format!("{line}\n")).collect())
    })
}

/// Whether the file contains more than the start of the run.
pub fn exist(folder: &Folder, sheet: &str, load: &Load) -> bool {
    let text = folder.read(&name(sheet)).unwrap_or_default();
    let mut findings = Findings::default();
    let rows = read_rows(&text, load, 0.0, &mut findings).rows;
    !rows.is_empty() || !findings.is_empty()
}

/// Replaces the file by what `with` makes of it; begun anew if somebody else was quicker.
fn change(folder: &Folder, sheet: &str, with: impl Fn(String) -> Result<String, Failure>) -> Result<(), Failure> {
    saved(folder, sheet)?;
    let file = name(sheet);
    for _ in 0..MOST_TRIES {
        let over = folder.version(&file);
        let text = if over.is_some() { folder.read(&file)? } else { String::new() };
        match folder.write(&file, &with(text)?, over.as_deref()) {
            Err(Failure::Changed { .. } | Failure::Exists { .. }) => {}
            done => return done.map(drop),
        }
    }
    Err(Failure::Changed { path: file.into() })
}

/// How often a change is begun anew.
const MOST_TRIES: usize = 8;

/// A reading as a line under the header of a file; the error says why it cannot be one.
fn line(text: &str, request: &Request) -> Result<String, String> {
    let [entered_time, kind, tray, value] =
        ["time", "kind", "tray", "value"].map(|field| request.field(&format!("reading.{field}")));
    let header = ReaderBuilder::new().comment(Some(b'#')).from_reader(text.as_bytes()).headers().cloned();
    let header: StringRecord = header.map_err(|e| e.to_string())?;
    let time = if header.iter().any(|column| column.trim() == "time") { "time" } else { "time_h" };
    let needed = "a reading needs its time, what was read, and the number";
    let kind = KINDS.into_iter().find(|known| known.name() == kind).ok_or(needed)?;
    let value = if kind.event.is_empty() { plain_number(value)? } else { kind.event.to_string() };
    if value.is_empty() || entered_time.is_empty() {
        return Err(needed.into());
    }
    // where the start has a day, readings have one too, so that a run may take days
    let day = request.field("reading.day");
    let dated = !day.is_empty() && (kind == START || started_on(&noted_in(text)).is_some());
    let entered_time = &match Clock::read(entered_time) {
        Ok(_) if dated => format!("{day} {entered_time}"),
        _ => entered_time.to_string(),
    };
    let (column, tray) = (kind.column, if kind.of_tray { tray } else { "" });
    let tray_cell = formula::neutral(tray);
    let tray = (!tray.is_empty()).then_some(("tray", &*tray_cell));
    let cells: Vec<(&str, &str)> =
        [(time, entered_time.as_str()), (column, value.as_str())].into_iter().chain(tray).collect();
    if let Some((_, cell)) = cells.iter().find(|(_, cell)| cell.contains(char::is_control)) {
        return Err(format!("`{}` is more than one line of text", cell.escape_debug()));
    }
    if let Some((missing, _)) = cells.iter().find(|(column, _)| !header.iter().any(|known| known.trim() == *column)) {
        return Err(format!("its first line has no column `{missing}`; add it there by hand"));
    }
    let cell = |known: &str| cells.iter().find(|(column, _)| known.trim() == *column).map_or("", |(_, value)| *value);
    let mut writer = WriterBuilder::new().has_headers(false).from_writer(Vec::new());
    writer.write_record(header.iter().map(cell)).map_err(|e| e.to_string())?;
    let bytes = writer.into_inner().map_err(|e| e.to_string())?;
    String::from_utf8(bytes).map_err(|e| e.to_string())
}

/// A number as it is written into a cell, with a decimal point; a spreadsheet takes a leading `+` for a formula.
fn plain_number(typed: &str) -> Result<String, String> {
    let number = joined(typed, None);
    if !number.is_empty() && number.parse::<f64>().is_err() {
        let typed = typed.escape_debug();
        return Err(format!("`{typed}` is not a number; write digits and a decimal point, such as 120.5"));
    }
    Ok(number.strip_prefix('+').map_or(number.clone(), String::from))
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::path::Path;

    use icefront_kitchen::sheet;
    use icefront_kitchen::storage::Memory;

    const SHEET: &str = "icefront = 1\ndryer = \"0.36 m2\"\n[[tray]]\nname = \"=1+1\"\nfood = \"cooked rice\"\n\
        shape = \"layer\"\ndepth = \"8 mm\"\n";

    fn entered(sheet: &str, time: &str, kind: &str, tray: &str, value: &str) -> Request {
        let fields = [("time", time), ("kind", kind), ("tray", tray), ("value", value)];
        let fields = fields.map(|(name, value)| (format!("reading.{name}"), value.to_string())).to_vec();
        Request { file: sheet.into(), fields, ..Request::default() }
    }

    fn load() -> Load {
        sheet::read(&sheet::Text { path: "a.toml".into(), text: SHEET.into() }, &Memory::default()).unwrap().load
    }

    /// A folder with a sheet in it.
    fn folder() -> Folder {
        Folder::new(Path::new(""), Memory::of(&[("a.toml", SHEET)]))
    }

    #[test]
    fn a_run_may_take_days() {
        let folder = folder();
        begin(&folder, &load(), "a.toml", "2026-01-15", "18:00").unwrap();
        let gauge = KINDS.iter().find(|kind| kind.column == "pressure_Pa").unwrap().name();
        let mut request = entered("a.toml", "21:30", &gauge, "", "80");
        request.fields.push(("reading.day".into(), "2026-01-16".into()));
        add(&folder, &load(), &request).unwrap();
        let noted = noted(&folder, "a.toml");
        assert_eq!(started_on(&noted), Some("2026-01-15"));
        assert_eq!(started(&noted), Some(Clock(18.0 * 3600.0)));
        let text = folder.read(&name("a.toml")).unwrap();
        let rows = read_rows(&text, &load(), 0.0, &mut Findings::default()).rows;
        let hours: Vec<f64> = rows.iter().map(|row| row.time_s / 3600.0).collect();
        assert_eq!(hours, [27.5], "{text}");
    }

    #[test]
    fn readings_are_lines_at_the_end_and_can_be_taken_back() {
        let (folder, load) = (folder(), load());
        let add = |time, kind, tray, value| super::add(&folder, &load, &entered("a.toml", time, kind, tray, value));
        add("18:00", "event:started", "", "").unwrap();
        assert!(!exist(&folder, "a.toml", &load), "a start alone says nothing");
        add("22:30", "energy_kWh", "", "+3.1").unwrap();
        assert!(exist(&folder, "a.toml", &load));
        add("22:40", "weight_g", "=1+1", "640").unwrap();
        let lines = || folder.read("a.readings.csv").unwrap().lines().map(str::to_string).collect::<Vec<_>>();
        assert_eq!(
            lines()[1..],
            ["18:00,started,,,,,,,,", "22:30,,,,,,,,3.1,", "22:40,,'=1+1,640,,,,,,"],
            "no cell is a formula"
        );
        let noted = noted(&folder, "a.toml");
        let words: Vec<&str> = noted.iter().map(|line| line.words.as_str()).collect();
        let weighed = "tray '=1+1, food on a tray, weighed: 640 g";
        assert_eq!(words, ["machine switched on", "plug meter since the start: 3.1 kWh", weighed]);
        assert_eq!(started(&noted), Some(Clock(18.0 * 3600.0)));
        take_back(&folder, "a.toml").unwrap();
        assert_eq!(lines().len(), 3);
        for left in [2, 1] {
            take_back(&folder, "a.toml").unwrap();
            assert_eq!(lines().len(), left);
        }
        assert!(take_back(&folder, "a.toml").unwrap_err().to_string().contains("no reading to take back"));
        assert_eq!(lines().len(), 1, "the header stays");
    }

    #[test]
    fn a_bad_reading_is_refused_and_never_written() {
        let (folder, load) = (folder(), load());
        let add = |time, kind, tray, value| super::add(&folder, &load, &entered("a.toml", time, kind, tray, value));
        assert!(add("22:30", "energy_kWh", "", "3.1").unwrap_err().to_string().contains("when did the run start?"));
        assert!(folder.read("a.readings.csv").is_err(), "no file was begun");
        add("18:00", "event:started", "", "").unwrap();
        let before = folder.read("a.readings.csv").unwrap();
        for (time, kind, tray, value, words) in [
            ("25:99", "energy_kWh", "", "3", "time cannot be read"),
            ("19:00", "weight_g", "77", "640", "no tray `77`"),
            ("19:00", "weight_g", "", "640", "needs a tray"),
            ("19:00", "weight_g", "1", "1,205", "`1,205` is not a number"),
            ("19:00", "weight_g", "1", "=1+1", "is not a number"),
            ("19:00", "weight_g", "1", "-cmd", "is not a number"),
            ("19:00", "weight_g", "1", "\u{ff1d}1", "is not a number"),
            ("19:00", "energy_kWh", "", "\"3", "is not a number"),
            ("19:00", "energy_kWh", "", "NaN", "cannot be used"),
            ("19:00", "weight_g", "1\n2", "640", "more than one line"),
            ("19:\n00", "energy_kWh", "", "3", "more than one line"),
            ("=19:00", "energy_kWh", "", "3", "time cannot be read"),
            ("19:00", "rm -rf", "", "3", "needs its time"),
            ("19:00", "energy_kWh", "", "", "needs its time"),
        ] {
            let refused = add(time, kind, tray, value).unwrap_err().to_string();
            assert!(refused.contains(words), "{time} {kind} {tray} {value}: {refused}");
            assert_eq!(folder.read("a.readings.csv").unwrap(), before, "{time} {kind} {tray} {value}");
        }
        add("19:00", "product_C", "1", "-18").unwrap();
    }

    #[test]
    fn a_sheet_that_is_not_in_the_folder_gets_no_readings() {
        let (folder, load) = (folder(), load());
        for sheet in ["", "b.toml", "../a.toml"] {
            let refused = add(&folder, &load, &entered(sheet, "18:00", "event:started", "", ""));
            assert!(refused.unwrap_err().to_string().contains("save the sheet first"), "{sheet}");
            assert!(take_back(&folder, sheet).is_err(), "{sheet}");
        }
        assert_eq!(folder.files().names(Path::new("")), ["a.toml"], "no file was begun");
        assert!(take_back(&folder, "a.toml").is_err(), "nothing to take back");
        assert_eq!(folder.files().names(Path::new("")), ["a.toml"], "and still none");
    }

    #[test]
    fn a_file_begun_by_hand_keeps_its_columns() {
        let text = "# mine\ntime_h,tray,weight_g\n0,1,900\n";
        let line = |entered| line(text, &entered);
        assert_eq!(line(entered("a.toml", "5", "weight_g", "1", "700")).unwrap(), "5,1,700\n");
        assert!(line(entered("a.toml", "5", "energy_kWh", "", "3")).unwrap_err().contains("no column `energy_kWh`"));
        assert!(line(entered("a.toml", "5", "rm -rf", "", "3")).is_err());
    }
}
