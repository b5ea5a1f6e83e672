//! The program as a cook runs it: main paths, JSON keys, files that are never overwritten unasked, closed pipes.

use crate::spoken;

use std::path::Path;
use std::process::{Command, Output, Stdio};

use serde_json::Value;

fn icefront() -> Command {
    Command::new(env!("CARGO_BIN_EXE_icefront"))
}

fn run(folder: &Path, args: &[&str]) -> Output {
    icefront().args(args).current_dir(folder).output().unwrap()
}

fn stdout(output: &Output) -> String {
    assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
    assert!(output.stderr.is_empty(), "stderr is not quiet: {}", String::from_utf8_lossy(&output.stderr));
    String::from_utf8(output.stdout.clone()).unwrap()
}

fn demonstration() -> Value {
    let folder = tempfile::tempdir().unwrap();
    serde_json::from_str(&stdout(&run(folder.path(), &["plan", "--json", "--draws", "0"]))).unwrap()
}

fn typical(value: &Value, path: &str) -> f64 {
    value
        .pointer(&format!("{path}/typical_run"))
        .and_then(Value::as_f64)
        .unwrap_or_else(|| panic!("no number at {path}"))
}

#[test]
fn the_demonstration_is_told_in_80_columns() {
    let folder = tempfile::tempdir().unwrap();
    let text = stdout(&run(folder.path(), &["plan", "--demo", "--details"]));
    for part in [
        "Ready in about ",
        "8 times in 10",
        "RANGE",
        "RUN UNTIL",
        "MEASURE FIRST",
        "nvented",
        "freezing",
        "defrost",
        "bean stew",
        "LAST: ",
        "whole run",
        "guarantee",
    ] {
        assert!(text.contains(part), "`{part}` is missing in\n{text}");
    }
    assert!(text.contains("EUR at 0.29 EUR per kWh, "), "{text}");
    let wide: Vec<&str> = text.lines().filter(|line| line.chars().count() > 80).collect();
    assert!(wide.is_empty(), "wider than 80 columns: {wide:#?}");
}

#[test]
fn plain_output_is_lines_to_be_read_out() {
    let folder = tempfile::tempdir().unwrap();
    let text = stdout(&run(folder.path(), &["--plain", "plan", "--demo", "--details", "--draws", "0"]));
    assert!(text.contains("tray 1: food bean stew, depth 14 mm, ice gone "), "{text}");
    spoken::check(&text);
    for command in [&["foods", "apple"][..], &["dryers"], &["evidence"]] {
        let output = run(folder.path(), &[command, &["--plain"]].concat());
        assert!(output.status.success(), "{command:?}");
        spoken::check(&String::from_utf8(output.stdout).unwrap());
    }
    std::fs::write(folder.path().join("load.toml"), "icefront = 1\nrom = 2\n").unwrap();
    let refused = run(folder.path(), &["plan", "--plain", "load.toml"]);
    let words = String::from_utf8(refused.stderr).unwrap();
    assert!(words.contains("Error: unknown key `rom`\nload.toml, line 2: rom = 2\n"), "{words}");
    assert!(!words.contains("-->") && !words.contains('^'), "{words}");
}

#[test]
fn the_evidence_is_printed_and_drawn() {
    let folder = tempfile::tempdir().unwrap();
    let evidence = |form: &[&str]| stdout(&run(folder.path(), &[&["evidence"], form].concat()));
    let json: Value = serde_json::from_str(&evidence(&["--json", "--chart", "evidence.svg"])).unwrap();
    let rows = json["rows"].as_array().unwrap();
    assert!(rows.len() >= 150, "{}", rows.len());
    assert_eq!(rows.len() + 1, evidence(&["--csv"]).lines().count());
    assert!(evidence(&[]).starts_with(&format!("{} rows from ", rows.len())));
    assert_eq!(evidence(&["--markdown"]), include_str!("../docs/evidence.md"));
    assert!(std::fs::read_to_string(folder.path().join("evidence.svg")).unwrap().starts_with("<svg"));
}

#[test]
fn output_that_is_no_terminal_has_no_colour() {
    let folder = tempfile::tempdir().unwrap();
    assert!(!stdout(&run(folder.path(), &["plan", "--draws", "0"])).contains('\u{1b}'));
    std::fs::write(folder.path().join("load.toml"), "icefront = 1\n").unwrap();
    assert!(!run(folder.path(), &["plan", "load.toml"]).stderr.contains(&0x1b));
}

