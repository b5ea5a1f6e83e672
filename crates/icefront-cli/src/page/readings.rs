//! Readings of a run, kept beside its sheet: `load.toml` has `load.readings.csv`, which `icefront update` reads too. A
//! reading entered on the page is a line added at its end; lines of others stay.

use std::path::PathBuf;

use csv::{ReaderBuilder, StringRecord, WriterBuilder};

use super::asked::Asked;
use super::files::{Folder, Over};
use crate::failure::Failure;
use crate::formula;

/// Ending of the file, after the sheet's name without its own.
pub const ENDING: &str = ".readings.csv";
/// Columns of a file that the page begins.
const COLUMNS: [&str; 10] = [
    "time",
    "event",
    "tray",
    "weight_g",
    "water_lost_g",
    "product_C",
    "shelf_C",
    "pressure_Pa",
    "energy_kWh",
    "rise_Pa_per_min",
];

/// What can be entered: column (or event, before a colon) and words.
pub const KINDS: [(&str, &str); 10] = [
    ("event:started", "the machine was switched on"),
    ("event:pump started", "the pump was started"),
    ("event:finished", "the run was ended"),
    ("energy_kWh", "plug meter since the start, kWh"),
    ("water_lost_g", "water a tray has lost, g"),
    ("weight_g", "food on a tray, g"),
    ("shelf_C", "shelf under a tray, C"),
    ("product_C", "probe in the coldest part of the food, C"),
    ("pressure_Pa", "pressure gauge, Pa"),
    ("rise_Pa_per_min", "pressure rise with the valve closed, Pa per minute"),
];

/// What the fields of a reading hold.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Entered {
    /// Clock, or hours since the start.
    pub time: String,
    /// One of [`KINDS`].
    pub kind: String,
    /// Tray by number or name.
    pub tray: String,
    /// What was read.
    pub value: String,
}

impl Entered {
    /// As it was sent.
    pub fn of(asked: &Asked) -> Self {
        let field = |name: &str| asked.field(name).to_string();
        Self {
            time: field("reading.time"),
            kind: field("reading.kind"),
            tray: field("reading.tray"),
            value: field("reading.value"),
        }
    }
}

/// The name of the file beside a sheet.
pub fn name(sheet: &str) -> String {
    format!("{}{ENDING}", sheet.strip_suffix(".toml").unwrap_or(sheet))
}

/// Name and place of the file beside a sheet, read once as a file of the folder, which no link is.
pub fn place(folder: &Folder, sheet: &str) -> Result<(String, PathBuf), Failure> {
    saved(sheet)?;
    let name = name(sheet);
    folder.read_table(&name)?;
    let path = folder.path().join(&name);
    Ok((name, path))
}

/// Readings need a sheet that is kept.
fn saved(sheet: &str) -> Result<(), Failure> {
    if sheet.is_empty() {
        let reason = "save the sheet first: its readings are kept beside it".to_string();
        return Err(Failure::Unfit { path: "load.toml".into(), reason });
    }
    Ok(())
}

/// Lines so far; none where the file is not there.
pub fn lines(folder: &Folder, sheet: &str) -> Vec<String> {
    let text = folder.read_table(&name(sheet)).unwrap_or_default();
    text.lines().map(str::to_string).collect()
}

/// Adds a reading at the end.
pub fn add(folder: &Folder, sheet: &str, entered: &Entered) -> Result<(), Failure> {
    change(folder, sheet, |text| {
        let text = if text.trim().is_empty() { format!("{}\n", COLUMNS.join(",")) } else { text };
        let line = line(&text, entered).map_err(|reason| Failure::Unfit { path: name(sheet).into(), reason })?;
        let end = if text.ends_with('\n') { "" } else { "\n" };
        Ok(format!("{text}{end}{line}"))
    })
}

/// Takes the last reading back.
pub fn take_back(folder: &Folder, sheet: &str) -> Result<(), Failure> {
    change(folder, sheet, |text| {
        let mut lines: Vec<&str> = text.lines().collect();
        if lines.len() > 1 {
            lines.pop();
        }
        Ok(lines.iter().map(|line| format!("{line}\n")).collect())
    })
}

