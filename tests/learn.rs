//! `icefront learn`: batches logged from one machine teach what it is like; the learned file is a dryer file.

use crate::running;
use crate::spoken;

use running::{Kitchen, refused, stdout};
use serde_json::Value;

/// Logs batches of a machine that is slower than the typical one: what the typical run shows at t, it shows at `slow` t.
fn log_batches(kitchen: &Kitchen, slow: f64, wild: Option<usize>) {
    for batch in 0..4 {
        let half = (0.45 + 0.02 * batch as f64) * kitchen.ready_h();
        let factor = if wild == Some(batch) { 0.25 } else { 1.0 };
        let lost = factor * kitchen.lost_g(half);
        let readings = format!(
            "time_h,tray,event,water_lost_g,energy_kWh\n{},1,,{lost},\n{},,finished,,\n",
            slow * half,
            slow * kitchen.ready_h() / factor
        );
        kitchen.write("readings.csv", &readings);
        let name = format!("rice {batch}");
        stdout(&kitchen.run(&["log", "load.toml", "--readings", "readings.csv", "--name", &name]));
    }
}

#[test]
fn a_slow_machine_is_learned_and_later_plans_use_it() {
    let kitchen = Kitchen::new();
    log_batches(&kitchen, 1.15, None);
    let told: Value =
        serde_json::from_str(&stdout(&kitchen.run(&["learn", "history.csv", "--dryer", "0.36 m2", "--json"]))).unwrap();
    let finish = told["accuracy"].as_array().unwrap().iter().find(|a| a["what"] == "end of the run").unwrap();
    let (before, after) = (finish["as_entered"].as_f64().unwrap(), finish["from_others"].as_f64().unwrap());
    assert!(after < 0.5 * before, "off by {before} h as entered, {after} h from the others\n{told:#}");
    assert!(told["batches"].as_array().unwrap().iter().all(|b| b["fits"] == true), "{told:#}");

    let plan = |dryer: &str| -> (f64, f64, f64) {
        kitchen.write("next.toml", &running::LOAD.replace("0.36 m2", dryer));
        let told: Value =
            serde_json::from_str(&stdout(&kitchen.run(&["plan", "next.toml", "--json", "--draws", "128"]))).unwrap();
        let at = |key: &str| told.pointer(&format!("/time_h/food_ready/{key}")).and_then(Value::as_f64).unwrap();
        (at("low"), at("median"), at("high"))
    };
    let (entered, learned) = (plan("0.36 m2"), plan("0.36-m2-learned.toml"));
    assert!(learned.2 - learned.0 < 0.8 * (entered.2 - entered.0), "{entered:?} {learned:?}");
    let truth = 1.15 * kitchen.ready_h();
    assert!(learned.0 < truth && truth < learned.2, "{learned:?}, truth {truth}");
    // what another model learned says nothing here: the history does
    let file = std::fs::read_to_string(kitchen.folder.path().join("0.36-m2-learned.toml")).unwrap();
    kitchen.write("other.toml", &file.replace("\nmodel = 1\n", "\nmodel = 2\n"));
    kitchen.write("next.toml", &running::LOAD.replace("0.36 m2", "other.toml"));
    let refusal = running::refused(&kitchen.run(&["plan", "next.toml"]));
    assert!(
        refusal.contains("is of model 2") && refusal.contains("icefront learn history.csv --dryer \"other.toml\""),
        "{refusal}"
    );
    kitchen.write("first.toml", &file.replace("\nmodel = 1\n", "\n"));
    kitchen.write("next.toml", &running::LOAD.replace("0.36 m2", "first.toml"));
    stdout(&kitchen.run(&["plan", "next.toml", "--draws", "0"]));
    // without draws the plan takes the middle of what was learned
    kitchen.write("next.toml", &running::LOAD.replace("0.36 m2", "0.36-m2-learned.toml"));
    let told: Value =
        serde_json::from_str(&stdout(&kitchen.run(&["plan", "next.toml", "--json", "--draws", "0"]))).unwrap();
    let middle = told.pointer("/time_h/food_ready/typical_run").and_then(Value::as_f64).unwrap();
    assert!((middle / truth - 1.0).abs() < 0.08, "{middle} h, truth {truth} h");
}

