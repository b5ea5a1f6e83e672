//! `icefront explain`: shares add up, what it says would help is what a plan with that help says, thin before thick.
//! Loads are invented.

use crate::program;

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
    for part in [
        "WHAT LIMITS IT",
        "RESISTANCES IN SERIES",
        "TWICE AS GOOD",
        "THE LARGEST RESISTANCE",
        "THIS TRAY CHANGED",
        "EQUATIONS",
        "guarantee",
    ] {
        assert!(text.contains(part), "`{part}` is missing in\n{text}");
    }
    assert!(folder.path().join("there/explain.svg").exists() && folder.path().join("there/usable.svg").exists());
    let plain = said(folder.path(), &["explain", "--plain"]);
    assert!(!plain.contains('#'), "bars are no words");
}

/// The gain is that of a plan with a dryer file in which the number is doubled.
#[test]
fn what_would_help_is_computed_again() {
    let folder = kitchen(TWO_LAYERS);
    let ready = |sheet: &str| {
        number(&json(folder.path(), &["plan", sheet, "--draws", "0", "--json"]), "/time_h/food_ready/typical_run")
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
    let answer = json(folder.path(), &["explain", "load.toml", "--samples", "0", "--json"]);
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
    let (thin, thick) = ("half as deep, half the weight", "twice as deep, twice the weight");
    assert!(dry(thin) < dry("as it is") && dry("as it is") < dry(thick));
    // the deeper, the more of it is the way through the dried layer
    let dried = |what: &str| number(side(what), "/resistance_share/dried_layer_vapour");
    assert!(dried(thin) < dried(thick));
    let food_kg = |what: &str| number(side(what), "/food_kg");
    approx::assert_relative_eq!(food_kg(thin) / food_kg("as it is"), 0.5, max_relative = 1e-6);
    assert_eq!(side(thin)["kept"], serde_json::json!({ "weight": false, "depth": false }));
    assert_eq!(word(&answer, "/tray"), "tray 2");
}

/// At equal size a fatty food holds less water and is dry sooner, but each kg of its water takes no less time (physics: fat
/// takes the place of water and coats the pores). That holds where the sheet gives an amount too.
#[test]
fn fat_takes_the_place_of_water_at_equal_size() {
    for amount in ["depth = \"12 mm\"", "amount = \"1.2 kg\""] {
        let folder = kitchen(&TWO_LAYERS.replace("depth = \"12 mm\"", amount));
        let answer = json(folder.path(), &["explain", "load.toml", "--tray", "1", "--json"]);
        let sides = answer["this_tray"].as_array().unwrap();
        let of = |what: &str, path: &str| number(sides.iter().find(|side| side["what"] == what).unwrap(), path);
        let [lean, fatty] = ["lean, 3 % fat", "fatty, 20 % fat"];
        assert!(of(fatty, "/water_kg") < of(lean, "/water_kg"));
        assert!(of(fatty, "/dry_at_h") < of(lean, "/dry_at_h"));
        let per_kg = |what: &str| of(what, "/drying_h_per_kg_water");
        assert!(per_kg(fatty) > 0.99 * per_kg(lean), "{} {}", per_kg(fatty), per_kg(lean));
    }
    let text = said(kitchen(TWO_LAYERS).path(), &["explain", "load.toml"]);
    let words = text.split_whitespace().collect::<Vec<_>>().join(" ");
    for part in ["Not computed, known from practice", "stays greasy", "does not keep as long", "can stay wet"] {
        assert!(words.contains(part), "`{part}` is missing in\n{text}");
    }
}

/// A resistance taken away hands the bottleneck on: what is gained is less than its share, and something else is named.
/// Easing all at once is what the last one saves on top of all the others, one by one.
#[test]
fn the_largest_resistance_is_not_the_bottleneck_of_a_full_load() {
    let folder = tempfile::tempdir().unwrap();
    let answer = json(folder.path(), &["explain", "--json"]);
    let largest = &answer["largest_resistance"];
    let (share, saved) = (number(largest, "/share"), number(largest, "/ready_sooner_h"));
    let shares = answer["resistance_share"].as_object().unwrap();
    assert_eq!(shares[word(largest, "/what")].as_f64(), Some(share));
    assert!(saved > 0.0 && saved / number(&answer, "/food_ready_h") < share);
    assert!(number(largest, "/held_back_without_share") > number(largest, "/held_back_share"), "the condenser is next");
    assert!(number(largest, "/then_ready_sooner_h") > 0.0 && largest["then"] != largest["what"]);
    // no lever alone saves more than all together; the pressure limit helps less once the condenser takes more
    let all = number(&answer, "/all_ready_sooner_h");
    let gains = answer["twice_as_good"].as_array().unwrap();
    assert!(gains.iter().all(|gain| number(gain, "/ready_sooner_h") < all));
    let limit = gains.iter().find(|gain| gain["what"] == "pressure_limit").unwrap();
    assert!(number(limit, "/ready_sooner_last_h") < 0.6 * number(limit, "/ready_sooner_h"));
}

/// On the map a warmer shelf is faster and comes out no better, as long as nothing melts; the fastest comes out as well as the
/// gentlest, and sooner.
#[test]
fn the_map_of_a_food_gets_faster_and_no_better_with_warmer_shelves() {
    let folder = kitchen(&TWO_LAYERS.replace("cooked rice", "plain yogurt"));
    let answer = json(folder.path(), &["explain", "load.toml", "--tray", "1", "--json"]);
    let cells = answer["usable"]["cells"].as_array().unwrap();
    assert_eq!(cells.len(), 48);
    let order = ["keeps", "softens", "shrinks", "melts", "never_dry"];
    let grade = |cell: &Value| order.iter().position(|known| *known == word(cell, "/grade")).unwrap();
    for row in cells.chunks(8) {
        for pair in row.windows(2).filter(|pair| pair[0]["dry_h"].is_number()) {
            assert!(grade(&pair[1]) >= grade(&pair[0]), "warmer is no better: {pair:?}");
            if grade(&pair[1]) >= 3 {
                continue;
            }
            assert!(number(&pair[1], "/dry_h") < number(&pair[0], "/dry_h"), "warmer is faster: {pair:?}");
        }
    }
    let [gentlest, fastest] = ["gentlest", "fastest"].map(|which| &answer["usable"][which]);
    assert!(grade(fastest) <= grade(gentlest));
    assert!(number(fastest, "/dry_h") <= number(gentlest, "/dry_h"));
    assert!(cells.iter().any(|cell| grade(cell) > grade(gentlest)), "the map has an edge");
}

#[test]
fn a_tray_that_is_not_there_is_refused() {
    let folder = kitchen(TWO_LAYERS);
    let error = refused(folder.path(), &["explain", "load.toml", "--tray", "3"]);
    assert!(error.contains("trays 1 to 2"), "{error}");
}

#[test]
fn embedded_pieces_have_their_own_row() {
    let sausage = "embedded = { food = \"pork, ground\", size = \"12 mm\", share = \"25 %\" }\n";
    let folder = kitchen(&format!("{TWO_LAYERS}{sausage}"));
    let answer = json(folder.path(), &["explain", "load.toml", "--tray", "2", "--json"]);
    let plan = json(folder.path(), &["plan", "load.toml", "--json"]);
    // of the strip that lies worst
    let [rice, pork, ..] = &answer["parts"].as_array().unwrap()[..] else { unreachable!() };
    assert!(word(pork, "/what").starts_with("with pork, ground"));
    for (i, part) in [rice, pork].into_iter().enumerate() {
        // the run that stands for all, as in plan
        let expected = number(&plan, &format!("/trays/1/parts/{i}/dry_at_h"));
        approx::assert_relative_eq!(number(part, "/dry_at_h"), expected, max_relative = 1e-6);
        let shares: f64 = part["resistance_share"].as_object().unwrap().values().filter_map(Value::as_f64).sum();
        approx::assert_relative_eq!(shares, 1.0, max_relative = 1e-5);
    }
    // 25 % of 12 mm in cubes as high as the layer: a quarter of the floor, of which two fifths lie worst
    approx::assert_relative_eq!(number(pork, "/floor_share"), 0.4 * 0.25, max_relative = 1e-6);
    // fat coats the pores: more of the pork's fall is spent in its dried layer
    let dried = |part: &Value| number(part, "/resistance_share/dried_layer_vapour");
    assert!(dried(pork) > dried(rice), "{} against {}", dried(pork), dried(rice));
    let text = said(folder.path(), &["explain", "load.toml", "--tray", "2"]);
    in_80_columns(&text);
    assert!(text.contains("PARTS OF THIS TRAY") && text.contains("with pork, ground"), "{text}");
    // a tray that is alike all over has none
    let even = kitchen(&format!("{TWO_LAYERS}uneven_contact = \"0 %\"\n"));
    assert!(!said(even.path(), &["explain", "load.toml", "--tray", "2"]).contains("PARTS OF THIS TRAY"));
}

/// Pieces are denser or lighter than what they lie in: the scale tells the two together.
#[test]
fn an_amount_is_that_of_food_and_pieces() {
    let sheet = r#"icefront = 1
dryer = "0.60 m2"
[[tray]]
food = "cooked rice"
shape = "layer"
amount = "900 g"
embedded = { food = "apple", size = "10 mm", share = "60 %" }
"#;
    let folder = kitchen(sheet);
    let text = said(folder.path(), &["plan", "load.toml", "--draws", "0", "--details"]);
    let words = text.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(words.contains("0.90 kg of food becomes"), "{text}");
}

/// The worst part of a tray gets the less heat the more uneven its contact: its ice is the last to go (physics).
#[test]
fn the_last_ice_goes_later_the_more_uneven_the_contact() {
    let ice_gone_h = |uneven: &str| {
        let folder = kitchen(&format!("{TWO_LAYERS}uneven_contact = \"{uneven}\"\n"));
        let answer = json(folder.path(), &["explain", "load.toml", "--tray", "2", "--json"]);
        let parts: Vec<f64> =
            answer["parts"].as_array().unwrap().iter().map(|part| number(part, "/ice_gone_at_h")).collect();
        assert!(parts.windows(2).all(|pair| pair[0] >= pair[1]), "from the worst to the best: {parts:?}");
        (parts.len(), number(&answer["this_tray"][0], "/ice_gone_at_h"))
    };
    let [(none, even), (two, some), (_, much)] = ["0 %", "30 %", "60 %"].map(ice_gone_h);
    assert_eq!((none, two), (0, 2));
    assert!(even < some && some < much, "{even} h, {some} h, {much} h");
}
