//! The results ledger: what icefront answers on a fixed corpus of sheets and calls, a line each. A change of results shows
//! up as a difference of `tests/ledger/sheets.csv` and `calls.csv`, which
//! `ICEFRONT_LEDGER=write cargo test -p icefront-cli --test program ledger` rewrites. More in `tests/ledger/README.md`.

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::{Path, PathBuf};

use serde_json::Value;

use crate::answers::unnamed;
use crate::program::run;

/// Draws of each sheet: few, for the ledger is to be quick; enough that every random input counts.
const DRAWS: &str = "16";
/// Significant digits of a number in the ledger.
const DIGITS: usize = 4;
/// A number of the ledger stands while the new one rounds to it, with this much room (a share of its last digit) so that
/// the last bits of a computation, which differ between machines, do not flip it.
const ROOM: f64 = 0.002;

fn top() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../..")
}

fn corpus(name: &str) -> Vec<Value> {
    let text = fs::read_to_string(top().join("tests/ledger").join(name)).unwrap();
    text.lines().map(|line| serde_json::from_str(line).unwrap_or_else(|e| panic!("{name}: {e}: {line}"))).collect()
}

fn id(value: &Value) -> &str {
    value["id"].as_str().unwrap()
}

/// The folder in which the calls run: dryers, readings, nights, and every sheet as ID.toml.
fn kitchen(sheets: &[Value]) -> tempfile::TempDir {
    let folder = tempfile::tempdir().unwrap();
    for source in ["tests/ledger/kitchen", "data/weather"] {
        for file in fs::read_dir(top().join(source)).unwrap() {
            let file = file.unwrap();
            fs::copy(file.path(), folder.path().join(file.file_name())).unwrap();
        }
    }
    for sheet in sheets {
        let mut keys = sheet.as_object().unwrap().clone();
        keys.remove("id");
        fs::write(folder.path().join(format!("{}.toml", id(sheet))), toml::to_string(&keys).unwrap()).unwrap();
    }
    folder
}

/// A cell of the ledger.
#[derive(Debug)]
enum Cell {
    Number(f64),
    Text(String),
}

impl Cell {
    /// A number, a word, or nothing.
    fn of(value: &Value) -> Self {
        match value {
            Value::Number(number) => Self::Number(number.as_f64().unwrap()),
            Value::String(text) => Self::text(text),
            Value::Null => Self::text(""),
            other => Self::text(&other.to_string()),
        }
    }

    fn text(text: &str) -> Self {
        Self::Text(text.to_string())
    }

    /// As it is written; what stood there stays where it is still right.
    fn written(&self, before: Option<&str>) -> String {
        match (self, before.map(|text| (text, text.parse::<f64>()))) {
            (Self::Text(text), _) => text.clone(),
            (Self::Number(value), Some((text, Ok(stood)))) if rounds_to(*value, stood) => text.to_string(),
            (Self::Number(value), _) => figure(*value).to_string(),
        }
    }
}

/// A number with as many digits as the ledger keeps.
fn figure(value: f64) -> f64 {
    format!("{value:.*e}", DIGITS - 1).parse().unwrap()
}

fn rounds_to(value: f64, figure: f64) -> bool {
    let last_digit = 10f64.powf(figure.abs().log10().floor() + 1.0 - DIGITS as f64);
    value == figure || (value - figure).abs() <= (0.5 + ROOM) * last_digit
}

/// Titles of what a message finds wrong.
fn titles(message: &str) -> Cell {
    let titles: Vec<&str> = message.lines().filter_map(|line| line.strip_prefix("error: ")).collect();
    Cell::Text(if titles.is_empty() { message.lines().next().unwrap_or("").into() } else { titles.join("; ") })
}

const SHEETS: [&str; 10] = [
    "sheet",
    "ready_low_h",
    "ready_median_h",
    "ready_high_h",
    "last_tray",
    "energy_kwh",
    "cost",
    "flags",
    "chances",
    "refused",
];

