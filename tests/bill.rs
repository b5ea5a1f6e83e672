//! The bill: flat and by the hour against the plan's own energy and history, shares of ingredients by hand, other ways to run.
//! Loads and prices are invented.

use std::path::Path;
use std::process::{Command, Output};

use serde_json::Value;

const TRAYS: &str = "[[tray]]\nrecipe = \"stew\"\nshape = \"layer\"\namount = \"900 g\"\n\
    [[tray]]\nfood = \"cooked rice\"\nshape = \"layer\"\namount = \"800 g\"\n\
    [recipe.stew]\n\"kidney beans, cooked\" = \"500 g\"\n\"tomatoes, cooked\" = \"400 g\"\n\"olive oil\" = \"100 g\"\n";
const FLAT: &str =
    "icefront = 1\ndryer = \"0.60 m2\"\nservings = 5\n[tariff]\nprice_per_kwh = 0.4\ncurrency = \"EUR\"\n";
const NIGHT: &str = "[[tariff.period]]\nfrom = \"22:00\"\nuntil = \"06:00\"\nprice_per_kwh = 0.1\n";

fn icefront(folder: &Path, arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_icefront")).args(arguments).current_dir(folder).output().unwrap()
}

fn kitchen(sheet: &str) -> tempfile::TempDir {
    let folder = tempfile::tempdir().unwrap();
    std::fs::write(folder.path().join("load.toml"), sheet).unwrap();
    folder
}

fn json(sheet: &str, arguments: &[&str]) -> Value {
    let folder = kitchen(sheet);
    let output = icefront(folder.path(), arguments);
    assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
    serde_json::from_slice(&output.stdout).unwrap()
}

fn bill(sheet: &str, start: &str) -> Value {
    json(sheet, &["bill", "load.toml", "--json", "--draws", "0", "--start", start])
}

fn f(value: &Value, path: &str) -> f64 {
    value.pointer(path).and_then(Value::as_f64).unwrap_or_else(|| panic!("{path} in {value}"))
}

/// Expected: the plan's own kilowatt-hours times the price.
#[test]
fn a_flat_price_is_the_plans_energy_at_that_price() {
    let sheet = format!("{FLAT}{TRAYS}");
    let plan = json(&sheet, &["plan", "load.toml", "--json", "--draws", "0"]);
    let kwh = f(&plan, "/energy_kwh/total/typical_run");
    let bill = bill(&sheet, "13:00");
    approx::assert_relative_eq!(f(&bill, "/energy_kwh/typical_run"), kwh, max_relative = 1e-6);
    approx::assert_relative_eq!(f(&bill, "/electricity/typical_run"), 0.4 * kwh, max_relative = 1e-6);
    approx::assert_relative_eq!(
        f(&bill, "/electricity/typical_run"),
        f(&plan, "/cost/typical_run"),
        max_relative = 1e-6
    );
    for start in bill["starts"].as_array().unwrap() {
        approx::assert_relative_eq!(f(start, "/cost"), 0.4 * kwh, max_relative = 1e-6);
    }
}

/// Expected: the history that `plan --out` writes, summed minute by minute by hand.
#[test]
fn hours_are_priced_as_the_history_has_them() {
    let sheet = format!("{FLAT}{NIGHT}{TRAYS}");
    let folder = kitchen(&sheet);
    assert!(icefront(folder.path(), &["plan", "load.toml", "--draws", "0", "--out", "run"]).status.success());
    let mut reader = csv::Reader::from_path(folder.path().join("run/history.csv")).unwrap();
    let header = reader.headers().unwrap().clone();
    let column = |name: &str| header.iter().position(|h| h == name).unwrap_or_else(|| panic!("{name} in {header:?}"));
    let columns: Vec<usize> = ["compressor", "vacuum_pump", "heaters", "other"]
        .iter()
        .map(|consumer| column(&format!("energy_{consumer}_kwh")))
        .collect();
    let time = column("time_h");
    let rows: Vec<(f64, f64)> = reader
        .records()
        .map(|record| {
            let record = record.unwrap();
            (record[time].parse().unwrap(), columns.iter().map(|c| record[*c].parse::<f64>().unwrap()).sum())
        })
        .collect();
    let energy_at = |hour: f64| {
        let after = rows.iter().position(|(t, _)| *t >= hour).unwrap_or(rows.len() - 1).max(1);
        let ((t0, e0), (t1, e1)) = (rows[after - 1], rows[after]);
        if t1 > t0 { (e0 + (e1 - e0) * ((hour - t0) / (t1 - t0)).clamp(0.0, 1.0)).max(e0) } else { e1 }
    };
    let end = rows.last().unwrap().0;
    let by_hand = |start: f64| {
        let minutes = (end * 60.0).ceil() as u32;
        let price = |hour: f64| if (6.0..22.0).contains(&(hour % 24.0)) { 0.4 } else { 0.1 };
        (0..minutes)
            .map(|m| {
                let (from, to) = (f64::from(m) / 60.0, (f64::from(m + 1) / 60.0).min(end));
                (energy_at(to) - energy_at(from)) * price(start + 0.5 * (from + to))
            })
            .sum::<f64>()
    };
    let mut costs = Vec::new();
    for (clock, hour) in [("18:00", 18.0), ("22:00", 22.0), ("06:00", 6.0)] {
        let cost = f(&bill(&sheet, clock), "/electricity/typical_run");
        // the history is printed to a few digits
        approx::assert_relative_eq!(cost, by_hand(hour), max_relative = 2e-3);
        costs.push(cost);
    }
    let answer = bill(&sheet, "18:00");
    let cheapest = answer["starts"].as_array().unwrap().iter().map(|s| f(s, "/cost")).fold(f64::INFINITY, f64::min);
    assert!(costs.iter().all(|cost| cheapest <= *cost + 1e-9));
}