#[test]
fn json_has_every_key_and_its_sums_agree() {
    let answer = demonstration();
    let stages = ["freezing", "evacuation", "primary_drying", "secondary_drying", "defrost"];
    let hours: f64 = stages.iter().map(|s| typical(&answer, &format!("/time_h/{s}"))).sum();
    assert!((hours - typical(&answer, "/time_h/total")).abs() < 1e-4);
    let ready = typical(&answer, "/time_h/food_ready");
    assert!((hours - typical(&answer, "/time_h/defrost") - ready).abs() < 1e-4);

    let total = typical(&answer, "/energy_kwh/total");
    let consumers = ["compressor", "vacuum_pump", "heaters", "other"];
    let by_consumer: f64 = consumers.iter().map(|c| typical(&answer, &format!("/energy_kwh/{c}"))).sum();
    let by_stage: f64 = stages.iter().map(|s| typical(&answer, &format!("/energy_kwh/by_stage/{s}"))).sum();
    assert!((by_consumer - total).abs() < 1e-4 && (by_stage - total).abs() < 1e-4);

    let water = |key: &str| typical(&answer, &format!("/water_kg/{key}"));
    assert!((water("loaded") - water("removed") - water("left")).abs() < 1e-4);

    let trays = answer["trays"].as_array().unwrap();
    assert_eq!(trays.len(), 6);
    for (index, tray) in trays.iter().enumerate() {
        assert!(tray["tray"].is_string() && tray["food"].is_string() && tray["flags"].is_array());
        let number = |key: &str| typical(&answer, &format!("/trays/{index}/{key}"));
        assert!(number("ice_gone_at_h") < number("dry_at_h") && number("dry_at_h") <= ready + 1e-4);
        assert!(number("front_max_c") < 0.0 && number("residual_moisture") <= 0.03 + 1e-6);
    }
    assert!((typical(&answer, "/cost") - 0.29 * total).abs() < 1e-4 && answer["cost"]["currency"] == "EUR");
    for key in ["mass_rel", "energy_rel"] {
        assert!(answer["balance"][key].as_f64().unwrap().abs() < 1e-6, "{key}: {}", answer["balance"][key]);
    }
    assert!(answer["cautions"].as_array().unwrap().iter().all(Value::is_string));
}

#[test]
fn a_tariff_gives_cost_and_cost_per_serving() {
    let folder = tempfile::tempdir().unwrap();
    stdout(&run(folder.path(), &["new"]));
    let sheet = std::fs::read_to_string(folder.path().join("load.toml")).unwrap();
    let uncommented = ["servings =", "[tariff]", "price_per_kwh", "currency"]
        .iter()
        .fold(sheet, |sheet, key| sheet.replace(&format!("# {key}"), key));
    std::fs::write(folder.path().join("priced.toml"), uncommented).unwrap();
    let answer: Value = serde_json::from_str(&stdout(&run(folder.path(), &["plan", "priced.toml", "--json"]))).unwrap();
    assert!((typical(&answer, "/cost") - 0.25 * typical(&answer, "/energy_kwh/total")).abs() < 1e-4);
    assert_eq!(answer["cost"]["currency"], "EUR");
    let text = stdout(&run(folder.path(), &["plan", "priced.toml", "--details"]));
    assert!(text.contains("for each of 12 servings"), "{text}");
}

#[test]
fn a_rig_has_times_but_no_machine_and_no_electricity() {
    let folder = tempfile::tempdir().unwrap();
    let sheet = "icefront = 1\n[rig]\nshelf = \"30 C\"\nvapour_pressure = \"20 Pa\"\n[before_loading]\n\
                 method = \"already frozen\"\ntemperature = \"-30 C\"\n[[tray]]\nfood = \"carrots, raw\"\n\
                 shape = \"layer\"\ndepth = \"8 mm\"\narea = \"0.1 m2\"\n";
    std::fs::write(folder.path().join("rig.toml"), sheet).unwrap();
    let answer: Value = serde_json::from_str(&stdout(&run(folder.path(), &["plan", "rig.toml", "--json"]))).unwrap();
    assert!(typical(&answer, "/trays/0/dry_at_h") > 0.0);
    assert!(answer["energy_kwh"]["total"]["typical_run"].is_null(), "unknown energy is not 0");
    assert!(!stdout(&run(folder.path(), &["plan", "rig.toml"])).contains("kWh"));
}

