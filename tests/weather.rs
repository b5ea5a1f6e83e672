//! Weather files: good ones in every unit, and each way in which one can be bad, told with its line. Hours are invented.

use std::path::Path;
use std::process::{Command, Output};

use serde_json::Value;

const LOAD: &str =
    "icefront = 1\ndryer = \"0.60 m2\"\n[[tray]]\nfood = \"apple\"\nshape = \"layer\"\ndepth = \"8 mm\"\n";

/// Hours from 17:00 to 08:00: time stamp, degC, m/s.
fn hours() -> Vec<(String, f64, f64)> {
    (17..=32)
        .map(|hour| {
            let (day, hour) = if hour < 24 { (15, hour) } else { (16, hour - 24) };
            let air_c = -9.0 - 0.25 * f64::from((hour + 7) % 24);
            (format!("2026-01-{day} {hour:02}:00"), air_c, 2.0 + f64::from(hour % 3))
        })
        .collect()
}

/// Those hours as a table with line 1 as header: hour 0 stands on line 2.
fn table(header: &str, line: impl Fn(&(String, f64, f64)) -> String) -> String {
    let lines: Vec<String> = hours().iter().map(line).collect();
    format!("{header}\n{}\n", lines.join("\n"))
}

fn metric() -> String {
    table("time,air_temp_C,wind_m_s", |(time, air_c, wind)| format!("{time},{air_c},{wind}"))
}

fn run(bytes: &[u8], name: &str, more: &[&str]) -> Output {
    let folder = tempfile::tempdir().unwrap();
    std::fs::write(folder.path().join(name), bytes).unwrap();
    run_in(folder.path(), name, more)
}

fn run_in(folder: &Path, name: &str, more: &[&str]) -> Output {
    std::fs::write(folder.join("load.toml"), LOAD).unwrap();
    Command::new(env!("CARGO_BIN_EXE_icefront"))
        .args(["prefreeze", "load.toml", "--weather", name])
        .args(more)
        .current_dir(folder)
        .output()
        .unwrap()
}

fn read(text: &str, more: &[&str]) -> Value {
    let output = run(text.as_bytes(), "night.csv", &[&["--json"], more].concat());
    assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
    serde_json::from_slice(&output.stdout).unwrap()
}

fn told(output: &Output, parts: &[&str]) {
    let message = String::from_utf8_lossy(&output.stderr);
    assert_eq!(output.status.code(), Some(2), "exit code; message:\n{message}");
    assert!(output.stdout.is_empty(), "something went to stdout");
    for part in parts {
        assert!(message.contains(part), "`{part}` is missing in\n{message}");
    }
}

fn refused(text: &str, parts: &[&str]) {
    told(&run(text.as_bytes(), "night.csv", &[]), parts);
}

fn frozen_at_h(answer: &Value) -> f64 {
    answer.pointer("/ways/outdoors/trays/0/frozen_at_h/typical_run").and_then(Value::as_f64).unwrap()
}

#[test]
fn units_and_stamps_of_every_kind_tell_the_same_night() {
    let expected = read(&metric(), &[]);
    assert_eq!(expected["night"]["date"], "2026-01-15");
    let fahrenheit = table("wind_mph,time,air_temp_F", |(time, air_c, wind)| {
        format!("{},{time},{}", wind / 0.44704, 1.8 * air_c + 32.0)
    });
    let kilometres = table("Time,AIR_TEMP_C,wind_km_h,remark", |(time, air_c, wind)| {
        format!("\"{}:00\", {air_c} ,{},x", time.replace(' ', "T"), 3.6 * wind)
    });
    let midnight = metric().replace("2026-01-16 00:00", "2026-01-15 24:00");
    let marked = format!("\u{feff}# a remark\r\n{}", metric().replace('\n', "\r\n"));
    let semicolons = metric().replace(',', ";");
    let decimal_commas = semicolons.replace('.', ",");
    let quoted =
        table("place,time,air_temp_C,wind_m_s", |(time, air_c, wind)| format!("\"yard, north\",{time},{air_c},{wind}"));
    for text in [fahrenheit, kilometres, midnight, marked, semicolons, decimal_commas, quoted] {
        let answer = read(&text, &[]);
        assert!((frozen_at_h(&answer) / frozen_at_h(&expected) - 1.0).abs() < 1e-5, "{text}");
        assert_eq!(answer["night"]["date"], "2026-01-15");
    }
}

