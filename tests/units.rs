//! The units of the answer are hers: a US sheet is answered without a metric unit, a metric one without a US unit, by every
//! command, on paper and in charts. The loads are invented.

use std::path::Path;

use crate::program::said;

/// A sheet in either system; what it says is the same but for rounding.
fn sheet(units: &str) -> String {
    format!(
        "icefront = 1\ndryer = \"0.60 m2\"\nroom = \"20 °C\"\nunits = \"{units}\"\nservings = 8\n\n[tariff]\n\
         price_per_kwh = 0.3\ncurrency = \"EUR\"\n\n[[tray]]\nfood = \"cooked rice\"\nshape = \"layer\"\ndepth = \"12 mm\"\n\
         cut = \"50 mm\"\n\n[[tray]]\nfood = \"apple, raw\"\nshape = \"slices\"\nthickness = \"6 mm\"\nwidth = \"50 mm\"\n\
         [tray.before_loading]\nmethod = \"freezer\"\ntime = \"14 h\"\n\n[[tray]]\nfood = \"raw chicken\"\nshape = \"cubes\"\n\
         size = \"12 mm\"\n[tray.before_loading]\nmethod = \"already frozen\"\n"
    )
}

const METRIC: &[&str] = &[
    "mm", "cm", "m", "m2", "kg", "g", "mg", "°C", "C", "l", "L", "ml", "litre", "litres", "Pa", "km/h", "m/s", "kg/h",
    "g/h", "K",
];
const US: &[&str] = &[
    "in", "inch", "inches", "ft", "lb", "lbs", "oz", "°F", "F", "cup", "cups", "tbsp", "tsp", "qt", "mTorr", "mph",
    "lb/h", "oz/h", "cc",
];

/// Names that hold a unit as part of a word of the user's or of ours, and so say nothing in it.
const NAMES: [&str; 3] = ["0.60 m2", "0.36 m2", "US FDA Food Code"];

