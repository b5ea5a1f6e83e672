//! `icefront log`: a finished batch is in the history whole or not at all, once, whatever happens on the way.

use crate::running;

use std::path::Path;
use std::process::Command;

use running::{Kitchen, refused, stdout};

const READINGS: &str =
    "time_h,tray,event,water_lost_g,energy_kWh\n1.5,,pump started,,\n6,1,,400,3.5\n14,,finished,,7.25\n";

fn log(kitchen: &Kitchen, name: &str) -> std::process::Output {
    kitchen.write("readings.csv", READINGS);
    kitchen.run(&["log", "load.toml", "--readings", "readings.csv", "--name", name])
}

fn history(folder: &Path) -> String {
    std::fs::read_to_string(folder.join("history.csv")).unwrap()
}

#[test]
fn a_batch_is_one_row_and_one_per_tray_and_reading() {
    let kitchen = Kitchen::new();
    let told = stdout(&log(&kitchen, "rice one"));
    assert!(told.contains("rice one") && told.contains("history.csv"), "{told}");
    let text = history(kitchen.folder.path());
    let mut table = csv::Reader::from_reader(text.as_bytes());
    let header = table.headers().unwrap().clone();
    let doc = include_str!("../docs/guide/learning.md");
    for column in &header {
        assert!(doc.contains(&format!("`{column}`")), "docs/guide/learning.md does not tell `{column}`");
    }
    let rows: Vec<csv::StringRecord> = table.records().map(|r| r.unwrap()).collect();
    let kinds: Vec<&str> = rows.iter().map(|r| &r[0]).collect();
    assert_eq!(kinds, ["batch", "tray", "reading", "reading", "reading", "reading", "reading"]);
    let cell = |row: usize, name: &str| &rows[row][header.iter().position(|h| h == name).unwrap()];
    assert_eq!(
        (cell(0, "batch"), cell(0, "dryer"), cell(0, "ready_h"), cell(0, "energy_kWh")),
        ("rice one", "0.36 m2", "14", "7.25")
    );
    assert_eq!((cell(1, "tray"), cell(1, "food"), cell(1, "water_lost_g")), ("1", "cooked rice", "400"));
    assert_eq!((cell(3, "what"), cell(3, "time_h"), cell(3, "value")), ("water_lost_g", "6", "400"));
    assert!(cell(0, "sheet").contains("about 12 mm"));
    assert_eq!(text.lines().count(), 8, "one line a row");
}

#[test]
fn the_same_batch_is_refused_under_either_name() {
    let kitchen = Kitchen::new();
    stdout(&log(&kitchen, "rice"));
    let before = history(kitchen.folder.path());
    for name in ["rice", "the same under another name"] {
        let told = refused(&log(&kitchen, name));
        assert!(told.contains("`rice`") && told.contains("already"), "{told}");
    }
    assert_eq!(history(kitchen.folder.path()), before);
}

#[test]
fn a_history_names_its_version_and_the_first_ones_are_still_read() {
    let kitchen = Kitchen::new();
    stdout(&log(&kitchen, "rice"));
    let text = history(kitchen.folder.path());
    let named = |version: &str| text.replacen("history_1", version, 1);
    kitchen.write("history.csv", &named("history_2"));
    let told = refused(&log(&kitchen, "more"));
    assert!(told.contains("only version 1 of a history can be read"), "{told}");
    // before the first column named the version
    kitchen.write("history.csv", &named("row"));
    assert!(refused(&log(&kitchen, "rice")).contains("already"), "the batch in it is known");
}

#[test]
fn a_spoilt_history_is_left_alone() {
    let kitchen = Kitchen::new();
    for (spoilt, part) in [("a,b,c\n1,2,3\n", "not a history"), ("row,batch\nx", "not a history")] {
        kitchen.write("history.csv", spoilt);
        let told = refused(&log(&kitchen, "rice"));
        assert!(told.contains(part) && told.contains("history.csv:1:1"), "{told}");
        assert_eq!(history(kitchen.folder.path()), spoilt);
    }
    // a torn last line, as another program may leave it
    std::fs::remove_file(kitchen.folder.path().join("history.csv")).unwrap();
    stdout(&log(&kitchen, "rice"));
    let torn = history(kitchen.folder.path()) + "reading,rice,,,";
    kitchen.write("history.csv", &torn);
    assert!(refused(&log(&kitchen, "more")).contains("history.csv:9:1"));
    assert_eq!(history(kitchen.folder.path()), torn);
}

