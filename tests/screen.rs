//! The first screen of `icefront plan`: one glance, from a sheet or from a cook's words.

use std::path::Path;
use std::process::Output;

use serde_json::Value;

fn icefront(folder: &Path, args: &[&str]) -> Output {
    let mut command = std::process::Command::new(env!("CARGO_BIN_EXE_icefront"));
    command.args(args).current_dir(folder).env("ICEFRONT_DEFAULTS", folder.join("defaults.toml")).output().unwrap()
}

fn stdout(output: &Output) -> String {
    assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
    String::from_utf8(output.stdout.clone()).unwrap()
}

/// Loads that differ: many trays and one, warnings and none, a rig, clock and price.
const LOADS: [&[&str]; 6] = [
    &["plan", "--demo", "--draws", "64"],
    &["plan", "--demo", "--draws", "64", "--start", "6 pm"],
    &["plan", "apple, raw, sliced 1/4 in", "--draws", "64"],
    &[
        "plan",
        "cooked rice, 3/4 in",
        "plain yogurt, 20 mm",
        "cooked rice, 8 mm, frozen",
        "--price",
        "0.3",
        "--servings",
        "9",
        "--draws",
        "64",
    ],
    &["plan", "orange juice, 12 mm", "--draws", "64"],
    &["plan", "cooked rice, 12 mm", "--draws", "0"],
];

#[test]
fn it_is_18_lines_of_80_columns_with_answer_and_next_step() {
    let folder = tempfile::tempdir().unwrap();
    for load in LOADS {
        let text = stdout(&icefront(folder.path(), load));
        assert!(text.lines().count() <= 18, "{} lines: {text}", text.lines().count());
        assert!(text.lines().all(|line| line.chars().count() <= 80), "{text}");
        for part in ["Ready in about", "kWh", "--details"] {
            assert!(text.contains(part), "`{part}` is missing in\n{text}");
        }
        assert!(text.matches("WATCH:").count() <= 3, "{text}");
    }
}

#[test]
fn its_numbers_are_those_of_the_json() {
    let folder = tempfile::tempdir().unwrap();
    for load in LOADS.into_iter().take(5) {
        let text = stdout(&icefront(folder.path(), load)).split_whitespace().collect::<Vec<_>>().join(" ");
        let json: Vec<&str> =
            load.iter().copied().filter(|a| *a != "--start" && *a != "6 pm").chain(["--json"]).collect();
        let answer: Value = serde_json::from_str(&stdout(&icefront(folder.path(), &json))).unwrap();
        let at =
            |path: &str| answer.pointer(path).and_then(Value::as_f64).unwrap_or_else(|| panic!("{path}: {answer:#}"));
        let (ready, kwh) = (at("/time_h/food_ready/typical_run"), at("/energy_kwh/total/typical_run"));
        assert!(text.contains(&format!("Electricity about {kwh:.1} kWh")), "{kwh}: {text}");
        let shown = if ready < 5.0 { format!("{ready:.1}") } else { format!("{ready:.0}") };
        assert!(text.contains(&format!("Ready in about {shown} h")), "{ready}: {text}");
        assert!(text.contains(answer["range"]["sentence"].as_str().unwrap()), "{text}");
    }
}

#[test]
fn words_are_a_sheet_that_can_be_saved() {
    let folder = tempfile::tempdir().unwrap();
    let words = ["apple, raw, sliced 1/4 in, 900 g", "cooked rice, 12 mm, frozen"];
    let spoken = stdout(&icefront(folder.path(), &[&["plan"][..], &words, &["--json", "--draws", "64"]].concat()));
    let new = stdout(&icefront(folder.path(), &[&["new", "mine.toml"][..], &words].concat()));
    assert!(new.starts_with("Wrote mine.toml."), "{new}");
    let saved = stdout(&icefront(folder.path(), &["plan", "mine.toml", "--json", "--draws", "64"]));
    // the words say besides what they left to be assumed
    let answer = |text: &str| -> Value { serde_json::from_str(text).unwrap() };
    let mut spoken = answer(&spoken);
    let assumed = spoken.as_object_mut().unwrap().remove("assumed");
    assert!(assumed.is_some_and(|all| all.to_string().contains("0.36 m2")));
    assert_eq!(spoken, answer(&saved));
    // a name without its ending finds the file
    assert_eq!(stdout(&icefront(folder.path(), &["plan", "mine", "--json", "--draws", "64"])), saved);
}

