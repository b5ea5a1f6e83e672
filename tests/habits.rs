//! What people expect of a command line: help in two lengths, quiet, colour, mistakes as data, old names that still work.

use serde_json::Value;

use crate::program::{TWO_LAYERS, kitchen, refused, run, said};

#[test]
fn short_help_leaves_out_what_long_help_has() {
    let folder = kitchen(TWO_LAYERS);
    let [short, long] = ["-h", "--help"].map(|option| said(folder.path(), &["plan", option]));
    assert!(!short.contains("--seed") && long.contains("--seed"), "{short}");
    assert!(!short.contains("Exit codes") && long.contains("Exit codes"), "{long}");
    for group in ["Plan:", "During the run:", "After the run:", "Look up:", "Tools:"] {
        assert!(said(folder.path(), &["--help"]).contains(group), "{group}");
    }
    assert_eq!(said(folder.path(), &["help", "plan"]), long);
}

#[test]
fn the_keys_of_a_sheet_need_no_repository() {
    let folder = kitchen(TWO_LAYERS);
    let all = said(folder.path(), &["help", "sheet"]);
    let tray = said(folder.path(), &["help", "sheet", "tray"]);
    assert!(all.contains(&tray) && tray.contains("1 mm to 80 mm") && all.contains("[tariff.period]"), "{tray}");
    let recipe = said(folder.path(), &["help", "sheet", "recipe"]);
    assert!(recipe.starts_with("[recipe.x]"), "{recipe}");
    assert_eq!(said(folder.path(), &["help", "recipe"]), recipe);
    let readings = said(folder.path(), &["help", "readings"]);
    assert!(readings.contains("weight_oz") && readings.contains("pump started"), "{readings}");
    for command in ["update", "dry"] {
        assert!(said(folder.path(), &[command, "--help"]).contains("2026-01-15 18:00,started,,,"), "{command}");
    }
    assert!(refused(folder.path(), &["help", "sheet", "tary"]).contains("did you mean `tray`?"));
    assert!(refused(folder.path(), &["help", "plna"]).contains("did you mean `plan`?"));
}

#[test]
fn mistakes_are_data_where_the_answer_would_be() {
    let folder =
        kitchen("icefront = 1\ndryer = \"0.60 m2\"\n[[tray]]\nfood = \"peas\"\nshape = \"layer\"\ndpeth = \"8 mm\"\n");
    let of = |arguments: &[&str]| -> Value { serde_json::from_str(&refused(folder.path(), arguments)).unwrap() };
    let wrong = of(&["plan", "load.toml", "--json"]);
    let all = [std::slice::from_ref(&wrong), wrong["others"].as_array().unwrap()].concat();
    let key = all.iter().find(|one| one["error"].as_str().unwrap().contains("dpeth")).unwrap();
    assert_eq!(key["where"], "load.toml:6:1");
    assert!(key["allowed"].as_str().unwrap().contains("did you mean `depth`?"), "{key:#}");
    let option = of(&["plan", "--demoo", "--json"]);
    assert_eq!((option["where"].as_str(), option["allowed"].as_str()), (Some("--demoo"), Some("--demo")));
    let missing = of(&["plan", "none.toml", "--json"]);
    assert_eq!((missing["where"].as_str(), missing["allowed"].as_str()), (Some("none.toml"), None));
}

#[test]
fn every_clock_is_read_alike() {
    let folder = kitchen(TWO_LAYERS);
    let with = |command: &[&str], clock: &str| {
        said(folder.path(), &[command, &[clock, "--samples", "16", "--json", "-q"]].concat())
    };
    let bill = ["bill", "load.toml", "--start"];
    let best = ["best", "load.toml", "--ready-by"];
    for clock in ["7.30 pm", "7:30pm", "19.30"] {
        assert_eq!(with(&bill, clock), with(&bill, "19:30"), "{clock}");
    }
    assert_eq!(with(&best, "8pm"), with(&best, "20:00"));
}

#[test]
fn colour_can_be_forced_and_switched_off() {
    let folder = kitchen(TWO_LAYERS);
    let with = |when: &str| said(folder.path(), &["dryers", "--color", when]);
    assert!(with("always").contains('\u{1b}') && !with("never").contains('\u{1b}'));
    assert_eq!(with("auto"), with("never"));
    let plain = said(folder.path(), &["dryers", "--color", "always", "--plain"]);
    assert!(!plain.contains('\u{1b}'), "{plain}");
}

#[test]
fn draws_is_another_name_of_samples() {
    let folder = kitchen(TWO_LAYERS);
    let with = |option: &str| said(folder.path(), &["-q", "plan", "load.toml", option, "16", "--json"]);
    assert_eq!(with("--samples"), with("--draws"));
    assert!(run(folder.path(), &["plan", "load.toml", "--quiet", "--samples", "0"]).stderr.is_empty());
}

#[test]
fn what_is_said_of_the_load_may_stand_among_the_trays_but_only_once() {
    let folder = kitchen(TWO_LAYERS);
    let rice = "cooked rice, 10 mm, frozen";
    fn plan<'a>(rice: &'a str, words: &[&'a str]) -> Vec<&'a str> {
        [&["plan", rice, "--samples", "8", "--no-defaults"], words].concat()
    }
    let among = said(folder.path(), &plan(rice, &["tonight at 6", "0.30 EUR/kWh", "shelves at 40 C"]));
    let options = said(folder.path(), &plan(rice, &["--start", "18:00", "--price", "0.30 EUR/kWh", "--shelf", "40 C"]));
    let answer = |text: &str| text.split("MORE").next().unwrap_or_default().to_string();
    assert_eq!(answer(&among), answer(&options));
    assert!(among.contains("Start at 18:00") && among.contains("EUR"), "{among}");
    for (words, option) in [
        ("tonight at 6", ["--start", "19:00"]),
        ("0.30 EUR/kWh", ["--price", "0.2"]),
        ("shelves at 40 C", ["--shelf", "30 C"]),
    ] {
        assert!(
            refused(folder.path(), &plan(rice, &[words, option[0], option[1]])).contains("give only one"),
            "{words}"
        );
    }
    for command in ["report", "bill", "best"] {
        let twice = [command, rice, "--price", "0.2", "tonight at 6", "--start", "19:00"];
        assert!(refused(folder.path(), &twice).contains("give only one"), "{command}");
    }
}