#[cfg(unix)]
#[test]
fn a_folder_that_cannot_be_written_leaves_the_history_whole() {
    use std::os::unix::fs::PermissionsExt;
    let kitchen = Kitchen::new();
    let safe = kitchen.folder.path().join("safe");
    std::fs::create_dir(&safe).unwrap();
    let args = ["log", "load.toml", "--readings", "readings.csv", "--history", "safe/history.csv", "--name"];
    kitchen.write("readings.csv", READINGS);
    stdout(&kitchen.run(&[&args[..], &["first"]].concat()));
    let before = std::fs::read(safe.join("history.csv")).unwrap();
    std::fs::set_permissions(&safe, std::fs::Permissions::from_mode(0o555)).unwrap();
    // root may write anywhere: then there is nothing to see
    let may_write = std::fs::write(safe.join("probe"), "x").is_ok();
    let output = kitchen.run(&[&args[..], &["second"]].concat());
    std::fs::set_permissions(&safe, std::fs::Permissions::from_mode(0o755)).unwrap();
    if !may_write {
        assert!(refused(&output).contains("cannot write"));
        assert_eq!(std::fs::read(safe.join("history.csv")).unwrap(), before);
    }
}

#[cfg(target_os = "linux")]
#[test]
fn a_full_disk_leaves_the_history_whole() {
    let kitchen = Kitchen::new();
    stdout(&log(&kitchen, "first"));
    let before = history(kitchen.folder.path());
    // a limit on the size of any file stands for a full disk: the write of the new history fails half-way
    let limited = Command::new("sh")
        .args(["-c", "ulimit -f 1; trap '' XFSZ; exec \"$0\" log load.toml --readings readings.csv --name second"])
        .arg(env!("CARGO_BIN_EXE_icefront"))
        .current_dir(kitchen.folder.path())
        .output()
        .unwrap();
    let now = history(kitchen.folder.path());
    if limited.status.success() {
        assert!(now.starts_with(&before), "the limit was too wide to matter, and the batch is there");
    } else {
        assert_eq!(now, before);
    }
    let long = "x".repeat(3000);
    let long = format!("# {long}\n{}", running::LOAD);
    kitchen.write("long.toml", &long);
    let limited = Command::new("sh")
        .args(["-c", "ulimit -f 1; trap '' XFSZ; exec \"$0\" log long.toml --readings readings.csv --name third"])
        .arg(env!("CARGO_BIN_EXE_icefront"))
        .current_dir(kitchen.folder.path())
        .output()
        .unwrap();
    assert!(!limited.status.success(), "a file of more than 1 KiB was written under that limit");
    assert_eq!(history(kitchen.folder.path()), now);
}

/// A limit on the size of files ends the program at a certain byte of the new history, wherever that is.
#[cfg(target_os = "linux")]
#[test]
fn killed_at_any_byte_the_history_stays_whole() {
    let kitchen = Kitchen::new();
    let folder = kitchen.folder.path();
    stdout(&log(&kitchen, "first"));
    // another batch of the same sheet: other readings
    kitchen.write("readings.csv", &READINGS.replace("400", "401"));
    let before = history(folder);
    let blocks = before.len().div_ceil(BLOCK);
    for limit in 0..blocks {
        let limited =
            format!("ulimit -c 0; ulimit -f {limit}; exec \"$0\" log load.toml --readings readings.csv --name two");
        let mut shell = Command::new("sh");
        shell.args(["-c", &limited]).arg(env!("CARGO_BIN_EXE_icefront")).current_dir(folder);
        let killed = shell.output().unwrap();
        assert_eq!(killed.status.code(), None, "not killed at block {limit}: {killed:?}");
        assert_eq!(history(folder), before);
    }
    // the lock of a killed program holds nobody up, and what it left is cleared
    let added = kitchen.run(&["log", "load.toml", "--readings", "readings.csv", "--name", "two"]);
    assert!(stdout(&added).contains("two"));
    assert!(history(folder).starts_with(&before));
    let left = |entry: std::fs::DirEntry| entry.file_name().to_string_lossy().starts_with(".icefront-");
    assert!(!std::fs::read_dir(folder).unwrap().any(|entry| left(entry.unwrap())));
}

/// What the shell counts files in, bytes.
#[cfg(target_os = "linux")]
const BLOCK: usize = 512;
