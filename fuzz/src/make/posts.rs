//! Random requests to the kitchen page: forms as its script sends them, and forms that it never would.

use fastrand::Rng;

use super::load::{self, BUILT_IN, Style};
use super::{dryer, one_in, pick, readings};
use crate::case::Case;
use crate::mutate::{self, STRANGE};

const PATHS: [&str; 10] =
    ["/live", "/live", "/live", "/live", "/plan", "/plan", "/plan", "/json", "/foods", "/sheet/load.toml"];
const ACTS: [&str; 32] = [
    "answer",
    "answer",
    "show",
    "save",
    "save",
    "replace",
    "add",
    "read",
    "read",
    "read",
    "unread",
    "explain",
    "compare",
    "best",
    "pack",
    "labels",
    "bill",
    "update",
    "dry",
    "log",
    "learn",
    "prefreeze",
    "undo",
    "begin",
    "put",
    "take.1",
    "untake",
    "close",
    "view.run",
    "view.pack",
    "unfold.batch",
    "set.tray.0.depth=9 mm",
];
const STEPS: [&str; 5] = ["remove", "up", "down", "copy", "open"];
const NUMBERS: [&str; 6] = ["0", "1", "2", "40", "18446744073709551615", "-1"];
const FILES: [&str; 12] = [
    "load.toml",
    "load.toml",
    "load.toml",
    "load.toml",
    "",
    "other.toml",
    "new name.toml",
    "../up.toml",
    "load.readings.csv",
    "con\u{0}.toml",
    "drawn.toml",
    ".toml",
];
/// Fields of the page and a usual value.
const FIELDS: [(&str, &str); 44] = [
    ("room", "22 C"),
    ("dryer", "0.60 m2"),
    ("dryer", "drawn.toml"),
    ("servings", "12"),
    ("tariff.price_per_kwh", "0.25"),
    ("tariff.currency", "EUR"),
    ("end.moisture", "2 %"),
    ("before_loading.method", "freezer"),
    ("before_loading.method", "outdoors"),
    ("before_loading.method", "already frozen"),
    ("before_loading.method", "in machine"),
    ("before_loading.air", "-20 C"),
    ("before_loading.time", "12 h"),
    ("before_loading.temperature", "4 C"),
    ("before_loading.wind", "2 m/s"),
    ("tray.0.food", "carrots"),
    ("tray.1.food", "olive oil"),
    ("tray.0.shape", "cubes"),
    ("tray.1.shape", "layer"),
    ("tray.0.size", "9 mm"),
    ("tray.0.depth", "11 mm"),
    ("tray.0.layers", "2"),
    ("tray.0.coverage", "60 %"),
    ("tray.0.amount", "600 g"),
    ("tray.0.fat", "20 %"),
    ("tray.0.lined", "true"),
    ("tray.0.cut", "50 mm"),
    ("tray.0.cut_width", "2 mm"),
    ("tray.0.embedded.food", "pork, ground"),
    ("tray.0.embedded.size", "15 mm"),
    ("tray.0.embedded.share", "30 %"),
    ("tray.0.before_loading.method", "freezer"),
    ("vary.key", "depth"),
    ("vary.values", "8 mm, 12 mm"),
    ("best.goal", "cost"),
    ("start", "21:30"),
    ("learn.force", "true"),
    ("night.temperature", "-12 C"),
    ("night.wind", "1 m/s"),
    ("night.set-out", "18:00"),
    ("night.until", "07:00"),
    ("pantry.before", "40"),
    ("open", "1"),
    ("tray.77.depth", "12 mm"),
];
/// What a whole answer leaves, and what none does.
const ANCHORS: [&str; 4] = [
    "6e4 8e4 1e5;9 10 12;;1 9 20 21;2 9 20 21;3 9 20 22;4 10 22 23;5 10 22 21;6 10 23 21;7 12 25 26;8 12 25 27;9 12 26 28;\
     10 12 27 24;11 12 28 24;12 13 29 21",
    "0 0 0;0 0 0;;1 0 0;2 0 0;3 0 0;4 0 0;5 0 0;6 0 0;7 0 0;8 0 0;9 0 0;10 0 0;11 0 0;12 0 0",
    "nan nan nan;1 1 1;1 1 1;999999 nan 1;2 1 1;3 1 1;4 1 1;5 1 1;6 1 1;7 1 1;8 1 1;9 1 1;10 1 1;11 1 1;12 inf inf",
    "",
];
const READING_TIMES: [&str; 12] =
    ["2", "18:00", "25:99", "-1", "", "1e9", "22:30", "0", "2026-01-02 07:00", "120,5", "nan", "5\n6"];
