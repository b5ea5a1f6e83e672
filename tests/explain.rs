//! `icefront explain`: shares add up, what it says would help is what a plan with that help says, thin before thick.
//! Loads are invented.

#[path = "common/program.rs"]
mod program;

use program::{TWO_LAYERS, in_80_columns, json, kitchen, number, refused, said, word};
use serde_json::Value;

fn gain(answer: &Value, what: &str) -> f64 {
    let gains = answer["twice_as_good"].as_array().unwrap();
    let found = gains.iter().find(|gain| gain["what"] == what).unwrap();
    number(found, "/ready_sooner_h")
}

#[test]
fn shares_add_up_and_every_stage_has_its_limit() {
    let folder = tempfile::tempdir().unwrap();
    for tray in ["1", "2", "6"] {
        let answer = json(folder.path(), &["explain", "--tray", tray, "--json"]);
        let shares: f64 = answer["resistance_share"].as_object().unwrap().values().filter_map(Value::as_f64).sum();
        approx::assert_relative_eq!(shares, 1.0, max_relative = 1e-5);
        assert_eq!(answer["binds"].as_object().map(serde_json::Map::len), Some(4));
    }
    let text = said(folder.path(), &["explain", "--equations", "--out", "there"]);
    in_80_columns(&text);
    for part in ["WHAT BINDS", "RESISTANCES IN SERIES", "TWICE AS GOOD", "THIS TRAY ALONE", "EQUATIONS", "guarantee"] {
        assert!(text.contains(part), "`{part}` is missing in\n{text}");
    }
    assert!(folder.path().join("there/explain.svg").exists());
    let plain = said(folder.path(), &["explain", "--plain"]);
    assert!(!plain.contains('#'), "bars are no words");
}

/// The gain is that of a plan with a dryer file in which the number is doubled.
#[test]
fn what_would_help_is_computed_again() {
    let folder = kitchen(TWO_LAYERS);
    let ready = |sheet: &str| {
        number(&json(folder.path(), &["plan", sheet, "--draws", "0", "--json"]), "/time_h/food_ready/typical")
    };
    let dryer = said(folder.path(), &["dryers", "0.60 m2"]);
    let doubled = |line: &str| match line.split_once("wall_conductance_w_per_k = ") {
        Some(("", told)) => {
            let told: f64 = told.split_whitespace().next().unwrap().parse().unwrap();
            format!("wall_conductance_w_per_k = {}\n", 2.0 * told)
        }
        _ => format!("{line}\n"),
    };
    let mine: String = dryer.lines().map(doubled).collect();
    assert_ne!(mine, dryer);
    std::fs::write(folder.path().join("mine.toml"), mine).unwrap();
    std::fs::write(folder.path().join("other.toml"), TWO_LAYERS.replace("0.60 m2", "mine.toml")).unwrap();
    let answer = json(folder.path(), &["explain", "load.toml", "--json"]);
    let expected = ready("load.toml") - ready("other.toml");
    let got = gain(&answer, "refrigerant_to_wall");
    assert!((got - expected).abs() < 1e-4, "got {got} h, expected {expected} h");
}

#[test]
fn thin_dries_before_thick() {
    let folder = kitchen(TWO_LAYERS);
    let answer = json(folder.path(), &["explain", "load.toml", "--tray", "2", "--json"]);
    let sides = answer["this_tray"].as_array().unwrap();
    let side = |what: &str| sides.iter().find(|side| side["what"] == what).unwrap();
    let dry = |what: &str| number(side(what), "/dry_at_h");
    assert!(dry("half as deep") < dry("as it is") && dry("as it is") < dry("twice as deep"));
    // the deeper, the more of it is the way through the dried layer
    let dried = |what: &str| number(side(what), "/resistance_share/dried_layer_vapour");
    assert!(dried("half as deep") < dried("twice as deep"));
    assert!(number(side("fatty, 20 % fat"), "/food_kg") > 0.0);
    assert_eq!(word(&answer, "/tray"), "tray 2");
}

#[test]
fn a_tray_that_is_not_there_is_refused() {
    let folder = kitchen(TWO_LAYERS);
    let error = refused(folder.path(), &["explain", "load.toml", "--tray", "3"]);
    assert!(error.contains("trays 1 to 2"), "{error}");
}
