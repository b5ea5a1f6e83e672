//! The schema against itself, the documentation and the JSON Schemas.
//! `ICEFRONT_DOCS=write cargo test -p icefront-kitchen --lib schema` rewrites the latter two.

use std::fs;
use std::path::{Path, PathBuf};

use icefront_core::load::{Load, Tray};

use super::dryer::DRYER;
use super::load::{LOAD, TRAY};
use super::text::{Columns, Topic, keys};
use super::{Key, Table, Value, json};
use crate::Sheet;
use crate::quantity::{self, Kind, Limit};
use crate::storage::Memory;

fn docs() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../../docs")
}

/// Compares a generated text with a file, or writes it there.
fn check(file: &str, generated: &str) {
    let path = docs().join(file);
    if std::env::var_os("ICEFRONT_DOCS").is_some_and(|wish| wish == "write") {
        fs::write(&path, generated).unwrap();
    }
    let differs = fs::read_to_string(&path).unwrap().lines().zip(generated.lines()).position(|(a, b)| a != b);
    assert!(
        fs::read_to_string(&path).unwrap() == generated,
        "docs/{file} is not what the schema says (line {:?}): ICEFRONT_DOCS=write cargo test -p icefront-kitchen --lib \
         schema",
        differs.map(|line| line + 1)
    );
}

/// All keys under a table, each with its place, such as `tray.depth`.
fn all(place: &str, table: &'static Table) -> Vec<(String, &'static Key)> {
    let own = table.keys.iter().chain(table.any).flat_map(|key| {
        let place = format!("{place}.{}", key.name);
        let inner = match key.value {
            Value::Table(inner) | Value::List(inner) | Value::QuantityOr(_, inner) => all(&place, inner),
            _ => Vec::new(),
        };
        [(place, key)].into_iter().chain(inner)
    });
    own.collect()
}

fn every_key() -> Vec<(String, &'static Key)> {
    [all("sheet", &LOAD), all("dryer", &DRYER)].concat()
}

#[test]
fn every_range_is_what_its_words_say() {
    let si = |kind: Kind, text: &str| match kind {
        Kind::Number => text.split_whitespace().next().unwrap().trim_end_matches(',').parse().unwrap(),
        _ => Limit::new(kind, f64::MIN, f64::MAX, "any").read_text(text).unwrap(),
    };
    let fixed = [quantity::AMOUNT, quantity::MEASURE].into_iter().map(|limit| ("amount".to_string(), limit));
    let of_keys = every_key().into_iter().filter_map(|(place, key)| Some((place, key.limit()?)));
    for (place, limit) in of_keys.chain(fixed) {
        let (low, high) = limit.words.split_once(" to ").unwrap_or_else(|| panic!("{place}: {}", limit.words));
        for (said, bound) in [(si(limit.kind, low), limit.low), (si(limit.kind, high), limit.high)] {
            assert!((said - bound).abs() <= 1e-12 * bound.abs(), "{place}: {} against {bound}", limit.words);
        }
    }
}

#[test]
fn every_example_can_be_used_and_every_choice_is_one() {
    for (place, key) in every_key() {
        if key.limit().is_some() && !key.example.is_empty() {
            assert!(key.example_si().is_finite(), "{place}: {}", key.example);
        }
        let is_table = matches!(key.value, Value::Table(_) | Value::List(_));
        let says = key.required || !key.otherwise.is_empty() || !key.example.is_empty();
        assert!(
            says || is_table || place.contains(".expert.") || key.name.is_empty(),
            "{place}: what if it is missing?"
        );
        if let Value::Table(table) | Value::List(table) | Value::QuantityOr(_, table) = key.value {
            let words: Vec<&str> = table.words(table.choice).iter().map(|(word, _)| *word).collect();
            for (row, with) in table.keys.iter().flat_map(|row| row.with.iter().map(move |with| (row, with))) {
                assert!(words.contains(with), "{place}.{}: {with}", row.name);
            }
        }
    }
    let coverage = TRAY.row("coverage", None).map(Key::example_si);
    assert_eq!(coverage, Some(icefront_core::shape::LOOSE_COVERAGE));
}