/// Replaces the file by what `with` makes of it; begun anew if somebody else was quicker.
fn change(folder: &Folder, sheet: &str, with: impl Fn(String) -> Result<String, Failure>) -> Result<(), Failure> {
    saved(sheet)?;
    let file = name(sheet);
    for _ in 0..MOST_TRIES {
        let (text, over) = match folder.version_of_table(&file) {
            Some(version) => (folder.read_table(&file)?, Over::Version(version)),
            None => (String::new(), Over::Nothing),
        };
        match folder.save_table(&file, &with(text)?, &over) {
            Err(Failure::Changed { .. } | Failure::Exists { .. }) => {}
            done => return done.map(drop),
        }
    }
    Err(Failure::Changed { path: file.into() })
}

/// How often a change is begun anew.
const MOST_TRIES: usize = 8;

/// A reading as a line under the header of a file; the error says why it cannot be one.
fn line(text: &str, entered: &Entered) -> Result<String, String> {
    let header = ReaderBuilder::new().comment(Some(b'#')).from_reader(text.as_bytes()).headers().cloned();
    let header: StringRecord = header.map_err(|e| e.to_string())?;
    let time = if header.iter().any(|column| column.trim() == "time") { "time" } else { "time_h" };
    let (column, value) = match entered.kind.split_once(':') {
        Some((column, event)) => (column, event),
        None => (entered.kind.as_str(), entered.value.as_str()),
    };
    if !KINDS.iter().any(|(kind, _)| *kind == entered.kind) || value.is_empty() || entered.time.is_empty() {
        return Err("a reading needs its time, what was read, and the number".into());
    }
    let tray = formula::neutral(&entered.tray);
    let tray = if entered.tray.is_empty() { None } else { Some(("tray", &*tray)) };
    let cells = [(time, entered.time.as_str()), (column, value)].into_iter().chain(tray);
    let cells: Vec<(&str, &str)> = cells.collect();
    if let Some((missing, _)) = cells.iter().find(|(column, _)| !header.iter().any(|known| known.trim() == *column)) {
        return Err(format!("its first line has no column `{missing}`; add it there by hand"));
    }
    let cell = |known: &str| cells.iter().find(|(column, _)| known.trim() == *column).map_or("", |(_, value)| *value);
    let mut writer = WriterBuilder::new().has_headers(false).from_writer(Vec::new());
    writer.write_record(header.iter().map(cell)).map_err(|e| e.to_string())?;
    let bytes = writer.into_inner().map_err(|e| e.to_string())?;
    String::from_utf8(bytes).map_err(|e| e.to_string())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn entered(time: &str, kind: &str, tray: &str, value: &str) -> Entered {
        Entered { time: time.into(), kind: kind.into(), tray: tray.into(), value: value.into() }
    }

    #[test]
    fn readings_are_lines_at_the_end_and_can_be_taken_back() {
        let temporary = tempfile::tempdir().unwrap();
        let folder = Folder::new(temporary.path());
        add(&folder, "a.toml", &entered("18:00", "event:started", "", "")).unwrap();
        add(&folder, "a.toml", &entered("22:30", "energy_kWh", "", "3.1")).unwrap();
        add(&folder, "a.toml", &entered("22:40", "weight_g", "tray, \"1\"", "640")).unwrap();
        let lines = lines(&folder, "a.toml");
        assert_eq!(lines[1..], ["18:00,started,,,,,,,,", "22:30,,,,,,,,3.1,", "22:40,,\"tray, \"\"1\"\"\",640,,,,,,"]);
        take_back(&folder, "a.toml").unwrap();
        add(&folder, "a.toml", &entered("22:40", "weight_g", "=1+1", "640")).unwrap();
        assert_eq!(super::lines(&folder, "a.toml")[3], "22:40,,'=1+1,640,,,,,,");
        take_back(&folder, "a.toml").unwrap();
        assert_eq!(super::lines(&folder, "a.toml").len(), 3);
        for _ in 0..5 {
            take_back(&folder, "a.toml").unwrap();
        }
        assert_eq!(super::lines(&folder, "a.toml").len(), 1, "the header stays");
    }

    #[test]
    fn a_file_begun_by_hand_keeps_its_columns() {
        let text = "# mine\ntime_h,tray,weight_g\n0,1,900\n";
        assert_eq!(line(text, &entered("5", "weight_g", "1", "700")).unwrap(), "5,1,700\n");
        assert!(line(text, &entered("5", "energy_kWh", "", "3")).unwrap_err().contains("no column `energy_kWh`"));
        assert!(line(text, &entered("5", "rm -rf", "", "3")).is_err());
        assert!(add(&Folder::new(std::path::Path::new("")), "", &entered("5", "weight_g", "1", "1")).is_err());
    }
}