/// Expected: by hand. 900 g of a stew of 5:4:1; beans at 1.20 for 600 g, oil at 8 for 1 kg, rice at 2 for 2.5 kg cooked.
#[test]
fn ingredients_packs_and_absorbers_by_their_share() {
    let prices = "[pack]\nprice = 0.5\nabsorber = \"300 ml\"\nabsorber_price = 0.2\n\
        [price.\"kidney beans, cooked\"]\npaid = 1.2\ngives = \"600 g\"\n[price.\"olive oil\"]\npaid = 8\ngives = \"1 kg\"\n\
        [price.\"cooked rice\"]\npaid = 2\ngives = \"2.5 kg\"\n";
    let bill = bill(&format!("{FLAT}{prices}{TRAYS}"), "18:00");
    let [stew, rice] = [0, 1].map(|i| &bill["foods"][i]);
    approx::assert_relative_eq!(f(stew, "/ingredients"), 0.45 / 0.6 * 1.2 + 0.09 * 8.0, max_relative = 1e-6);
    approx::assert_relative_eq!(f(rice, "/ingredients"), 0.8 / 2.5 * 2.0, max_relative = 1e-6);
    assert_eq!(bill["unpriced"], serde_json::json!(["tomatoes, cooked"]));
    // 1.7 kg in 5 servings of 340 g: 3 and 2 packs
    assert_eq!((f(stew, "/packs"), f(rice, "/packs")), (3.0, 2.0));
    assert_eq!((f(stew, "/containers"), f(rice, "/containers")), (1.5, 1.0));
    assert!(f(rice, "/absorbers") >= 0.4 - 1e-9);
    approx::assert_relative_eq!(f(&bill, "/servings"), 5.0, max_relative = 1e-6);
    // the foods' bills are the whole bill
    let parts = ["ingredients", "electricity", "containers", "absorbers"];
    let sum: f64 = [stew, rice].iter().flat_map(|food| parts.map(|part| f(food, &format!("/{part}")))).sum();
    approx::assert_relative_eq!(f(&bill, "/total/typical_run"), sum, max_relative = 1e-6);
}

#[test]
fn other_ways_change_the_bill_as_a_cook_expects() {
    let bill = bill(&format!("{FLAT}{TRAYS}"), "18:00");
    let way = |kind: &str| bill["ways"].as_array().unwrap().iter().find(|w| w["kind"] == kind).unwrap();
    let given = way("as-given");
    let frozen = way("frozen-before");
    // sooner; not always cheaper, since a block frozen before lies less well on its tray
    assert!(f(frozen, "/food_ready_h") < f(given, "/food_ready_h"));
    // 1.7 kg, about 75 % water frozen at 334 kJ/kg, over 1.4
    assert!((0.05..0.15).contains(&f(frozen, "/freezer_energy_kwh")), "{frozen}");
    let (half, full) = (way("half-the-trays"), way("every-shelf"));
    assert!(f(half, "/per_serving") > f(given, "/per_serving"), "a half-empty dryer costs more a serving");
    assert!(f(full, "/per_serving") < f(given, "/per_serving"));
    approx::assert_relative_eq!(f(half, "/fresh_kg"), 0.9, max_relative = 1e-6);
}

#[test]
fn what_cannot_be_reckoned_is_refused() {
    let told = |sheet: &str, part: &str| {
        let folder = kitchen(sheet);
        let output = icefront(folder.path(), &["bill", "load.toml"]);
        let message = String::from_utf8_lossy(&output.stderr);
        assert_eq!(output.status.code(), Some(2), "{message}");
        assert!(message.contains(part), "{message}");
    };
    told(&format!("icefront = 1\ndryer = \"0.60 m2\"\n{TRAYS}"), "no price of electricity");
    let rig = FLAT.replace("dryer = \"0.60 m2\"\n", "") + "[rig]\nshelf = \"30 C\"\nvapour_pressure = \"40 Pa\"\n";
    told(&format!("{rig}{}", TRAYS.replace("amount", "area = \"0.1 m2\"\namount")), "uses no electricity");
}

#[test]
fn the_text_fits_and_says_when_to_start() {
    let folder = kitchen(&format!("{FLAT}{NIGHT}{TRAYS}"));
    let output = icefront(folder.path(), &["bill", "load.toml", "--draws", "8"]);
    let text = String::from_utf8(output.stdout).unwrap();
    for part in ["WHEN TO START: cheapest at", "OTHER WAYS", "frozen in a freezer", "NOT COUNTED", "8 times in 10"] {
        assert!(text.contains(part), "`{part}` is missing in\n{text}");
    }
    assert!(text.lines().all(|line| line.chars().count() <= 80), "a line is too long in\n{text}");
}