#[test]
fn the_sky_comes_from_infrared_then_cloud_then_air() {
    let with = |columns: &str, cells: &str| {
        let header = format!("time,air_temp_C,wind_m_s{columns}");
        read(&table(&header, |(time, air_c, wind)| format!("{time},{air_c},{wind}{cells}")), &[])
    };
    let sky = |answer: &Value| (answer["night"]["sky_from"].clone(), answer["night"]["sky_mean_c"].as_f64().unwrap());
    let infrared = with(",sky_ir_W_m2,dew_point_C,total_sky_cover_tenths", ",190,-18,0");
    // T = (190/5.670374e-8)^(1/4) = 240.60 K
    assert_eq!(sky(&infrared).0, "infrared");
    assert!((sky(&infrared).1 - -32.55).abs() < 0.01, "{}", sky(&infrared).1);
    let estimated = with(",sky_ir_W_m2,dew_point_C,total_sky_cover_tenths", ",9999,-18,0");
    let cloudy = with(",dew_point_C,total_sky_cover_tenths", ",-18,10");
    assert_eq!((sky(&estimated).0, sky(&cloudy).0), ("dew-point-and-cloud".into(), "dew-point-and-cloud".into()));
    let opaque = with(",dew_point_C,total_sky_cover_tenths,opaque_sky_cover_tenths", ",-18,10,0");
    assert_eq!(sky(&opaque).1, sky(&estimated).1, "what hides the sky goes before all cloud");
    let air = with(",total_sky_cover_tenths", ",0");
    assert_eq!((sky(&air).0, sky(&air).1), ("air".into(), air["night"]["air_mean_c"].as_f64().unwrap()));
    assert!(sky(&estimated).1 < sky(&cloudy).1 && sky(&cloudy).1 < sky(&air).1);
    assert!(frozen_at_h(&estimated) < frozen_at_h(&cloudy) && frozen_at_h(&cloudy) < frozen_at_h(&air));
}

#[test]
fn short_gaps_are_bridged_and_told_and_long_ones_refused() {
    let without = |hours: &[&str]| {
        let kept = metric();
        let kept: Vec<&str> = kept.lines().filter(|line| !hours.iter().any(|h| line.contains(h))).collect();
        kept.join("\n")
    };
    // hours 02 and 03 are left out, as after a night without power; one hour is what clocks put forward look like
    for text in [without(&["16 02:"]), without(&["16 02:", "16 03:"])] {
        let output = run(text.as_bytes(), "night.csv", &[]);
        let told = String::from_utf8_lossy(&output.stdout).split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(output.status.success() && told.contains("Hours are missing"), "{told}");
    }
    assert!(!String::from_utf8_lossy(&run(metric().as_bytes(), "night.csv", &[]).stdout).contains("are missing"));
    refused(&without(&["16 02:", "16 03:", "16 04:"]), &["night.csv:11:1", "from 01:00 to 05:00", "3 h"]);
    for code in ["", "NA", "99.9", "999", "-9999"] {
        let missing = metric().replace("16 02:00,-11.25", &format!("16 02:00,{code}"));
        assert_ne!(missing, metric());
        let mean = |text: &str| read(text, &[])["night"]["air_mean_c"].as_f64().unwrap();
        // 01:00 and 03:00 lie on one straight line with what is missing
        assert!((mean(&missing) - mean(&metric())).abs() < 1e-6, "{code}");
    }
    let blank = table("time,air_temp_C,wind_m_s", |(time, _, wind)| format!("{time},99.9,{wind}"));
    refused(&blank, &["no hour has both"]);
}

#[test]
fn a_file_that_does_not_cover_the_night_is_refused() {
    let lines = metric();
    let lines: Vec<&str> = lines.lines().collect();
    refused(&lines[..12].join("\n"), &["night.csv:12:1", "ends 2026-01-16 03:00", "07:00"]);
    let late = [&lines[..1], &lines[4..]].concat().join("\n");
    refused(&late, &["night.csv:2:1", "begins 2026-01-15 20:00", "18:00"]);
    told(&run(metric().as_bytes(), "night.csv", &["--date", "01-20"]), &["01-20", "2026-01-15 to 2026-01-16"]);
    refused("time,air_temp_C,wind_m_s\n", &["there are no hours"]);
}

#[test]
fn time_that_goes_back_is_refused() {
    refused(&metric().replace("16 02:00", "16 01:00"), &["night.csv:11:1", "the same as", "clocks were put back"]);
    refused(&metric().replace("16 02:00", "14 02:00"), &["night.csv:11:1", "earlier", "separate files"]);
    refused(&metric().replace("2026-01-16 02:00", "2 a.m."), &["night.csv:11:1", "not a time"]);
    refused(&metric().replace("2026-01-16 02:00", "2026-01-16T02:00Z"), &["night.csv:11:1", "zone"]);
    refused(&metric().replace("2026-01-16 02:00", "2026-02-30 02:00"), &["night.csv:11:1", "no such day"]);
}

