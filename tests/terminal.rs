//! Names and texts of any origin cannot steer a terminal or a spreadsheet.

use std::fs;
use std::path::Path;
use std::process::{Command, Output, Stdio};

/// Escape, bell, a control character of one byte in older sets, and a sign that turns the direction of writing.
const EVIL: &str = "\u{1b}]0;pwned\u{7}\u{1b}[31mred\u{9b}31m\u{202e}evil";

fn run(folder: &Path, arguments: &[&str]) -> Output {
    let mut command = Command::new(env!("CARGO_BIN_EXE_icefront"));
    command.args(arguments).current_dir(folder).stdin(Stdio::null()).output().unwrap()
}

/// Both streams of a run, in which nothing steers a terminal.
fn harmless(output: &Output) -> String {
    let both = [&output.stdout[..], &output.stderr[..]].concat();
    let text = String::from_utf8(both).unwrap();
    for sign in ['\u{1b}', '\u{7}', '\u{9b}', '\u{202e}'] {
        assert!(!text.contains(sign), "{sign:?} is printed raw: {text:?}");
    }
    text
}

fn sheet(name: &str) -> String {
    format!(
        "icefront = 1\ndryer = \"0.60 m2\"\n[[tray]]\nname = \"{name}\"\nfood = \"peas\"\nshape = \"layer\"\ndepth = \"8 mm\"\n"
    )
}

#[test]
fn control_characters_in_a_sheet_are_refused_at_their_place() {
    let folder = tempfile::tempdir().unwrap();
    let evil = "icefront = 1\ndryer = \"0.60 m2\"\n[tariff]\nprice_per_kwh = 0.3\ncurrency = \"\\u001b[31mEUR\"\n\
        [[tray]]\nname = \"\\u202Eevil\"\nrecipe = \"soup\\u009b2J\"\nshape = \"layer\"\ndepth = \"8 mm\"\n\
        [recipe.\"soup\\u009b2J\"]\npeas = \"100 g\"\n";
    fs::write(folder.path().join("evil.toml"), evil).unwrap();
    for command in [&["plan", "evil.toml"][..], &["plan", "evil.toml", "--plain"], &["bill", "evil.toml"]] {
        let refused = run(folder.path(), command);
        assert_eq!(refused.status.code(), Some(2));
        let told = harmless(&refused);
        for part in ["`\\u001b`", "`\\u202e`", "`\\u009b`", "control character"] {
            assert!(told.contains(part), "{part} is missing in\n{told}");
        }
    }
    let told = harmless(&run(folder.path(), &["plan", "evil.toml"]));
    for place in ["evil.toml:5:12", "evil.toml:7:8", "evil.toml:8:10", "evil.toml:11:9"] {
        assert!(told.contains(place), "{place} is missing in\n{told}");
    }
    // letters of any script, and several lines, are no control characters
    fs::write(folder.path().join("good.toml"), sheet("\u{5d0}\u{5e4}\u{5d5}\u{5e0}\u{5d4} \u{1f951} a\\nb")).unwrap();
    assert!(run(folder.path(), &["plan", "good.toml", "--draws", "0"]).status.success());
}