#[test]
fn the_next_command_has_the_same_clock_cost_and_machine() {
    let folder = tempfile::tempdir().unwrap();
    let options = ["--price", "16 cents", "--dryer", "0.60 m2", "--room", "68 °F"];
    let words = ["plan", "cooked rice 1/2 in", "--start", "6 pm", "--draws", "16"];
    let text = stdout(&icefront(folder.path(), &[&words[..], &options].concat()));
    let line = text.split_whitespace().collect::<Vec<_>>().join(" ");
    let more = "MORE: icefront plan \"cooked rice 1/2 in\" --dryer \"0.60 m2\" --room \"68 °F\" --price \"16 cents\" \
                --start 18:00 --details;";
    assert!(line.contains(more) && line.contains(": $"), "{line}");
    // and comparing takes the same words
    let compared = ["compare", "cooked rice 1/2 in", "--vary", "depth=8mm,12mm", "--samples", "16"];
    assert!(stdout(&icefront(folder.path(), &[&compared[..], &options].concat())).contains("3 loads"));
}

#[test]
fn a_price_in_cents_is_understood_or_asked_about() {
    let folder = tempfile::tempdir().unwrap();
    let with = |price: &str| icefront(folder.path(), &["plan", "chili, 1/2 in", "--draws", "0", "--price", price]);
    assert_eq!(stdout(&with("16 cents")).split("MORE").next(), stdout(&with("$0.16")).split("MORE").next());
    assert!(stdout(&with("27p")).contains('£'));
    let refused = with("16");
    let words = String::from_utf8_lossy(&refused.stderr).into_owned();
    assert!(!refused.status.success() && words.contains("is that in cents?"), "{words}");
}

#[test]
fn defaults_are_checked_named_and_cleared() {
    let folder = tempfile::tempdir().unwrap();
    for (wrong, part) in [
        (["--dryer", "nonesuch"], "0.36 m2"),
        (["--dryer", ""], "icefront dryers"),
        (["--room", "400 °F"], "-4 °F to 113 °F"),
        (["--room", "72"], "72 °F"),
        (["--price", "16"], "is that in cents?"),
    ] {
        let output = icefront(folder.path(), &[&["defaults"][..], &wrong].concat());
        let words = String::from_utf8_lossy(&output.stderr).into_owned();
        assert!(!output.status.success() && words.contains(wrong[0]) && words.contains(part), "{words}");
    }
    // a file that was written by hand
    std::fs::write(folder.path().join("defaults.toml"), "dryer = \"nonesuch\"\n").unwrap();
    let plan = ["plan", "cooked rice, 12 mm", "--draws", "0"];
    let output = icefront(folder.path(), &plan);
    let words = String::from_utf8_lossy(&output.stderr).into_owned();
    assert!(words.contains("defaults.toml") && words.contains("`dryer`") && !words.contains("your words"), "{words}");
    let new = icefront(folder.path(), &["new", "mine.toml", "cooked rice, 12 mm"]);
    assert!(String::from_utf8_lossy(&new.stderr).contains("defaults.toml"), "{new:?}");
    assert!(stdout(&icefront(folder.path(), &["defaults", "--clear"])).contains("cleared"));
    stdout(&icefront(folder.path(), &plan));
}

#[test]
fn own_defaults_fill_in_words_and_are_said() {
    let folder = tempfile::tempdir().unwrap();
    stdout(&icefront(folder.path(), &["defaults", "--dryer", "0.60 m2", "--price", "0.5", "--currency", "EUR"]));
    let with = stdout(&icefront(folder.path(), &["plan", "cooked rice, 12 mm", "--draws", "64"]));
    assert!(with.contains("your defaults: dryer 0.60 m2") && with.contains("EUR"), "{with}");
    let without = stdout(&icefront(folder.path(), &["plan", "cooked rice, 12 mm", "--draws", "64", "--no-defaults"]));
    assert!(!without.contains("your defaults") && without.contains("an invented dryer with 0.36 m2"), "{without}");
    // sheets are not changed by them
    let sheet =
        "icefront = 1\ndryer = \"0.36 m2\"\n[[tray]]\nfood = \"cooked rice\"\nshape = \"layer\"\ndepth = \"12 mm\"\n";
    std::fs::write(folder.path().join("load.toml"), sheet).unwrap();
    assert!(
        !stdout(&icefront(folder.path(), &["plan", "--draws", "64"])).contains("EUR"),
        "load.toml is taken where it is"
    );
}

#[test]
fn the_readme_shows_what_is_printed() {
    let folder = tempfile::tempdir().unwrap();
    let words = ["plan", "chili, 1/2 in", "strawberries, sliced 1/4 in, 2 lb"];
    let text = stdout(&icefront(
        folder.path(),
        &[&words[..], &["--start", "6 pm", "--price", "0.29", "--currency", "EUR"]].concat(),
    ));
    let block = include_str!("../README.md").split("```text\n").nth(1).unwrap().split("\n...").next().unwrap();
    let (command, shown) = block.split_once("EUR\n").unwrap();
    for word in words {
        assert!(command.contains(word), "README.md does not show `{word}` in its command");
    }
    assert!(shown.lines().count() >= 6 && text.starts_with(shown), "README.md does not show the beginning of\n{text}");
}