const READING_KINDS: [&str; 12] = [
    "event:started",
    "event:pump started",
    "event:finished",
    "energy_kWh",
    "water_lost_g",
    "weight_g",
    "shelf_C",
    "product_C",
    "pressure_Pa",
    "rise_Pa_per_min",
    "weight_g",
    "rm -rf",
];
const READING_TRAYS: [&str; 8] = ["", "1", "1", "2", "77", "tray 1", "=1+1", "\"a\",b"];
const READING_VALUES: [&str; 12] =
    ["1", "400", "60", "0.5", "-20", "120,5", "", "nan", "1e308", "=SUM(A1)", "3\n4", "640"];
const MOST_CHANGED: usize = 5;
const MOST_REQUESTS: usize = 4;

/// Files of a folder, and up to a few requests to a page that is started in it: `requests`, a line each.
pub fn case(rng: &mut Rng) -> Case {
    let style = if one_in(4, rng) { Style::Anywhere } else { Style::Usual };
    let dryer_name = *pick(&BUILT_IN, rng);
    let sheet = load::text(dryer_name, style, 3, rng);
    let mut folder = Case::default();
    if !one_in(5, rng) {
        folder = folder.with("load.toml", sheet.clone());
    }
    if one_in(2, rng) {
        folder = folder.with("drawn.toml", dryer::text(rng));
    }
    if one_in(3, rng)
        && let Ok(plan) = crate::probe::plan(&sheet, None, 0)
    {
        folder = folder.with("load.readings.csv", readings::text(&plan.result, rng));
    }
    let requests: Vec<String> = (0..rng.usize(1..=MOST_REQUESTS)).map(|_| request(&sheet, rng)).collect();
    folder.with("requests", requests.join("\n"))
}

/// A path and a form. `{version}` stands for the version that the page told last.
fn request(sheet: &str, rng: &mut Rng) -> String {
    let path = *pick(&PATHS, rng);
    if path.starts_with("/sheet/") {
        return path.to_string();
    }
    let sheet = match rng.u8(..10) {
        0 => String::from_utf8_lossy(&mutate::broken(&[sheet.into()], rng)).into_owned(),
        1 => String::from_utf8_lossy(&mutate::nudged(sheet.as_bytes(), rng)).into_owned(),
        _ => sheet.to_string(),
    };
    let act = match rng.u8(..12) {
        0 => format!("{}.{}", pick(&STEPS, rng), pick(&NUMBERS, rng)),
        1 => (*pick(&STRANGE, rng)).to_string(),
        _ => (*pick(&ACTS, rng)).to_string(),
    };
    let mut form = vec![("sheet", sheet), ("file", (*pick(&FILES, rng)).to_string()), ("do", act.clone())];
    let version = *pick(&["{version}", "{version}", "{version}", "", "00"], rng);
    form.push(("version", version.to_string()));
    if one_in(4, rng) {
        form.push(("theirs", version.to_string()));
    }
    if one_in(4, rng) {
        form.push(("pace", "drag".to_string()));
        form.push(("anchor", (*pick(&ANCHORS, rng)).to_string()));
    }
    if act == "read" || one_in(10, rng) {
        for (name, values) in [
            ("reading.time", &READING_TIMES[..]),
            ("reading.kind", &READING_KINDS),
            ("reading.tray", &READING_TRAYS),
            ("reading.value", &READING_VALUES),
        ] {
            form.push((name, (*pick(values, rng)).to_string()));
        }
    }
    for _ in 0..rng.usize(..=MOST_CHANGED) {
        let (name, usual) = *pick(&FIELDS, rng);
        let value = match rng.u8(..6) {
            0 => (*pick(&STRANGE, rng)).to_string(),
            1 => String::from_utf8_lossy(&mutate::broken(&[usual.into()], rng)).into_owned(),
            2 => String::from_utf8_lossy(&mutate::nudged(usual.as_bytes(), rng)).into_owned(),
            _ => usual.to_string(),
        };
        form.push((name, value));
    }
    if one_in(20, rng) {
        rng.shuffle(&mut form);
    }
    let body: Vec<String> = form.iter().map(|(name, value)| format!("{name}={}", escaped(value))).collect();
    format!("{path} {}", body.join("&"))
}

/// A value as a form sends it.
fn escaped(value: &str) -> String {
    let mut text = String::with_capacity(value.len());
    for byte in value.bytes() {
        match byte {
            b'a'..=b'z' | b'A'..=b'Z' | b'0'..=b'9' | b'.' | b'-' | b'_' | b'{' | b'}' => text.push(char::from(byte)),
            b' ' => text.push('+'),
            _ => text.push_str(&format!("%{byte:02X}")),
        }
    }
    text
}