/// Units of one list that stand behind a number, or name a column or an axis.
fn found(text: &str, units: &[&'static str]) -> Vec<String> {
    let text = NAMES.iter().fold(text.to_string(), |text, name| text.replace(name, " "));
    let words: Vec<&str> = text.split_whitespace().collect();
    let bare = |word: &str| word.trim_matches(|c: char| !(c.is_alphanumeric() || "°/".contains(c))).to_string();
    let is_number = |word: &str| {
        let word = word.trim_matches(|c: char| "(,;:)−-".contains(c));
        word.starts_with(|c: char| c.is_ascii_digit())
    };
    let mut all = Vec::new();
    for (place, pair) in words.windows(2).enumerate() {
        let unit = bare(pair[1]);
        // "1 in 10"
        if unit == "in" && words.get(place + 2).is_some_and(|next| is_number(next)) {
            continue;
        }
        // after a comma these may be words: "cooked, in a pan"
        let named = pair[0].ends_with(',') && unit != "in" && unit != "m" && unit != "l" && unit != "g";
        if units.contains(&unit.as_str()) && (is_number(pair[0]) || named || unit.starts_with('°')) {
            all.push(format!("{} {}", pair[0], pair[1]));
        }
    }
    // "12mm", "kg a day", "per kg"
    let glued = words.iter().map(|word| bare(word)).filter(|word| {
        let unit = word.trim_start_matches(|c: char| c.is_ascii_digit() || ".−-".contains(c));
        unit.len() < word.len() && units.contains(&unit)
    });
    all.extend(glued);
    let rates = ["kg", "lb"].into_iter().filter(|unit| units.contains(unit));
    all.extend(
        rates
            .filter(|unit| words.windows(2).any(|p| bare(p[0]) == *unit && ["a", "per", "of", "in"].contains(&p[1])))
            .map(String::from),
    );
    all
}

/// Texts of an SVG, one to a line.
fn texts(svg: &str) -> String {
    let pieces = svg.split("<text").skip(1).filter_map(|piece| piece.split_once('>')?.1.split_once("</text>"));
    pieces.map(|(text, _)| text.replace('−', "-") + "\n").collect()
}

/// What stands on a page, without its drawings, style and tags.
fn words(page: &str) -> String {
    let mut text = String::new();
    for (index, part) in page.split("<svg").enumerate() {
        let part = if index == 0 { part.split_once("<body>").unwrap().1 } else { part.split_once("</svg>").unwrap().1 };
        for piece in part.split('<') {
            text.push_str(piece.split_once('>').map_or(piece, |(_, words)| words));
            text.push(' ');
        }
    }
    text
}

/// Everything that the commands say about a sheet, each with its command.
fn all(folder: &Path) -> Vec<(String, String)> {
    let commands: &[&[&str]] = &[
        &["plan", "load.toml", "--samples", "16"],
        &["plan", "load.toml", "--samples", "16", "--details"],
        &["plan", "load.toml", "--samples", "0", "--details"],
        &["compare", "load.toml", "--vary", "fat=0%,5%", "--samples", "8", "--out", "compared"],
        &["explain", "load.toml", "--out", "explained"],
        &["best", "load.toml", "--samples", "8"],
        &["best", "load.toml", "--samples", "8", "--goal", "cost-per-kg"],
        &["prefreeze", "load.toml", "--temperature", "-10 °C", "--out", "night"],
        &["bill", "load.toml", "--samples", "8"],
        &["pack", "load.toml", "--samples", "8"],
        &["update", "load.toml", "--readings", "readings.csv", "--samples", "64", "--out", "updated"],
        &["dry", "load.toml", "--readings", "readings.csv", "--samples", "64"],
    ];
    let mut all: Vec<(String, String)> =
        commands.iter().map(|arguments| (arguments.join(" "), said(folder, arguments))).collect();
    said(folder, &["plan", "load.toml", "--samples", "8", "--out", "charts"]);
    for place in ["charts", "compared", "explained", "night", "updated"] {
        let Ok(listed) = std::fs::read_dir(folder.join(place)) else { continue };
        for path in
            listed.map(|entry| entry.unwrap().path()).filter(|path| path.extension().is_some_and(|e| e == "svg"))
        {
            all.push((path.display().to_string(), texts(&std::fs::read_to_string(&path).unwrap())));
        }
    }
    said(folder, &["report", "load.toml", "--samples", "8"]);
    all.push(("report".into(), words(&std::fs::read_to_string(folder.join("report.html")).unwrap())));
    let page = std::fs::read_to_string(folder.join("report.html")).unwrap();
    all.push(("charts of the report".into(), texts(&page)));
    all
}

#[test]
fn every_answer_is_in_the_units_of_the_sheet() {
    let mut wrong = Vec::new();
    let mut places = 0;
    for (units, others, own) in [("us", METRIC, US), ("metric", US, METRIC)] {
        let folder = tempfile::tempdir().unwrap();
        std::fs::write(folder.path().join("load.toml"), sheet(units)).unwrap();
        let readings = "time_h,tray,water_lost_g,shelf_C\n4,1,300,\n8,1,560,\n8,2,,30\n";
        std::fs::write(folder.path().join("readings.csv"), readings).unwrap();
        for (place, text) in all(folder.path()) {
            places += usize::from(!found(&text, own).is_empty());
            wrong.extend(found(&text, others).into_iter().map(|unit| format!("{units}, {place}: {unit}")));
        }
    }
    assert!(wrong.is_empty(), "{wrong:#?}");
    assert!(places > 30, "only {places} places have a unit at all");
}

#[test]
fn words_defaults_and_options_choose_the_units() {
    let folder = tempfile::tempdir().unwrap();
    let plan = |more: &[&str]| said(folder.path(), &[&["plan", "--details", "--samples", "0"][..], more].concat());
    for (words, unit) in [
        (&["cooked rice, 1/2 in"][..], "°F"),
        (&["cooked rice, 12 mm"], "°C"),
        (&["cooked rice, 1/2 in", "apple, raw, slices 6 mm"], "°C"),
        (&["cooked rice, 12 mm", "--units", "us"], "°F"),
        (&["cooked rice, 1/2 in", "--units", "metric"], "°C"),
    ] {
        let text = plan(words);
        let other = if unit == "°F" { "°C" } else { "°F" };
        assert!(text.contains(unit) && !text.contains(other), "{words:?}: {text}");
    }
}
