//! The program as a cook runs it, for tests of single commands.
#![allow(dead_code, clippy::unwrap_used, clippy::panic, reason = "helpers of tests, not only test functions")]

use std::path::Path;
use std::process::{Command, Output};

use serde_json::Value;

/// Runs it in a folder.
pub fn run(folder: &Path, args: &[&str]) -> Output {
    let mut command = Command::new(env!("CARGO_BIN_EXE_icefront"));
    command.args(args).current_dir(folder).env("ICEFRONT_DEFAULTS", "").output().unwrap()
}

/// What it says, once it has done it.
pub fn said(folder: &Path, args: &[&str]) -> String {
    let output = run(folder, args);
    assert!(output.status.success(), "{args:?}: {}", String::from_utf8_lossy(&output.stderr));
    String::from_utf8(output.stdout).unwrap()
}

/// The JSON it says.
pub fn json(folder: &Path, args: &[&str]) -> Value {
    serde_json::from_str(&said(folder, args)).unwrap()
}

/// What it says when it cannot do it.
pub fn refused(folder: &Path, args: &[&str]) -> String {
    let output = run(folder, args);
    assert_eq!(output.status.code(), Some(2), "{args:?}: {}", String::from_utf8_lossy(&output.stdout));
    String::from_utf8(output.stderr).unwrap()
}

/// A number of a JSON value.
pub fn number(value: &Value, path: &str) -> f64 {
    value.pointer(path).and_then(Value::as_f64).unwrap_or_else(|| panic!("no number at {path} in {value:#}"))
}

/// A word of a JSON value.
pub fn word<'a>(value: &'a Value, path: &str) -> &'a str {
    value.pointer(path).and_then(Value::as_str).unwrap_or_else(|| panic!("no word at {path} in {value:#}"))
}

/// No line is wider than 80 columns.
pub fn in_80_columns(text: &str) {
    let wide: Vec<&str> = text.lines().filter(|line| line.chars().count() > 80).collect();
    assert!(wide.is_empty(), "wider than 80 columns: {wide:#?}");
}

/// A folder with one sheet, `load.toml`.
pub fn kitchen(sheet: &str) -> tempfile::TempDir {
    let folder = tempfile::tempdir().unwrap();
    std::fs::write(folder.path().join("load.toml"), sheet).unwrap();
    folder
}

/// A sheet with the head of [`TWO_LAYERS`] and other trays: one dryer, a price, food that is frozen already.
pub fn frozen(trays: &str) -> String {
    let head = TWO_LAYERS.split("[[tray]]").next().unwrap();
    format!("{head}{trays}")
}

/// Two thin layers, frozen before. Invented.
pub const TWO_LAYERS: &str = r#"
icefront = 1
dryer = "0.60 m2"

[before_loading]
method = "already frozen"

[tariff]
price_per_kwh = 0.3
currency = "EUR"

[[tray]]
food = "cooked rice"
shape = "layer"
depth = "12 mm"

[[tray]]
food = "cooked rice"
shape = "layer"
depth = "12 mm"
"#;
