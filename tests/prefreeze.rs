//! Whether to freeze before loading: example nights against the freezing solver run by hand on the same weather, the same
//! plan by both commands, directions a cook would expect, limits of cooling, and what is refused. Loads are invented.

use crate::common;

use std::cell::Cell;
use std::path::{Path, PathBuf};
use std::process::{Command, Output};

use icefront_core::constants::{STEFAN_BOLTZMANN_W_PER_M2_K4, ZERO_CELSIUS_K};
use icefront_core::freezing::before::{Conditions, SetOut, set_out};
use icefront_core::freezing::column::{BATCH_CELLS, Column};
use icefront_core::shape::Shape;
use serde_json::Value;

const WEATHER: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/../../data/weather");
const NIGHTS: [(&str, &str); 6] = [
    ("very_cold_clear_calm", "1986-01-06"),
    ("very_cold_windy", "1986-01-26"),
    ("cold_clear", "1981-12-18"),
    ("near_zero_overcast", "1977-02-02"),
    ("mild_climate_cold_snap", "1996-02-04"),
    ("maritime_windy", "1995-02-18"),
];

fn night(name: &str) -> String {
    format!("{WEATHER}/night_{name}.csv")
}

/// A tray of the test food of `common`, told by expert numbers, so that its freezing is known to the last digit.
fn sheet(before: &str, depth_mm: f64) -> String {
    format!(
        "icefront = 1\ndryer = \"0.60 m2\"\n[tariff]\nprice_per_kwh = 0.5\ncurrency = \"EUR\"\n[before_loading]\n\
         {before}\n[[tray]]\nfood = \"carrots, raw\"\nshape = \"layer\"\ndepth = \"{depth_mm} mm\"\narea = \"0.1 m2\"\n\
         [tray.expert]\ndensity_kg_per_m3 = 1000\nwater_frac = 0.8\nunfreezable_frac = 0.06\nfreezing_point_k = 272.15\n\
         heat_capacity_unfrozen_j_per_kg_k = 3500\nheat_capacity_frozen_j_per_kg_k = 1900\n\
         heat_of_fusion_j_per_kg = 333600\nconductivity_unfrozen_w_per_m_k = 0.5\nconductivity_frozen_w_per_m_k = 1.8\n"
    )
}

const FROM_FRIDGE: &str = "method = \"in machine\"\ntemperature = \"5 C\"";

fn by_hand(depth_m: f64, start_c: f64, conditions: impl Fn(f64) -> Conditions) -> SetOut {
    let column = Column::new(&common::food(0.8, 0.06, -1.0), &Shape::Layer { depth_m }, 0.1, BATCH_CELLS);
    set_out(&column, 0.1, start_c + ZERO_CELSIUS_K, 13.0 * 3600.0, ZERO_CELSIUS_K - 12.0, conditions).unwrap()
}

fn still(air_c: f64, wind_m_per_s: f64) -> Conditions {
    let air_k = air_c + ZERO_CELSIUS_K;
    Conditions { air_k, wind_m_per_s, sky_k: air_k, outdoors: true, covered: false }
}

struct Kitchen(tempfile::TempDir);

impl Kitchen {
    fn with(sheet: &str) -> Self {
        let folder = tempfile::tempdir().unwrap();
        std::fs::write(folder.path().join("load.toml"), sheet).unwrap();
        Self(folder)
    }

    fn run(&self, arguments: &[&str]) -> Output {
        Command::new(env!("CARGO_BIN_EXE_icefront")).args(arguments).current_dir(&self.0).output().unwrap()
    }

    fn text(&self, arguments: &[&str]) -> String {
        let output = self.run(&[&["prefreeze", "load.toml"], arguments].concat());
        assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
        String::from_utf8(output.stdout).unwrap()
    }

    fn json(&self, arguments: &[&str]) -> Value {
        serde_json::from_str(&self.text(&[arguments, &["--json"]].concat())).unwrap()
    }

    fn plan(&self) -> Value {
        serde_json::from_slice(&self.run(&["plan", "load.toml", "--json", "--draws", "0"]).stdout).unwrap()
    }
}

fn typical(value: &Value, path: &str) -> f64 {
    value
        .pointer(&format!("{path}/typical_run"))
        .and_then(Value::as_f64)
        .unwrap_or_else(|| panic!("no number at {path}"))
}

fn close(a: f64, b: f64, relative: f64) {
    assert!((a - b).abs() <= relative * a.abs().max(b.abs()), "{a} is not {b}");
}