#[test]
fn a_wild_batch_is_named_and_the_file_is_not_written_over() {
    let kitchen = Kitchen::new();
    log_batches(&kitchen, 1.0, Some(2));
    let text = stdout(&kitchen.run(&[
        "learn",
        "history.csv",
        "--dryer",
        "0.36 m2",
        "--out",
        "mine.toml",
        "--chart",
        "learn.svg",
    ]));
    let svg = std::fs::read_to_string(kitchen.folder.path().join("learn.svg")).unwrap();
    assert!(svg.contains("mean of 3 batches") && svg.contains("once learned</title>"), "{svg}");
    assert!(text.contains("DO NOT FIT: rice 2."), "{text}");
    for part in ["HOW FAR OFF", "BATCHES", "LEARNED", "written to mine.toml", "guarantee"] {
        assert!(text.contains(part), "`{part}` is missing in\n{text}");
    }
    let wide: Vec<&str> = text.lines().filter(|line| line.chars().count() > 80).collect();
    assert!(wide.is_empty(), "wider than 80 columns: {wide:#?}");
    let learn = ["learn", "history.csv", "--dryer", "0.36 m2", "--out", "spoken.toml", "--plain"];
    spoken::check(&stdout(&kitchen.run(&learn)));
    let log = ["log", "load.toml", "--readings", "readings.csv", "--history", "spoken.csv", "--plain"];
    spoken::check(&stdout(&kitchen.run(&log)));
    let learned = std::fs::read_to_string(kitchen.folder.path().join("mine.toml")).unwrap();
    assert!(
        refused(&kitchen.run(&["learn", "history.csv", "--dryer", "0.36 m2", "--out", "mine.toml"]))
            .contains("--force")
    );
    // learning anew from the learned file begins from what was entered: nothing counts twice
    stdout(&kitchen.run(&["learn", "history.csv", "--dryer", "mine.toml", "--out", "again.toml"]));
    assert_eq!(std::fs::read_to_string(kitchen.folder.path().join("again.toml")).unwrap(), learned);
}

/// Readings that no machine of the model explains pull its unknowns far out, but never beyond what a dryer file may hold.
#[test]
fn whatever_was_learned_is_a_dryer_file_that_can_be_planned() {
    let kitchen = Kitchen::new();
    kitchen.write("batch.toml", include_str!("ledger/kitchen/batch.toml"));
    for (name, readings) in [
        ("a", "4.1,,1,330,2.15\n8.9,finished,,,4.6\n"),
        ("b", "4.4,,1,352,2.3\n9.3,finished,,,4.8\n"),
        ("c", "3.8,,1,300,2\n8.8,finished,,,4.55\n"),
    ] {
        kitchen.write("readings.csv", &format!("time_h,event,tray,water_lost_g,energy_kWh\n{readings}"));
        stdout(&kitchen.run(&["log", "batch.toml", "--readings", "readings.csv", "--name", name]));
    }
    let json = stdout(&kitchen.run(&["learn", "history.csv", "--dryer", "0.36 m2", "--out", "mine.toml", "--json"]));
    kitchen.write("next.toml", &running::LOAD.replace("0.36 m2", "mine.toml"));
    stdout(&kitchen.run(&["plan", "next.toml", "--draws", "0"]));
    let words = json.split(|c: char| c.is_whitespace() || c == ',');
    let numbers: Vec<f64> = words.filter_map(|word| word.parse().ok()).collect();
    assert!(numbers.len() > 10, "{json}");
    assert!(numbers.iter().all(|x| format!("{x:.6e}").parse() == Ok(*x)), "more than seven digits in\n{json}");
}

#[test]
fn what_cannot_be_learned_from_is_refused() {
    let kitchen = Kitchen::new();
    log_batches(&kitchen, 1.0, None);
    for (args, part) in [
        (["learn", "history.csv", "--dryer", "0.60 m2"], "no reading of a batch in dryer `0.60 m2`"),
        (["learn", "history.csv", "--dryer", "0.63 m2"], "is not known"),
        (["learn", "none.csv", "--dryer", "0.36 m2"], "no such file"),
        (["learn", "load.toml", "--dryer", "0.36 m2"], "not a history"),
    ] {
        let told = refused(&kitchen.run(&args));
        assert!(told.contains(part), "`{part}` is missing in\n{told}");
    }
    for (learned, part) in [
        ("[learned]\nfrom = \"x\"\n", "`unknown` is missing"),
        ("[learned]\nfrom = \"x\"\n[[learned.unknown]]\nname = \"contact.gap\"\nbest = 99\ndraws = []\n", "-20 to 20"),
        (
            "[learned]\nfrom = \"x\"\n[[learned.unknown]]\nname = \"contact.gap\"\nbest = 0\ndraws = [1]\n",
            "1 numbers instead of 16",
        ),
    ] {
        let dryer = stdout(&kitchen.run(&["dryers", "0.36 m2"])) + "\n" + learned;
        kitchen.write("mine.toml", &dryer);
        kitchen.write("next.toml", &running::LOAD.replace("0.36 m2", "mine.toml"));
        let told = refused(&kitchen.run(&["plan", "next.toml", "--draws", "0"]));
        assert!(told.contains(part), "`{part}` is missing in\n{told}");
    }
}