/// A table of the documentation: a line for each row.
fn table(table: &Table) -> String {
    let mut lines =
        vec!["| key | type | allowed | default | what it is |".to_string(), "| --- | --- | --- | --- | --- |".into()];
    lines.extend(table.keys.iter().map(|key| {
        let Columns { kind, allowed, default, about } = Columns::of(key);
        format!("| `{}` | {kind} | {allowed} | {default} | {about} |", key.name)
    }));
    lines.join("\n").replace("|  |", "| |")
}

/// The table at a place such as `tray.embedded`; of a table of the user's own names, what stands under them.
fn at(root: &'static Table, place: &str) -> &'static Table {
    let inner = |table: &'static Table, key: &str| table.inner(key).unwrap_or_else(|| panic!("no table {place}"));
    let table = place.split('.').filter(|key| !key.is_empty()).fold(root, inner);
    table.any.and_then(|_| table.inner("")).unwrap_or(table)
}

#[test]
fn the_document_has_every_key() {
    let text = fs::read_to_string(docs().join("load-sheet.md")).unwrap();
    let (mut generated, mut rest, mut count) = (String::new(), text.as_str(), 0);
    let (begin, end) = ("<!-- keys of ", "<!-- end of keys -->");
    while let Some((before, after)) = rest.split_once(begin) {
        let (place, after) = after.split_once(" -->").unwrap();
        let (_, after) = after.split_once(end).unwrap();
        let (file, place) = place.split_once(' ').unwrap_or((place, ""));
        let of = at(if file == "dryer" { &DRYER } else { &LOAD }, place);
        count += of.keys.len();
        let name = [file, place].join(" ");
        generated += &format!("{before}{begin}{} -->\n{}\n{end}", name.trim_end(), table(of));
        rest = after;
    }
    check("load-sheet.md", &(generated + rest));
    // the same table may hang at several places
    let mut seen: Vec<*const Key> = every_key().iter().map(|(_, key)| std::ptr::from_ref(*key)).collect();
    seen.sort_unstable();
    seen.dedup();
    let nameless = every_key().iter().filter(|(_, key)| key.name.is_empty()).count();
    assert_eq!(count, seen.len() - nameless, "a table of the schema has no place in docs/load-sheet.md, or two");
}

#[test]
fn the_json_schemas_are_those_of_the_table() {
    check(json::LOAD_FILE, &json::load());
    check(json::DRYER_FILE, &json::dryer());
}

/// A table of a sheet with a word of its choice, examples for what it requires, and one key at a value.
fn lines(table: &Table, word: &str, key: &Key, value: &str) -> String {
    let needed = |row: &&Key| row.required && row.goes_with(word) && row.name != key.name && !row.example.is_empty();
    let mut lines: Vec<String> =
        table.keys.iter().filter(needed).map(|row| row.line(&row.written(row.example))).collect();
    if !table.choice.is_empty() {
        lines.push(format!("{} = \"{word}\"\n", table.choice));
    }
    lines.concat() + &key.line(value)
}

impl Key {
    fn line(&self, value: &str) -> String {
        format!("{} = {value}\n", self.name)
    }
}

/// Limits of the model are as wide as those of a sheet, or wider: both ends of each range are followed.
#[test]
fn the_model_takes_what_a_sheet_may_say() {
    let tray = "[[tray]]\nfood = \"apples, raw, without skin\"\nshape = \"layer\"\ndepth = \"12 mm\"\n";
    let dryer = "icefront = 1\ndryer = \"0.60 m2\"\n";
    let (mut read, mut refused) = (0, Vec::new());
    for (header, table) in [
        ("", &LOAD),
        ("[end]\n", &super::load::END),
        ("[before_loading]\n", &super::load::BEFORE_LOADING),
        ("[[tray]]\n", &TRAY),
        ("[tray.expert]\n", &super::expert::EXPERT),
        ("[rig]\n", &super::load::RIG),
    ] {
        for (key, limit) in table.keys.iter().filter_map(|key| Some((key, key.limit()?))) {
            let (low, high) = limit.words.split_once(" to ").unwrap();
            for end in [low, high] {
                let end = if limit.kind == Kind::Number { end.split([' ', ',']).next().unwrap() } else { end };
                let word = key.with.first().copied().or(table.words(table.choice).first().map(|(word, _)| *word));
                let keys = lines(table, word.unwrap_or(""), key, &key.written(end));
                let more = match (key.name, word) {
                    ("cut_width", _) => "depth = \"12 mm\"\ncut = \"200 mm\"\n",
                    ("shelf", _) => "vapour_pressure = \"40 Pa\"\n",
                    ("vapour_pressure", _) => "shelf = \"30 °C\"\n",
                    ("air_pressure", _) => "shelf = \"30 °C\"\nvapour_pressure = \"40 Pa\"\n",
                    ("depth" | "filled_to", _) => "",
                    (_, Some("layer")) => "depth = \"12 mm\"\n",
                    _ => "",
                };
                let text = match header {
                    "" => format!("dryer = \"0.60 m2\"\n{keys}{tray}"),
                    "[[tray]]\n" => format!("{dryer}{header}food = \"apples, raw, without skin\"\n{keys}{more}"),
                    "[tray.expert]\n" => format!("{dryer}{tray}{header}{keys}"),
                    "[rig]\n" => format!("icefront = 1\n{header}{keys}{more}{tray}area = \"0.1 m2\"\n"),
                    _ => format!("{dryer}{header}{keys}{more}{tray}"),
                };
                let sheet = crate::sheet::Text { path: "load.toml".into(), text: text.clone() };
                match crate::sheet::read(&sheet, &Memory::default()) {
                    Ok(sheet) => sheet.load.check().unwrap_or_else(|e| panic!("{e}\n{text}")),
                    Err(failure) => refused.push(format!("{failure:?}\n{text}")),
                }
                read += 1;
            }
        }
    }
    // some ends contradict the rest of the sheet, such as food at -5 °C with a freezing point below that
    assert!(read > 120 && refused.len() * 10 < read, "{} of {read} refused\n{}", refused.len(), refused.join("\n"));
}

#[test]
fn a_sheet_that_leaves_things_out_is_a_load_of_the_core_with_its_defaults() {
    let text = "icefront = 1\ndryer = \"0.60 m2\"\n[[tray]]\nfood = \"peas\"\nshape = \"layer\"\ndepth = \"12 mm\"\n";
    let sheet: Sheet = text.parse().unwrap();
    let load = Load::new(sheet.load.dryer.clone(), sheet.load.trays.clone());
    assert_eq!((load.room_k, load.end), (sheet.load.room_k, sheet.load.end));
    assert_eq!(load.trays[0].name, sheet.load.trays[0].name);
    let tray = Tray::of_model(String::new(), sheet.load.trays[0].model.clone(), sheet.load.trays[0].shape, 0.1);
    assert_eq!(tray.freezing, sheet.load.trays[0].freezing);
}

#[test]
fn the_help_has_every_key_in_80_columns() {
    let text = [Topic::Sheet, Topic::Dryer].map(|topic| keys(topic, "").unwrap()).concat();
    for (place, key) in every_key().iter().filter(|(_, key)| !key.name.is_empty()) {
        assert!(text.contains(&format!("\n  {} ", key.name)), "{place} is missing");
    }
    assert!(text.lines().all(|line| line.chars().count() <= 80), "{text}");
    assert!(keys(Topic::Sheet, "tray").unwrap().contains("  depth           length"));
    assert!(keys(Topic::Sheet, "tary").unwrap_err().contains("did you mean `tray`?"));
}