/// Hours of an example night from 18:00 to 07:00 in this test's own reading: s, air K, wind m/s, sky K.
fn own_reading(name: &str, evening: &str) -> Vec<[f64; 4]> {
    let text = std::fs::read_to_string(night(name)).unwrap();
    let rows: Vec<Vec<String>> = text
        .lines()
        .filter(|line| !line.starts_with('#') && !line.starts_with("local"))
        .map(|line| line.split(',').map(str::to_string).collect())
        .collect();
    let start = rows.iter().position(|row| row[0] == format!("{evening} 18:00")).unwrap();
    let number = |row: &[String], column: usize| row[column].parse::<f64>();
    let hour = |(hour, row): (usize, &Vec<String>)| {
        let air_k = number(row, 1).unwrap() + ZERO_CELSIUS_K;
        let dew_k = number(row, 2).unwrap() + ZERO_CELSIUS_K;
        // EnergyPlus Engineering Reference: Clark and Allen, with opaque cloud
        let n = number(row, 7).unwrap();
        let emissivity =
            (0.787 + 0.764 * (dew_k / 273.0).ln()) * (1.0 + 0.0224 * n - 0.0035 * n * n + 0.00028 * n.powi(3));
        let estimated = emissivity * STEFAN_BOLTZMANN_W_PER_M2_K4 * air_k.powi(4);
        let sky = number(row, 8).unwrap_or(estimated);
        [hour as f64 * 3600.0, air_k, 0.43 * number(row, 5).unwrap(), (sky / STEFAN_BOLTZMANN_W_PER_M2_K4).powf(0.25)]
    };
    rows[start..=start + 13].iter().enumerate().map(hour).collect()
}

/// The weather between two hours of such a night.
fn between(hours: &[[f64; 4]], time_s: f64) -> Conditions {
    let hour = ((time_s / 3600.0) as usize).min(12);
    let share = (time_s - hours[hour][0]) / 3600.0;
    let [_, air_k, wind_m_per_s, sky_k] =
        std::array::from_fn(|i| (1.0 - share) * hours[hour][i] + share * hours[hour + 1][i]);
    Conditions { air_k, wind_m_per_s, sky_k, outdoors: true, covered: false }
}

#[test]
fn example_nights_agree_with_the_solver_run_by_hand() {
    let kitchen = Kitchen::with(&sheet(FROM_FRIDGE, 12.0));
    for (name, evening) in NIGHTS {
        let hours = own_reading(name, evening);
        let out = by_hand(0.012, 5.0, |time_s| between(&hours, time_s));
        let answer = kitchen.json(&["--weather", &night(name), "--date", &evening[5..]]);
        let tray = "/ways/outdoors/trays/0";
        close(
            typical(&answer, &format!("{tray}/core_at_end_c")),
            out.history.last().unwrap().core_k - ZERO_CELSIUS_K,
            1e-4,
        );
        match out.reached_at_s {
            Some(at_s) => close(typical(&answer, &format!("{tray}/frozen_at_h")), at_s / 3600.0, 1e-4),
            None => assert!(answer.pointer(&format!("{tray}/frozen_at_h/typical_run")).unwrap().is_null(), "{name}"),
        }
    }
}

#[test]
fn the_same_load_frozen_before_gives_the_same_plan_by_both_commands() {
    let cases = [
        (
            "outdoors",
            "method = \"outdoors\"\ntemperature = \"5 C\"\nair = \"-14 C\"\nwind = \"1.5 m/s\"\ntime = \"13 h\"",
        ),
        ("freezer", "method = \"freezer\"\ntemperature = \"5 C\"\ntime = \"13 h\""),
        ("machine", FROM_FRIDGE),
    ];
    for (way, before) in cases {
        let kitchen = Kitchen::with(&sheet(before, 10.0));
        let answer = kitchen.json(&["--temperature", "-14 C", "--wind", "1.5 m/s"]);
        let plan = kitchen.plan();
        let told = |key: &str| typical(&answer, &format!("/ways/{way}/{key}"));
        assert_eq!(told("machine_h"), typical(&plan, "/time_h/food_ready"), "{way}");
        assert_eq!(told("whole_run_h"), typical(&plan, "/time_h/total"), "{way}");
        assert_eq!(told("energy_kwh"), typical(&plan, "/energy_kwh/total"), "{way}");
        assert_eq!(told("cost"), typical(&plan, "/cost"), "{way}");
    }
}