/// One line about the answer to a sheet.
fn about_sheet(line: &Value) -> Vec<Cell> {
    let name = Cell::text(id(line));
    let Some(answer) = line.get("answer") else {
        let empty = (1..SHEETS.len() - 1).map(|_| Cell::text(""));
        return [name].into_iter().chain(empty).chain([titles(line["error"].as_str().unwrap())]).collect();
    };
    let at = |path: &str| Cell::of(answer.pointer(path).unwrap_or_else(|| panic!("{}: no {path}", id(line))));
    let trays = answer["trays"].as_array().unwrap();
    let dry = |tray: &Value| tray["dry_at_h"]["median"].as_f64().unwrap_or(f64::INFINITY);
    let last = (0..trays.len()).rev().max_by(|a, b| dry(&trays[*a]).total_cmp(&dry(&trays[*b]))).unwrap();
    let flags: BTreeSet<&str> =
        trays.iter().flat_map(|tray| tray["flags"].as_array().unwrap()).map(|flag| flag.as_str().unwrap()).collect();
    let chances: BTreeMap<&String, &Value> = answer["range"]["chance"].as_object().unwrap().iter().collect();
    let chances = chances.iter().filter(|(_, chance)| chance.as_f64() != Some(0.0));
    let chances: Vec<String> = chances.map(|(what, chance)| format!("{what} {chance}")).collect();
    vec![
        name,
        at("/time_h/food_ready/low"),
        at("/time_h/food_ready/median"),
        at("/time_h/food_ready/high"),
        Cell::Text((last + 1).to_string()),
        at("/energy_kwh/total/median"),
        at("/cost/median"),
        Cell::Text(flags.into_iter().collect::<Vec<_>>().join(" ")),
        Cell::Text(chances.join(", ")),
        Cell::text(""),
    ]
}

const CALLS: [&str; 3] = ["call", "what", "value"];

/// What a call answers at the places it names, a line each.
fn about_call(call: &Value, folder: &Path) -> Vec<Vec<Cell>> {
    let arguments: Vec<&str> = call["run"].as_array().unwrap().iter().map(|word| word.as_str().unwrap()).collect();
    let output = run(folder, &arguments);
    let row = |what: &str, value: Cell| vec![Cell::text(id(call)), Cell::text(what), value];
    if !output.status.success() {
        let message = String::from_utf8_lossy(&output.stderr);
        let as_json =
            serde_json::from_str::<Value>(&message).ok().and_then(|json| json["error"].as_str().map(Cell::text));
        return vec![row("refused", as_json.unwrap_or_else(|| titles(&message)))];
    }
    let places = call["show"].as_array().unwrap();
    let command = match arguments[..] {
        ["store", action, ..] => format!("store {action}"),
        [command, ..] => command.to_string(),
        [] => String::new(),
    };
    if let Ok(answer) = serde_json::from_slice::<Value>(&output.stdout) {
        assert_eq!(unnamed(&command, &answer), [""; 0], "{}: docs/json.md does not name these", id(call));
    }
    if places.is_empty() {
        return vec![row("done", Cell::text(""))];
    }
    let answer: Value = serde_json::from_slice(&output.stdout).unwrap_or_else(|e| panic!("{}: {e}", id(call)));
    let place = |place: &Value| {
        let path = place.as_str().unwrap();
        let value = answer.pointer(path).unwrap_or_else(|| panic!("{}: the answer has no {path}", id(call)));
        row(path, Cell::of(value))
    };
    places.iter().map(place).collect()
}

/// Compares a table with the ledger, or writes it there; what differs, a line each.
fn differences(name: &str, header: &[&str], keys: usize, rows: &[Vec<Cell>]) -> Vec<String> {
    let path = top().join("tests/ledger").join(name);
    let mut before = BTreeMap::new();
    if let Ok(mut table) = csv::Reader::from_path(&path) {
        for row in table.records() {
            let row: Vec<String> = row.unwrap().iter().map(str::to_string).collect();
            assert!(before.insert(row[..keys].to_vec(), row).is_none(), "{name}: a line stands twice");
        }
    }
    let key = |row: &[Cell]| row[..keys].iter().map(|cell| cell.written(None)).collect::<Vec<_>>();
    let written: Vec<Vec<String>> = rows
        .iter()
        .map(|row| {
            let old = before.get(&key(row));
            row.iter().enumerate().map(|(i, cell)| cell.written(old.map(|old| old[i].as_str()))).collect()
        })
        .collect();
    let mut told = Vec::new();
    for row in &written {
        match before.remove(&row[..keys]) {
            Some(old) if old == *row => {}
            Some(old) => told.push(format!("{name}\n  - {}\n  + {}", old.join(","), row.join(","))),
            None => told.push(format!("{name}\n  + {}", row.join(","))),
        }
    }
    told.extend(before.values().map(|old| format!("{name}\n  - {}", old.join(","))));
    if std::env::var_os("ICEFRONT_LEDGER").is_some_and(|wish| wish == "write") {
        let mut table = csv::Writer::from_path(&path).unwrap();
        table.write_record(header).unwrap();
        written.iter().for_each(|row| table.write_record(row).unwrap());
        table.flush().unwrap();
        told.clear();
    }
    told
}