#[test]
fn food_that_never_dries_is_never_told_ready() {
    let folder = tempfile::tempdir().unwrap();
    let sheet = "icefront = 1\n[rig]\nshelf = \"-45 C\"\nvapour_pressure = \"5 Pa\"\n[[tray]]\n\
                 food = \"carrots, raw\"\nshape = \"layer\"\ndepth = \"30 mm\"\narea = \"0.1 m2\"\n";
    std::fs::write(folder.path().join("cold.toml"), sheet).unwrap();
    let answer: Value = serde_json::from_str(&stdout(&run(folder.path(), &["plan", "cold.toml", "--json"]))).unwrap();
    for path in ["/time_h/food_ready", "/time_h/total", "/trays/0/dry_at_h", "/trays/0/ice_gone_at_h"] {
        let median = answer.pointer(&format!("{path}/median")).unwrap();
        assert!(median.is_null(), "{path} is {median}");
    }
    assert!(answer["trays"][0]["flags"].as_array().unwrap().contains(&"ice-left".into()));
    assert!(stdout(&run(folder.path(), &["plan", "cold.toml"])).contains("never gets dry"));
}

#[test]
fn a_new_sheet_can_be_planned_and_is_never_overwritten_unasked() {
    let folder = tempfile::tempdir().unwrap();
    assert!(stdout(&run(folder.path(), &["new", "my load.toml"])).contains("my load.toml"));
    stdout(&run(folder.path(), &["plan", "my load.toml"]));

    let path = folder.path().join("my load.toml");
    std::fs::write(&path, "mine").unwrap();
    let again = run(folder.path(), &["new", "my load.toml"]);
    assert_eq!(again.status.code(), Some(2));
    assert!(String::from_utf8_lossy(&again.stderr).contains("use --force to overwrite it"));
    assert_eq!(std::fs::read_to_string(&path).unwrap(), "mine");

    stdout(&run(folder.path(), &["new", "my load.toml", "--force"]));
    assert!(std::fs::read_to_string(&path).unwrap().contains("[[tray]]"));
}

#[test]
fn out_writes_the_run_over_time_and_its_charts() {
    let folder = tempfile::tempdir().unwrap();
    stdout(&run(folder.path(), &["plan", "--out", "a/b"]));
    let out = folder.path().join("a/b");
    let mut names: Vec<String> =
        std::fs::read_dir(&out).unwrap().map(|f| f.unwrap().file_name().into_string().unwrap()).collect();
    names.sort();
    let trays = (1..=6).flat_map(|tray| [format!("tray-{tray}"), format!("usable-{tray}")]);
    let charts = ["batch", "drying", "machine", "power", "worth"].map(String::from).into_iter().chain(trays);
    let mut expected: Vec<String> = charts.flat_map(|name| [format!("{name}.png"), format!("{name}.svg")]).collect();
    expected.push("history.csv".into());
    expected.sort();
    assert_eq!(names, expected);

    let history = std::fs::read_to_string(out.join("history.csv")).unwrap();
    let header: Vec<&str> = history.lines().next().unwrap().split(',').collect();
    for column in ["time_h", "chamber_pressure_pa", "power_heaters_w", "energy_other_kwh", "tray_6_front_c"] {
        assert!(header.contains(&column), "no column {column}");
    }
    assert!(history.lines().skip(1).all(|row| row.split(',').count() == header.len()));
    let png = std::fs::read(out.join("batch.png")).unwrap();
    assert!(png.starts_with(b"\x89PNG\r\n\x1a\n"));

    std::fs::write(out.join("power.svg"), "mine").unwrap();
    std::fs::remove_file(out.join("history.csv")).unwrap();
    let again = run(folder.path(), &["plan", "--out", "a/b"]);
    assert_eq!(again.status.code(), Some(2));
    assert!(again.stdout.is_empty() && !out.join("history.csv").exists(), "a refused run wrote something");
    assert_eq!(std::fs::read_to_string(out.join("power.svg")).unwrap(), "mine");

    stdout(&run(folder.path(), &["plan", "--out", "a/b", "--force"]));
    assert!(std::fs::read_to_string(out.join("power.svg")).unwrap().contains("<svg"));
}

#[test]
fn a_path_that_cannot_be_written_is_refused_before_the_run() {
    let folder = tempfile::tempdir().unwrap();
    std::fs::write(folder.path().join("file"), "").unwrap();
    for args in [&["plan", "--out", "file/below"][..], &["plan", "--out", "file"], &["new", "file/load.toml"]] {
        let output = run(folder.path(), args);
        let message = String::from_utf8_lossy(&output.stderr);
        assert_eq!(output.status.code(), Some(2), "{args:?}: {message}");
        assert!(message.contains("cannot write") && message.contains("file"), "{args:?}: {message}");
        assert!(output.stdout.is_empty());
    }
}