#[test]
fn sums_of_energy_and_hours_agree() {
    let kitchen = Kitchen::with(&sheet(FROM_FRIDGE, 12.0));
    let answer = kitchen.json(&["--weather", &night("very_cold_windy")]);
    let told = |way: &str, key: &str| typical(&answer, &format!("/ways/{way}/{key}"));
    for way in ["outdoors", "freezer", "machine"] {
        close(told(way, "saved_kwh") + told(way, "energy_kwh"), told("machine", "energy_kwh"), 1e-6);
        close(told(way, "cost"), 0.5 * told(way, "energy_kwh"), 1e-6);
        let wait_h = if way == "machine" { 0.0 } else { 13.0 };
        close(told(way, "food_ready_after_set_out_h"), wait_h + told(way, "machine_h"), 1e-6);
    }
    assert!(told("outdoors", "machine_h") < told("machine", "machine_h"));
    // the freezer's heat: 1.2 kg from 5 degC to about -18 degC. H(5) = 3500 x 6 J/kg; at -17.9 degC the frozen share
    // is 1 - 1/17.9 of 0.74 kg/kg, and H = -1900 x 16.9 - 0.6987 x 333600; over 1.4 and 3.6 MJ/kWh
    let heat_j = 1.2 * (3500.0 * 6.0 + 1900.0 * 16.9 + 0.6987 * 333_600.0);
    close(told("freezer", "freezer_own_kwh"), heat_j / 1.4 / 3.6e6, 0.005);
}

#[test]
fn what_is_half_frozen_freezes_on_in_the_machine() {
    let kitchen = Kitchen::with(&sheet(FROM_FRIDGE, 14.0));
    let hours = |air: &str| typical(&kitchen.json(&["--temperature", air]), "/ways/outdoors/machine_h");
    let (mild, near, hard) = (hours("4 C"), hours("-4 C"), hours("-16 C"));
    let machine = typical(&kitchen.json(&["--temperature", "4 C"]), "/ways/machine/machine_h");
    assert!(hard < near && near < mild && mild < machine + 0.05, "{hard} {near} {mild} {machine}");
}

#[test]
fn a_night_near_zero_will_not_freeze() {
    let folder = tempfile::tempdir().unwrap();
    let file = night("near_zero_overcast");
    let output = Command::new(env!("CARGO_BIN_EXE_icefront"))
        .args(["prefreeze", "--weather", &file, "--set-out", "18:00"])
        .current_dir(&folder)
        .output()
        .unwrap();
    let text = String::from_utf8(output.stdout).unwrap().split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(text.contains("Outdoors it will not freeze through that night: the air comes down to -2.8 °C"), "{text}");
    let kitchen = Kitchen::with(&sheet(FROM_FRIDGE, 12.0));
    let mild = kitchen.json(&["--temperature", "1 C"]);
    assert!(mild["advice"]["words"].as_str().unwrap().contains("Outdoors it will not freeze that night"));
    assert_ne!(mild["advice"]["way"], "outdoors");
    assert_eq!(mild["ways"]["outdoors"]["all_frozen_in_time"], false);
}

#[test]
fn wind_cold_and_a_clear_sky_freeze_faster_and_a_lid_slower() {
    let reached = |now: Conditions| by_hand(0.012, 5.0, |_| now).reached_at_s.unwrap();
    let calm = still(-16.0, 0.0);
    let mut last_s = f64::INFINITY;
    for wind_m_per_s in [0.0, 0.5, 1.0, 2.0, 4.0, 8.0, 16.0] {
        let at_s = reached(still(-16.0, wind_m_per_s));
        assert!(at_s <= last_s, "{wind_m_per_s} m/s: {at_s} s after {last_s} s");
        last_s = at_s;
    }
    assert!(last_s < 0.4 * reached(calm));
    assert!(reached(still(-20.0, 1.0)) < reached(still(-16.0, 1.0)));
    let clear = Conditions { sky_k: calm.sky_k - 25.0, ..still(-16.0, 1.0) };
    assert!(reached(clear) < reached(still(-16.0, 1.0)));
    let lid = Conditions { covered: true, ..clear };
    let no_sky = Conditions { covered: true, ..still(-16.0, 1.0) };
    assert_eq!(reached(lid), reached(no_sky), "a lid keeps the sky out");
    assert!(reached(lid) > 1.3 * reached(still(-16.0, 1.0)), "{} {}", reached(lid), reached(still(-16.0, 1.0)));
}