#[cfg(unix)]
#[test]
fn names_of_files_arguments_and_cells_are_never_printed_raw() {
    let folder = tempfile::tempdir().unwrap();
    let (good, bad) = (format!("{EVIL}.toml"), format!("{EVIL}bad.toml"));
    fs::write(folder.path().join(&good), sheet("one")).unwrap();
    fs::write(folder.path().join(&bad), format!("# {EVIL}\nx = \"{}\"\n", "\u{202e}")).unwrap();
    let table = format!("time_h,tray,{EVIL}\n1,{EVIL},5\n");
    fs::write(folder.path().join("table.csv"), &table).unwrap();
    fs::write(folder.path().join("tray.csv"), format!("time_h,tray,weight_g\n1,{EVIL},5\n")).unwrap();
    let header = "pantry_1,date,action,lot,food,packs,dry_g,water_ml,energy_kj,fat_percent,oxygen,shelf_c,eat_first,value,\
        currency,allergens,note\n";
    let lot = format!("{header}1,2026-11-01,put,1,{EVIL},5,52.7,,,,removed,20,2027-05-02,,,{EVIL},{EVIL}\n");
    fs::write(folder.path().join("pantry.csv"), lot).unwrap();
    for arguments in [
        &["plan", &good, "--draws", "0"][..],
        &["plan", &good, "--draws", "0", "--json"],
        &["plan", &bad],
        &["plan", &bad, "--plain"],
        &["plan", "--draws", "0", "--out", EVIL],
        &["plan", EVIL],
        &[EVIL],
        &["store", "list"],
        &["store", "list", "--json"],
        &["store", "list", "--plain"],
        &["store", "take", EVIL],
        &["foods", EVIL],
        &["update", &good, "--readings", "table.csv"],
        &["update", &good, "--readings", "tray.csv"],
        &["prefreeze", "--weather", "table.csv"],
        &["learn", "table.csv", "--dryer", EVIL],
        &["new", &format!("{EVIL}new.toml")],
        &["report", &good, "--draws", "0", "--out", &format!("{EVIL}.html")],
        &["compare", &good, &bad],
    ] {
        let output = run(folder.path(), arguments);
        assert_ne!(output.status.code(), Some(101), "{arguments:?}");
        let text = harmless(&output);
        if arguments.contains(&"--json") && output.status.success() {
            let json: serde_json::Value = serde_json::from_str(&text).unwrap();
            assert!(json.is_object());
        }
    }
    let page = fs::read_to_string(folder.path().join(format!("{EVIL}.html"))).unwrap();
    assert!(!page.contains(['\u{1b}', '\u{202e}']), "the report holds a name raw");
    let told = harmless(&run(folder.path(), &["store", "list", "--json"]));
    let json: serde_json::Value = serde_json::from_str(&told).unwrap();
    assert_eq!(json["lots"][0]["food"], EVIL, "JSON keeps the name, written in numbers");
}

#[test]
fn no_cell_of_a_history_is_a_formula_and_every_name_comes_back() {
    let folder = tempfile::tempdir().unwrap();
    let formula = "=cmd|' /C calc'!A0";
    let sheet = format!(
        "icefront = 1\ndryer = \"0.60 m2\"\n[[tray]]\nname = \"@tray\"\nrecipe = \"{formula}\"\nshape = \"layer\"\n\
         depth = \"8 mm\"\n[recipe.\"{formula}\"]\npeas = \"100 g\"\n"
    );
    fs::write(folder.path().join("load.toml"), sheet).unwrap();
    // the tray as the page writes its name
    let readings = "time_h,event,tray,weight_g,energy_kWh\n4,,'@tray,400,\n5,finished,,,3\n";
    fs::write(folder.path().join("readings.csv"), readings).unwrap();
    let log = |name: &str| run(folder.path(), &["log", "load.toml", "--readings", "readings.csv", "--name", name]);
    let logged = log("\u{ff1d}1+1");
    assert!(logged.status.success(), "{}", harmless(&logged));
    let history = fs::read_to_string(folder.path().join("history.csv")).unwrap();
    for row in csv::Reader::from_reader(history.as_bytes()).records().map(|row| row.unwrap()) {
        let computed =
            |cell: &str| cell.starts_with(['=', '+', '-', '@', '\t', '\u{ff1d}']) && cell.parse::<f64>().is_err();
        assert!(!row.iter().any(computed), "a spreadsheet computes {row:?}");
    }
    assert!(history.contains(&format!("'{formula}")));
    // what is read back is the name itself
    let again = harmless(&log("\u{ff1d}1+1"));
    assert!(again.contains("batch `\u{ff1d}1+1` is in"), "{again}");
    assert!(harmless(&log(EVIL)).contains("--name"));
}