#[test]
fn units_that_cannot_be_are_refused() {
    let of_air = |name: &str, unit: fn(f64) -> f64| {
        table(&format!("time,{name},wind_m_s"), |(time, air_c, wind)| format!("{time},{:.2},{wind}", unit(*air_c)))
    };
    for name in ["air_temp_C", "air_temp_F"] {
        refused(&of_air(name, |c| c + 273.15), &["night.csv:2:18", "kelvin", "instead", "15 more"]);
    }
    refused(&of_air("air_temp_C", |c| 80.0 + c), &["night.csv:2:18", "Fahrenheit", "air_temp_F"]);
    let dew = table("time,air_temp_C,wind_m_s,dew_point_C", |(time, air_c, wind)| format!("{time},{air_c},{wind},14"));
    refused(&dew, &["night.csv:2:1", "dew point", "another unit"]);
    // 20 degF written as 20 degC under a sky of 180 W/m2: 0.43 of a black body at 20 degC
    let sky = table("time,air_temp_C,wind_m_s,sky_ir_W_m2", |(time, _, wind)| format!("{time},20,{wind},180"));
    refused(&sky, &["air and sky do not go together"]);
    let cloud = table("time,air_temp_C,wind_m_s,total_sky_cover_tenths", |(time, air_c, wind)| {
        format!("{time},{air_c},{wind},80")
    });
    refused(&cloud, &["percent", "tenths"]);
    refused(&metric().replace(",-11.25,", ",cold,"), &["night.csv:11:18", "`cold` is not a number"]);
    refused(&metric().replace(",-11.25,", ",inf,"), &["night.csv:11:18"]);
    refused(&metric().replace(",-11.25,4", ",-11.25,-4"), &["night.csv:11:25", "wind_m_s"]);
}

#[test]
fn fahrenheit_that_could_be_celsius_is_asked_about() {
    let text =
        table("time,air_temp_C,wind_m_s", |(time, air_c, wind)| format!("{time},{:.1},{wind}", 1.8 * air_c + 32.0));
    let answer = read(&text, &[]);
    let words = answer["advice"]["words"].as_str().unwrap();
    assert!(words.contains("will not freeze") && words.contains("rename the column air_temp_F"), "{words}");
}

#[test]
fn headers_must_name_the_columns() {
    let head = |header: &str| metric().replacen("time,air_temp_C,wind_m_s", header, 1);
    refused(&head("hour,air_temp_C,wind_m_s"), &["night.csv:1:1", "no column for the time"]);
    refused(&head("time,air,wind_m_s"), &["no column for the air", "air_temp_F"]);
    refused(&head("time,air_temp_C,gusts"), &["no column for the wind", "wind_km_h"]);
    refused(&head("time,air_temp_C,wind_ms"), &["night.csv:1:17", "did you mean `wind_m_s`"]);
    refused(&head("time,air_temp_K,wind_m_s"), &["night.csv:1:6", "did you mean `air_temp_C`"]);
    refused(&head("time,air_temp_C,air_temp_F"), &["2 columns for the air"]);
    refused(&head("time,air_temp_C,wind_m_s,dew_point_C"), &["night.csv:2:1", "3 cells, the header has 4", "15 more"]);
    let mixed = metric().replace(',', ";").replacen("-9.25", "-9,25", 1);
    refused(&mixed, &["night.csv:4:18", "a point where numbers before have decimal commas", "more like this"]);
    refused(&(metric() + "2026-01-16 09:00,\"-9,2\n"), &["night.csv:18:18", "a quotation mark is not closed"]);
    refused(metric().split_once('\n').unwrap().1, &["no column for the time"]);
    refused("# only\n# remarks\n", &["nothing but remarks"]);
}

#[test]
fn files_that_are_no_table_are_refused() {
    told(&run(b"", "night.csv", &[]), &["`night.csv`", "empty"]);
    told(&run(b"t\0i\0m\0e\0", "night.csv", &[]), &["not plain text"]);
    let folder = tempfile::tempdir().unwrap();
    told(&run_in(folder.path(), "nowhere.csv", &[]), &["`nowhere.csv`", "no such file"]);
    told(&run_in(folder.path(), ".", &[]), &["it is a folder"]);
    told(&run(metric().as_bytes(), "night.csv", &["--temperature", "-9 C"]), &["--temperature"]);
}