#[cfg(target_os = "linux")]
#[test]
fn a_folder_that_can_only_be_read_is_refused() {
    let folder = tempfile::tempdir().unwrap();
    let output = run(folder.path(), &["plan", "--out", "/proc/icefront"]);
    assert_eq!(output.status.code(), Some(2));
    assert!(String::from_utf8_lossy(&output.stderr).contains("cannot write `/proc/icefront`"));
    assert!(output.stdout.is_empty());
}

#[test]
fn a_closed_pipe_is_no_error() {
    for args in [&["plan"][..], &["plan", "--json"], &["foods"], &["--help"]] {
        let (reader, writer) = std::io::pipe().unwrap();
        drop(reader);
        let output = icefront().args(args).stdout(writer).stderr(Stdio::piped()).output().unwrap();
        assert!(output.status.success() && output.stderr.is_empty(), "{args:?}: {output:?}");
    }
}

#[test]
fn a_dryer_can_be_printed_changed_and_used() {
    let folder = tempfile::tempdir().unwrap();
    let list = stdout(&run(folder.path(), &["dryers"]));
    for name in ["0.36 m2", "0.60 m2", "1.00 m2"] {
        assert!(list.contains(name), "{list}");
    }
    assert!(list.contains("invented"), "{list}");
    let mine = stdout(&run(folder.path(), &["dryers", "1.00 m2"])).replace("\"1.00 m2\"", "\"0.90 m2\"");
    std::fs::create_dir(folder.path().join("sheets")).unwrap();
    std::fs::write(folder.path().join("sheets/mine.toml"), mine).unwrap();
    let sheet =
        "icefront = 1\ndryer = \"mine.toml\"\n[[tray]]\nfood = \"apple\"\nshape = \"layer\"\ndepth = \"9 mm\"\n";
    std::fs::write(folder.path().join("sheets/load.toml"), sheet).unwrap();
    let text = stdout(&run(folder.path(), &["plan", "sheets/load.toml", "--details"]));
    assert!(text.contains("dryer 0.90 m2"), "a dryer file is looked for beside the sheet: {text}");
}

#[test]
fn the_range_is_the_same_on_one_and_two_threads_and_orders_its_numbers() {
    let folder = tempfile::tempdir().unwrap();
    let sheet = "icefront = 1\ndryer = \"0.36 m2\"\nroom = \"20 C +- 4 C\"\n[[tray]]\nfood = \"apple\"\nshape = \
                 \"layer\"\ndepth = \"9..14 mm\"\n";
    std::fs::write(folder.path().join("load.toml"), sheet).unwrap();
    let plan = |more: &[&str]| {
        stdout(&run(folder.path(), &[&["plan", "load.toml", "--json", "--draws", "96"], more].concat()))
    };
    let (one, two) = (plan(&["--threads", "1"]), plan(&["--threads", "2"]));
    assert_eq!(one, two);
    assert_ne!(one, plan(&["--seed", "2"]));
    let answer: Value = serde_json::from_str(&one).unwrap();
    for path in ["/time_h/food_ready", "/energy_kwh/total", "/trays/0/dry_at_h", "/water_kg/loaded"] {
        let at = |key: &str| answer.pointer(&format!("{path}/{key}")).and_then(Value::as_f64).unwrap();
        assert!(at("low") < at("median") && at("median") < at("high"), "{path}");
    }
    assert_eq!(answer["range"]["draws"], 96);
    // without a tariff there is no cost, low or high
    assert!(answer["cost"]["low"].is_null() && answer["cost"]["high"].is_null());
    assert!(!answer["range"]["measure_first"].as_array().unwrap().is_empty());
}

#[test]
fn absurd_ranges_are_refused_with_their_place() {
    let folder = tempfile::tempdir().unwrap();
    for (depth, part) in [("18..12 mm", "is not below"), ("3 mm +- 2 mm", "reaches from"), ("12..18", "no unit")] {
        let sheet = format!(
            "icefront = 1\ndryer = \"0.36 m2\"\n[[tray]]\nfood = \"apple\"\nshape = \"layer\"\ndepth = \"{depth}\"\n"
        );
        std::fs::write(folder.path().join("load.toml"), sheet).unwrap();
        let output = run(folder.path(), &["plan", "load.toml"]);
        let message = String::from_utf8_lossy(&output.stderr).to_string();
        assert_eq!(output.status.code(), Some(2), "{depth}: {message}");
        assert!(message.contains("load.toml:6") && message.contains(part), "{depth}: {message}");
    }
}