#[test]
fn a_tray_left_out_long_enough_ends_where_its_heats_balance() {
    let end_k = |now: Conditions| by_hand(0.005, 5.0, |_| now).history.last().unwrap().core_k;
    let (air_k, sky_k) = (ZERO_CELSIUS_K - 16.0, ZERO_CELSIUS_K - 40.0);
    assert!(
        (end_k(still(-16.0, 3.0)) - air_k).abs() < 0.05,
        "under a sky as warm as the air it takes the air's temperature"
    );
    // both faces at 5.8 + 3.9 v less black radiation to the air, the upper one also at 0.96 to the sky
    let radiation = |a_k: f64, b_k: f64| STEFAN_BOLTZMANN_W_PER_M2_K4 * (a_k * a_k + b_k * b_k) * (a_k + b_k);
    let heat =
        |k: f64| 2.0 * (5.8 + 3.9 * 3.0 - radiation(k, air_k)) * (k - air_k) + 0.96 * radiation(k, sky_k) * (k - sky_k);
    let (mut low_k, mut high_k) = (sky_k, air_k);
    while high_k - low_k > 1e-6 {
        let middle_k = 0.5 * (low_k + high_k);
        if heat(middle_k) > 0.0 { high_k = middle_k } else { low_k = middle_k }
    }
    let end_k = end_k(Conditions { sky_k, ..still(-16.0, 3.0) });
    // 5 mm of food and its contact hold 0.1 K between the faces
    assert!((end_k - low_k).abs() < 0.15, "{end_k} K, balance at {low_k} K");
}

#[test]
fn slow_cooling_is_told_and_never_called_safe() {
    let hot = "method = \"in machine\"\ntemperature = \"75 C\"";
    let thick = Kitchen::with(&sheet(hot, 45.0));
    let answer = thick.json(&["--temperature", "2 C"]);
    let clock = &answer["ways"]["outdoors"]["trays"][0]["cooling"];
    assert!(typical(clock, "/to_21_c_h") > 2.0 && clock["within_limits"] == false, "{clock}");
    assert_eq!((clock["limit_21_c_h"].as_f64(), clock["limit_5_c_h"].as_f64()), (Some(2.0), Some(6.0)));
    assert_ne!(answer["advice"]["way"], "outdoors");
    let text = thick.text(&["--temperature", "2 C"]);
    let words: String = text.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(words.contains("TOO SLOW") && words.contains("Food Code"), "{text}");

    let thin = Kitchen::with(&sheet(hot, 8.0));
    let text = thin.text(&["--temperature", "-20 C", "--wind", "3 m/s"]);
    assert!(!text.contains("TOO SLOW"), "{text}");
    let words: String = text.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(words.contains("They do not show that food is safe"));
    assert_eq!(
        words.matches("safe").count(),
        words.matches("food is safe").count() + words.matches("food-safety").count()
    );

    let cold = Kitchen::with(&sheet(FROM_FRIDGE, 12.0)).json(&["--temperature", "-20 C"]);
    assert!(cold["ways"]["outdoors"]["trays"][0]["cooling"].is_null());
    assert!(cold["ways"]["outdoors"]["cooling_within_limits"].is_null());
}

#[test]
fn the_morning_sun_and_a_late_morning_are_told() {
    let kitchen = Kitchen::with(&sheet(FROM_FRIDGE, 10.0));
    let words = |until: &str| {
        let text = kitchen.text(&["--weather", &night("cold_clear"), "--date", "12-18", "--until", until]);
        text.split_whitespace().collect::<Vec<_>>().join(" ")
    };
    assert!(words("13:00").contains("The file has sun from 08:00 on"));
    assert!(words("13:00").contains("it would have to come in sooner"), "{}", words("13:00"));
    assert!(!words("07:00").contains("The file has sun"));
}

#[test]
fn every_answer_is_told_in_80_columns_with_one_recommendation() {
    let folder = tempfile::tempdir().unwrap();
    for (name, _) in NIGHTS {
        for more in [&[][..], &["--covered"]] {
            let output = Command::new(env!("CARGO_BIN_EXE_icefront"))
                .args(["prefreeze", "--weather", &night(name)])
                .args(more)
                .current_dir(&folder)
                .output()
                .unwrap();
            let text = String::from_utf8(output.stdout).unwrap();
            let names_a_file = |line: &&str| line.contains(WEATHER);
            let wide: Vec<&str> = text.lines().filter(|l| l.chars().count() > 80 && !names_a_file(l)).collect();
            assert!(wide.is_empty(), "wider than 80 columns: {wide:#?}");
            let advice = ["SET IT OUTDOORS.", "USE THE FREEZER.", "FREEZE IT IN THE MACHINE.", "COOL IT FIRST."];
            assert_eq!(advice.iter().map(|a| text.matches(a).count()).sum::<usize>(), 1, "{text}");
            assert!(text.contains("CAUTIONS") && text.contains("nvented"), "{text}");
        }
    }
}