#[test]
fn results_are_those_of_the_ledger() {
    let sheets = corpus("sheets.jsonl");
    let folder = kitchen(&sheets);
    // calls first, in their order: some write files that later ones and some sheets read
    let calls: Vec<Vec<Cell>> = corpus("calls.jsonl").iter().flat_map(|call| about_call(call, folder.path())).collect();
    fs::copy(top().join("tests/ledger/sheets.jsonl"), folder.path().join("sheets.jsonl")).unwrap();
    let output = run(folder.path(), &["sweep", "sheets.jsonl", "--draws", DRAWS]);
    assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
    let answers = String::from_utf8(output.stdout).unwrap();
    let answers: Vec<Vec<Cell>> =
        answers.lines().map(|line| about_sheet(&serde_json::from_str(line).unwrap())).collect();
    assert_eq!(answers.len(), sheets.len());

    let mut told = differences("sheets.csv", &SHEETS, 1, &answers);
    told.extend(differences("calls.csv", &CALLS, 2, &calls));
    assert!(
        told.is_empty(),
        "{} lines of the ledger differ. If that is meant: ICEFRONT_LEDGER=write cargo test -p icefront-cli --test \
         program ledger, and say in the commit what changed.\n{}",
        told.len(),
        told.join("\n")
    );
}

#[test]
fn a_number_of_the_ledger_stands_while_it_is_right() {
    let written = |value: f64, before: &str| Cell::Number(value).written(Some(before));
    assert_eq!(written(9.43349, "9.433"), "9.433");
    assert_eq!(written(9.433_500_9, "9.433"), "9.433", "a last bit does not flip it");
    assert_eq!(written(9.4336, "9.433"), "9.434");
    assert_eq!(written(-0.0, "0"), "0");
    assert_eq!(written(31_557_600.0, ""), "31560000");
    assert_eq!(written(3.6037e-9, "gone"), "0.000000003604");
}

/// Keys of every table of a document, and words that a key of type `text` allows.
fn documented(text: &str) -> BTreeSet<String> {
    let plain = |word: &&str| word.chars().all(|c| c.is_ascii_lowercase() || c.is_ascii_digit() || "_ ".contains(c));
    let is_command = |word: &&str| word.starts_with("icefront ");
    let quoted = |cell: &str| {
        let words = cell.split('`').skip(1).step_by(2).filter(|word| plain(word) && !is_command(word));
        words.map(str::to_string).collect::<Vec<_>>()
    };
    let mut all = BTreeSet::new();
    for line in text.lines().filter(|line| line.starts_with("| `")) {
        let cells: Vec<&str> = line.split('|').map(str::trim).collect();
        all.extend(quoted(cells[1]));
        if cells[2] == "text" {
            all.extend(quoted(cells[3]));
        }
    }
    all
}

fn words(value: &toml::Value, all: &mut BTreeSet<String>) {
    match value {
        toml::Value::Table(table) => table.iter().for_each(|(key, value)| {
            all.insert(key.clone());
            words(value, all);
        }),
        toml::Value::Array(list) => list.iter().for_each(|value| words(value, all)),
        toml::Value::String(text) => {
            all.insert(text.clone());
        }
        _ => {}
    }
}

#[test]
fn the_corpus_holds_every_key_and_word_of_sheets_and_dryers() {
    let document = fs::read_to_string(top().join("docs/load-sheet.md")).unwrap();
    let sheets = corpus("sheets.jsonl");
    let folder = kitchen(&sheets);
    let mut held = BTreeSet::new();
    for file in fs::read_dir(folder.path()).unwrap() {
        let path = file.unwrap().path();
        // a dryer that batches taught is written by a call
        if path.extension().is_some_and(|e| e == "toml") && !path.to_string_lossy().contains("refused") {
            words(&toml::from_str(&fs::read_to_string(&path).unwrap()).unwrap(), &mut held);
        }
    }
    held.extend(
        ["learned", "model", "from", "history", "unknown", "best", "draws", "model_error", "model_error_log"]
            .map(str::to_string),
    );
    let missing: Vec<String> = documented(&document).difference(&held).cloned().collect();
    assert!(missing.is_empty(), "no accepted sheet or dryer of the ledger holds {missing:?}");
    let ids: BTreeSet<&str> = sheets.iter().map(id).collect();
    assert_eq!(ids.len(), sheets.len(), "an id stands twice");
}