#[test]
fn foods_are_looked_up_by_words() {
    let folder = tempfile::tempdir().unwrap();
    let found = stdout(&run(folder.path(), &["foods", "apple", "raw"]));
    assert!(found.contains("Apples, raw") && !found.contains("Turkey"), "{found}");
    let json: Value = serde_json::from_str(&stdout(&run(folder.path(), &["foods", "apple", "raw", "--json"]))).unwrap();
    let first = json["foods"][0].as_object().unwrap();
    // USDA SR28: apples, raw, with skin; 85.56 of 99.99 g are water
    assert_eq!((first["id"].as_str(), first["fit"].as_str()), (Some("09003"), Some("suits")), "{first:?}");
    approx::assert_relative_eq!(first["composition"]["water"].as_f64().unwrap(), 85.56 / 99.99, max_relative = 1e-6);
    assert_eq!((json["id"].as_str(), json["sure"].as_bool()), (Some("09003"), Some(true)));
    let all = stdout(&run(folder.path(), &["foods"]));
    assert!(all.lines().count() > 400);
    assert!(all.lines().all(|line| line.chars().count() <= 80), "{all}");
}

#[test]
fn amount_and_depth_lead_to_the_same_load() {
    let folder = tempfile::tempdir().unwrap();
    let loaded_kg = |lines: &str| {
        let sheet = format!("icefront = 1\ndryer = \"0.60 m2\"\n[[tray]]\nfood = \"bananas, raw\"\n{lines}");
        std::fs::write(folder.path().join("x.toml"), sheet).unwrap();
        let answer: Value =
            serde_json::from_str(&stdout(&run(folder.path(), &["plan", "x.toml", "--json", "--draws", "0"]))).unwrap();
        typical(&answer, "/water_kg/loaded")
    };
    let close = |a: f64, b: f64| assert!((a / b - 1.0).abs() < 1e-3, "{a} kg is not {b} kg");
    // bananas are 74.91 % water (USDA SR28 09040)
    close(loaded_kg("shape = \"layer\"\namount = \"800 g\"\n"), 0.8 * 0.7491);
    close(loaded_kg("shape = \"layer\"\ndepth = \"8 mm\"\namount = \"800 g\"\n"), 0.8 * 0.7491);
    close(loaded_kg("shape = \"cubes\"\nsize = \"10 mm\"\namount = \"800 g\"\n"), 0.8 * 0.7491);
    let by_depth = loaded_kg("shape = \"layer\"\ndepth = \"12 mm\"\n");
    close(loaded_kg("shape = \"layer\"\nfilled_to = \"12 mm\"\n"), by_depth);
    // a layer holds the air of a cup of slices (950 g/L in USDA SR28), closely set cubes do not
    assert!(loaded_kg("shape = \"cubes\"\nsize = \"6 mm\"\nlayers = 2\ncoverage = 1.0\n") > by_depth);
}

/// What is simmered down by a third has lost a third of its weight, all of it water.
#[test]
fn a_dish_simmered_down_has_less_water() {
    let folder = tempfile::tempdir().unwrap();
    let water_kg = |cooking: &str| {
        let sheet = format!(
            "icefront = 1\ndryer = \"0.60 m2\"\n[[tray]]\nrecipe = \"x\"\nshape = \"layer\"\namount = \"300 g\"\n\
             [recipe.x]\n\"bananas, raw\" = \"600 g\"\nwater = \"300 g\"\n{cooking}"
        );
        std::fs::write(folder.path().join("x.toml"), sheet).unwrap();
        let answer: Value =
            serde_json::from_str(&stdout(&run(folder.path(), &["plan", "x.toml", "--json", "--draws", "0"]))).unwrap();
        typical(&answer, "/water_kg/loaded")
    };
    // bananas are 74.91 % water (USDA SR28 09040): 0.7494 kg of water in 0.9 kg
    let dry_kg = 0.6 * (1.0 - 0.7491);
    for (cooking, weight_kg) in
        [("", 0.9), ("simmered_down = \"a third\"\n", 0.6), ("cooked_weight = \"600 g\"\n", 0.6)]
    {
        let expected_kg = 0.3 * (1.0 - dry_kg / weight_kg);
        let got_kg = water_kg(cooking);
        assert!((got_kg / expected_kg - 1.0).abs() < 2e-3, "{cooking}: {got_kg} kg, expected {expected_kg} kg");
    }
}