/// The work of a night is counted by how often the weather is looked up.
#[test]
fn a_real_night_takes_few_steps() {
    for (name, evening) in NIGHTS {
        let hours = own_reading(name, evening);
        let looked_up = Cell::new(0);
        by_hand(0.012, 5.0, |time_s| {
            looked_up.set(looked_up.get() + 1);
            between(&hours, time_s)
        });
        assert!((52..=MOST_LOOKED_UP).contains(&looked_up.get()), "{name}: {}", looked_up.get());
    }
}

/// Twice what the first of the nights takes, which is 258.
const MOST_LOOKED_UP: usize = 516;

#[test]
fn out_writes_the_night_and_nothing_is_overwritten() {
    let kitchen = Kitchen::with(&sheet(FROM_FRIDGE, 12.0));
    let arguments = ["--weather", &night("cold_clear"), "--out", "n"];
    kitchen.text(&arguments);
    let out: PathBuf = kitchen.0.path().join("n");
    let table = std::fs::read_to_string(out.join("night.csv")).unwrap();
    let rows: Vec<Vec<&str>> = table.lines().map(|line| line.split(',').collect()).collect();
    assert_eq!(rows[0], ["time_h", "clock", "air_c", "sky_c", "wind_m_per_s", "tray_1_core_c", "tray_1_surface_c"]);
    assert_eq!(rows.len(), 1 + 13 * 4 + 1);
    assert_eq!((rows[1][1], rows[53][1]), ("18:00", "07:00"));
    let column = |index: usize| rows[1..].iter().map(move |row| row[index].parse::<f64>().unwrap());
    assert!(column(5).zip(column(6)).skip(1).all(|(core, surface)| surface < core + 0.3), "the surface leads");
    assert!(std::fs::read_to_string(out.join("night.svg")).unwrap().contains("<svg"));
    assert!(std::fs::read(out.join("night.png")).unwrap().starts_with(b"\x89PNG"));
    let again = kitchen.run(&[&["prefreeze", "load.toml"], &arguments[..]].concat());
    assert_eq!(again.status.code(), Some(2));
    assert!(String::from_utf8_lossy(&again.stderr).contains("--force"));
}

fn refused(sheet: &str, arguments: &[&str], parts: &[&str]) {
    let kitchen = Kitchen::with(sheet);
    let output = kitchen.run(&[&["prefreeze", "load.toml"], arguments, &["--out", "n"]].concat());
    let message = String::from_utf8_lossy(&output.stderr);
    assert_eq!(output.status.code(), Some(2), "{message}");
    assert!(output.stdout.is_empty() && !Path::new(&kitchen.0.path().join("n")).exists());
    for part in parts {
        assert!(message.contains(part), "`{part}` is missing in\n{message}");
    }
}

#[test]
fn what_cannot_be_decided_is_refused() {
    let good = sheet(FROM_FRIDGE, 12.0);
    let frozen = sheet("method = \"already frozen\"", 12.0);
    refused(&frozen, &["--temperature", "-9 C"], &["`load.toml`", "already frozen"]);
    let rig = "icefront = 1\n[rig]\nshelf = \"30 C\"\nvapour_pressure = \"20 Pa\"\n[[tray]]\nfood = \"apple\"\n\
               shape = \"layer\"\ndepth = \"8 mm\"\narea = \"0.1 m2\"\n";
    refused(rig, &["--temperature", "-9 C"], &["`load.toml`", "[rig]"]);
    let salty = good.replace("freezing_point_k = 272.15", "freezing_point_k = 268.15");
    refused(&salty, &["--temperature", "-9 C", "--core", "-4 C"], &["tray 1", "-5 °C", "-4 °C", "--core"]);
    refused(&good, &[], &["How cold will it be? Add --temperature \"-8 °C\" or --weather night.csv."]);
    refused(&good, &["--temperature", "-9"], &["no unit", "use `-9 °C` instead"]);
    refused(&good, &["--temperature", "-9 C", "--core", "3 C"], &["--core", "-40 °C to -2 °C"]);
    refused(&good, &["--temperature", "-9 C", "--freezer", "-80 C"], &["--freezer", "-45 °C to -5 °C"]);
    refused(&good, &["--temperature", "-9 C", "--set-out", "six or so"], &["--set-out", "18:00"]);
    refused(&good, &["--temperature", "-9 C", "--date", "01-15"], &["--date", "--temperature"]);
    refused(&good, &["--weather", "x.csv", "--wind", "1 m/s"], &["--wind", "--weather"]);
}