/// A typical year in EPW form whose coldest night is that of 20 January; one city name is not UTF-8.
fn epw() -> String {
    let mut text = String::from("LOCATION,Z\u{fc}rich,-,XXX,invented,000000,47.4,8.5,1.0,500.0\n");
    for name in [
        "DESIGN CONDITIONS,0",
        "TYPICAL/EXTREME PERIODS,0",
        "GROUND TEMPERATURES,0",
        "HOLIDAYS/DAYLIGHT SAVINGS,No,0,0,0",
    ] {
        text.push_str(name);
        text.push('\n');
    }
    text.push_str("COMMENTS 1,invented\nCOMMENTS 2,invented\nDATA PERIODS,1,1,Data,Sunday, 1/ 1,12/31\n");
    let days = [31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31];
    for (month, days) in (1..).zip(days) {
        for day in 1..=days {
            for hour in 1..=24 {
                let night = (month, day, hour >= 12) == (1, 20, true) || (month, day, hour < 12) == (1, 21, true);
                let air_c = if night {
                    -17.0
                } else if month == 1 {
                    -8.0
                } else {
                    6.0
                };
                let year = 1980 + month;
                let fields = [
                    format!("{year},{month},{day},{hour},0,?9?9,{air_c:.1},{:.1},70,96000,9999,9999,9999", air_c - 3.0),
                    "0,0,0,999999,999999,999999,9999,180,3.0,2,1,9999,99999,9,999999999,99,0.1,999,99,999,0,0"
                        .to_string(),
                ];
                text.push_str(&fields.join(","));
                text.push('\n');
            }
        }
    }
    text
}

fn latin_1(text: &str) -> Vec<u8> {
    text.chars().map(|c| u8::try_from(u32::from(c)).unwrap()).collect()
}

fn refused_epw(text: &str, parts: &[&str]) {
    told(&run(&latin_1(text), "year.epw", &[]), parts);
}

#[test]
fn an_epw_year_gives_its_coldest_night_or_the_one_asked_for() {
    let night = |more: &[&str]| -> Value {
        let output = run(&latin_1(&epw()), "year.epw", &[&["--json"], more].concat());
        assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
        serde_json::from_slice::<Value>(&output.stdout).unwrap()["night"].clone()
    };
    let coldest = night(&[]);
    assert_eq!((coldest["date"].as_str(), coldest["air_mean_c"].as_f64()), (Some("01-20"), Some(-17.0)));
    // 3 m/s in the file, 43 % of it at the trays; sky from dew point and 1 tenth of opaque cloud
    assert!((coldest["wind_mean_m_per_s"].as_f64().unwrap() - 1.29).abs() < 1e-6);
    assert_eq!(coldest["sky_from"], "dew-point-and-cloud");
    let asked = night(&["--date", "01-15", "--wind-share", "100 %"]);
    assert_eq!((asked["date"].as_str(), asked["air_mean_c"].as_f64()), (Some("01-15"), Some(-8.0)));
    assert!((asked["wind_mean_m_per_s"].as_f64().unwrap() - 3.0).abs() < 1e-6);
    let text = String::from_utf8(run(&latin_1(&epw()), "year.epw", &[]).stdout).unwrap();
    assert!(text.contains("coldest"), "{text}");
    told(
        &run(&latin_1(&epw()), "year.epw", &["--date", "12-31"]),
        &["year.epw:8768:1", "before the trays are taken in"],
    );
}

#[test]
fn a_damaged_epw_file_is_refused() {
    let text = epw();
    let lines: Vec<&str> = text.lines().collect();
    refused_epw(&lines[..8767].join("\n"), &["year.epw:8767:1", "8759 hours", "8760"]);
    refused_epw(&lines[..5].join("\n"), &["ends in its header"]);
    let swapped = text.replacen("1981,1,3,5,", "1981,1,3,7,", 1);
    refused_epw(&swapped, &["year.epw:61:6", "not the hour after"]);
    refused_epw(&text.replacen("PERIODS,1,1,", "PERIODS,1,4,", 1), &["year.epw:8:1", "`4` records"]);
    refused_epw(&text.replacen("DATA PERIODS", "DATES", 1), &["year.epw:8:1", "DATA PERIODS"]);
    let short = text.replacen(lines[40], "1981,1,2,9,0,?9?9,-8.0,-11.0", 1);
    refused_epw(&short, &["year.epw:41:1", "too short"]);
    let kelvin = text.replace("?9?9,-17.0", "?9?9,256.1");
    refused_epw(&kelvin, &["kelvin", "23 more"]);
}

#[test]
fn missing_codes_of_epw_are_bridged() {
    let holes = epw().replacen("1981,1,20,22,0,?9?9,-17.0", "1981,1,20,22,0,?9?9,99.9", 1);
    let holes = holes.replacen("1981,1,21,3,0,?9?9,-17.0", "1981,1,21,3,0,?9?9,999", 1);
    assert_ne!(holes, epw());
    let output = run(&latin_1(&holes), "year.epw", &["--json"]);
    let answer: Value = serde_json::from_slice(&output.stdout).unwrap();
    assert_eq!(answer["night"]["date"], "01-20");
    assert_eq!(answer["night"]["air_mean_c"].as_f64(), Some(-17.0));
}
