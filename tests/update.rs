//! `icefront update` and `icefront dry` as a cook runs them: readings made from a computed run (so the truth is known), bad
//! files refused with their line, impossible readings set aside.

use crate::running;
use crate::spoken;

use running::{Kitchen, refused, stdout};
use serde_json::Value;

fn number(value: &Value, path: &str) -> f64 {
    value.pointer(path).and_then(Value::as_f64).unwrap_or_else(|| panic!("no number at {path} in {value:#}"))
}

#[test]
fn readings_of_the_typical_run_narrow_the_range_around_it() {
    let kitchen = Kitchen::new();
    let half = 0.5 * kitchen.ready_h();
    let lines = [
        format!("{half},1,{},", kitchen.lost_g(half)),
        format!("{},1,{},{}", 1.4 * half, kitchen.lost_g(1.4 * half), kitchen.energy_kwh(1.4 * half)),
    ];
    kitchen.write("readings.csv", &format!("time_h,tray,water_lost_g,energy_kWh\n{}\n", lines.join("\n")));
    let answer: Value =
        serde_json::from_str(&stdout(&kitchen.run(&["update", "load.toml", "--readings", "readings.csv", "--json"])))
            .unwrap();
    assert_eq!(answer["fit"]["fits"], true, "{answer:#}");
    let width = |when: &str| {
        number(&answer, &format!("/food_ready_h/{when}/high")) - number(&answer, &format!("/food_ready_h/{when}/low"))
    };
    assert!(width("after") < 0.85 * width("before"), "{answer:#}");
    // the run the readings were made of is the middle of everything: it must lie within the new range
    let ready = kitchen.ready_h();
    let (low, high) = (number(&answer, "/food_ready_h/after/low"), number(&answer, "/food_ready_h/after/high"));
    assert!(low < ready && ready < high, "{low} to {high}, truth {ready}");
    assert!(number(&answer, "/draws/effective") >= 16.0);
    for key in ["sentence", "last_ice_gone_h", "energy_kwh", "cost", "trays", "read_next", "cautions"] {
        assert!(!answer[key].is_null(), "{key}");
    }
}

#[test]
fn the_report_is_told_in_80_columns_with_its_cautions() {
    let kitchen = Kitchen::new();
    let half = 0.5 * kitchen.ready_h();
    kitchen.write("readings.csv", &format!("time_h,tray,water_lost_g\n{half},1,{}\n", kitchen.lost_g(half)));
    let text = stdout(&kitchen.run(&["update", "load.toml", "--readings", "readings.csv"]));
    for part in [
        "Ready in about",
        "8 times in 10",
        "RANGE",
        "with readings",
        "READ NEXT",
        "under vacuum",
        "load cell",
        "guarantee",
    ] {
        assert!(text.contains(part), "`{part}` is missing in\n{text}");
    }
    let wide: Vec<&str> = text.lines().filter(|line| line.chars().count() > 80).collect();
    assert!(wide.is_empty(), "wider than 80 columns: {wide:#?}");
    spoken::check(&stdout(&kitchen.run(&["update", "load.toml", "--readings", "readings.csv", "--plain"])));
}

#[test]
fn clocks_with_and_without_dates_and_hours_are_the_same_readings() {
    let kitchen = Kitchen::new();
    let lost = kitchen.lost_g(6.0);
    let by = |name: &str, text: String| {
        kitchen.write(name, &text);
        let text = stdout(&kitchen.run(&["update", "load.toml", "--readings", name, "--json", "--draws", "64"]));
        let mut answer: Value = serde_json::from_str(&text).unwrap();
        // the sentence names the clock where there is one
        answer.as_object_mut().unwrap().remove("sentence").unwrap();
        answer
    };
    let hours = by("h.csv", format!("time_h,tray,water_lost_g\n6,1,{lost}\n"));
    let clock = by("c.csv", format!("time,event,tray,water_lost_g\n20:30,started,,\n02:30,,1,{lost}\n"));
    let lost_kg = lost / 1000.0;
    let dated = by(
        "d.csv",
        format!("time,event,tray,water_lost_kg\n2026-01-15 20:30,started,,\n2026-01-16T02:30,,tray 1,{lost_kg}\n"),
    );
    let quoted = by("q.csv", format!("time_h,note,tray,water_lost_g\n6,\"in, out\nand \"\"in\"\"\",1,{lost}\n"));
    let comma = lost.to_string().replace('.', ",");
    let semicolons = by("s.csv", format!("time_h;note;tray;water_lost_g\r\n6,0;\"in; out\";1;{comma}\r\n"));
    let spoken = by("p.csv", format!("time,event,tray,water lost\n8:30 PM,started,,\n2:30 am,,#1,{lost} g\n"));
    let named = by("n.csv", format!("Time;Tray;Water lost (g)\nafter 6 h;cooked rice;{comma}\n"));
    assert!([clock, dated, quoted, semicolons, spoken, named].iter().all(|other| *other == hours), "{hours}");
    // other words for the same, and a start that is said beside the file
    let plain = by("w.csv", format!("clock,events,tray,water loss grams\n8.30pm,start,,\n2.30 am,,1,{lost}\n"));
    kitchen.write("o.csv", &format!("time,tray,water_lost_g\n02:30,1,{lost}\n"));
    let options = ["update", "load.toml", "--readings", "o.csv", "--start", "8.30pm", "--json", "--draws", "64"];
    let mut beside: Value = serde_json::from_str(&stdout(&kitchen.run(&options))).unwrap();
    beside.as_object_mut().unwrap().remove("sentence").unwrap();
    assert!([plain, beside].iter().all(|other| *other == hours), "{hours}");
}

#[test]
fn a_cook_who_weighs_in_ounces_is_answered_in_ounces() {
    let kitchen = Kitchen::new();
    let ounces = |hours: f64| kitchen.lost_g(hours) / 28.349_523;
    let text = format!("time_h,tray,water_lost_oz\n4,1,{}\n6,1,{}\n", ounces(4.0), ounces(6.0));
    kitchen.write("oz.csv", &text);
    let told = stdout(&kitchen.run(&["dry", "load.toml", "--readings", "oz.csv", "--draws", "64"]));
    let told = told.split_whitespace().collect::<Vec<_>>().join(" ");
    let sign = told.split("Tray 1 lost ").nth(1).unwrap().split("). ").next().unwrap();
    assert!(sign.contains("oz in") && sign.contains("oz/h"), "{told}");
}

#[test]
fn all_columns_are_listed_once() {
    let kitchen = Kitchen::new();
    kitchen.write("bad.csv", "time_h,blorp,snark,tray\n6,1,1,1\n");
    let told = refused(&kitchen.run(&["update", "load.toml", "--readings", "bad.csv"]));
    assert!(told.contains("`blorp`") && told.contains("`snark`"), "{told}");
    assert_eq!(told.matches("rise_Pa_per_min").count(), 1, "{told}");
}

#[test]
fn bad_files_are_refused_with_line_and_remedy() {
    let kitchen = Kitchen::new();
    for (text, parts) in [
        ("time_h,tray,water_lost_g\n6,1,200\n5,1,150\n", vec![":3:1", "time goes back"]),
        ("time_h,tray,water_lost_g\n6,1,200\n6,1,210\n", vec![":3:1", "is there twice", "line 2"]),
        ("time_h,tray,water_lost\n6,1,200\n", vec![":2:5", "`water_lost` cannot be used", "no unit"]),
        ("time_h,tray,weight_kg\n6,1,200\n", vec![":2:5", "weight_kg", "grams"]),
        ("time_h,tray,weights\n6,1,200\n", vec![":1:13", "no column is named `weights`", "weight"]),
        ("time_h,tray,weight_g\n6,1,200 mm\n", vec![":2:5", "cannot be used"]),
        ("time_h,event\n6,power on\n", vec![":2:1", "had not started", "power off"]),
        ("time,tray,weight_g\n3/4/2026 6:00,1,200\n", vec![":2:1", "2026-03-04 or 2026-04-03"]),
        ("time_h,tray,weight_g\n6,7,200\n", vec![":2:3", "there is no tray `7`", "1 (cooked rice)"]),
        ("time_h,weight_g\n6,200\n", vec![":2:3", "needs a tray"]),
        (
            "time,tray,weight_g\n18:30,1,200\n",
            vec![":2:1", "when did the run start?", "`18:00,,,started`", "column `event`"],
        ),
        ("time,event,energy\n18:30,,1 kWh\n", vec![":2:1", "when did the run start?", "`18:00,started,`"]),
        ("time,tray,weight_g\nlate,1,200\n", vec![":2:1", "cannot be read", "18:30"]),
        ("tray,weight_g\n1,200\n", vec!["give one column for the time"]),
        ("time_h,event\n6,pump strted\n", vec![":2:3", "no event is named", "did you mean `pump started`"]),
        ("time_h,energy_kWh\n1,2,3\n", vec![":2:1", "does not fit the header"]),
        ("time_h,energy_kWh\nNaN,2\n", vec![":2:1", "cannot be read"]),
        ("time_h,energy_kWh\n2,inf\n", vec![":2:3", "not a finite number"]),
        ("time_h,energy_kWh\n1,\"2\n3,4\n", vec![":2:3", "a quotation mark is not closed"]),
        ("time_h,energy_kWh\n1,\"2,5\"\n", vec![":2:4", "a comma in a number", "semicolons"]),
        ("time_h;energy_kWh\n1;2,5\n2;3.125\n", vec![":3:3", "a point where numbers before have decimal commas"]),
        ("time_h;energy_kWh\n1;1.234,5\n", vec![":2:3", "points and commas in one number"]),
        ("time_h,energy_kWh\n", vec!["there is no reading"]),
    ] {
        kitchen.write("bad.csv", text);
        let told = refused(&kitchen.run(&["update", "load.toml", "--readings", "bad.csv"]));
        for part in parts {
            assert!(told.contains(part), "`{part}` is missing for\n{text}\nin\n{told}");
        }
    }
}

#[test]
fn impossible_readings_are_set_aside_with_their_line() {
    let kitchen = Kitchen::new();
    let (a, b) = (kitchen.lost_g(4.0), kitchen.lost_g(8.0));
    let text = format!(
        "time_h,tray,water_lost_g,weight_g,energy_kWh\n4,1,{a},,2\n5,1,9999,,\n6,1,,3,\n7,,,,1.5\n8,1,{b},,\n8.5,1,{},,\n",
        b - 80.0
    );
    kitchen.write("odd.csv", &text);
    let answer: Value = serde_json::from_str(&stdout(&kitchen.run(&[
        "update",
        "load.toml",
        "--readings",
        "odd.csv",
        "--json",
        "--draws",
        "64",
    ])))
    .unwrap();
    let lines: Vec<u64> = answer["set_aside"].as_array().unwrap().iter().map(|s| s["line"].as_u64().unwrap()).collect();
    assert_eq!(lines, [3, 4, 5, 7], "{answer:#}");
}

#[test]
fn a_run_that_cannot_be_so_is_a_misfit() {
    let kitchen = Kitchen::new();
    // hardly any water gone late in the run
    let late = 0.8 * kitchen.ready_h();
    kitchen.write("odd.csv", &format!("time_h,tray,water_lost_g\n{late},1,{}\n", 0.2 * kitchen.lost_g(late)));
    let text = stdout(&kitchen.run(&["update", "load.toml", "--readings", "odd.csv"]));
    assert!(text.contains("MISFIT") && text.contains("Likely: "), "{text}");
    let line = text.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(!(line.contains("narrow the range") && line.contains("wider than usual")), "{line}");
    assert!(!line.contains("computed runs"), "{line}");
}

#[test]
fn dry_says_no_early_and_yes_late() {
    let kitchen = Kitchen::new();
    let at = |first: f64, second: f64| -> Value {
        let (a, b) = (kitchen.lost_g(first), kitchen.lost_g(second));
        kitchen.write("weighed.csv", &format!("time_h,tray,water_lost_g\n{first},1,{a}\n{second},1,{b}\n"));
        let told = stdout(&kitchen.run(&["dry", "load.toml", "--readings", "weighed.csv", "--json"]));
        serde_json::from_str(&told).unwrap()
    };
    let ready = kitchen.ready_h();
    let early = at(0.5 * ready, 0.6 * ready);
    assert!(number(&early, "/chance_dry") < 0.05, "{early:#}");
    assert!(number(&early, "/wait_h/nine_in_ten") > number(&early, "/wait_h/as_likely_as_not"));
    assert!(early["sentence"].as_str().unwrap().contains("Don't seal"), "{early:#}");
    // the last weighings of the typical run, as if long after its end
    let late = at(0.6 * ready, 1.6 * ready);
    assert!(number(&late, "/chance_dry") > 0.9, "{late:#}");
    assert!(
        late["sentence"].as_str().unwrap().contains("Run on for an hour, then break the thickest piece"),
        "{late:#}"
    );
    spoken::check(&stdout(&kitchen.run(&["dry", "load.toml", "--readings", "weighed.csv", "--plain"])));

    // judged from outside: no weight, but the gauge and the meter
    let half = 0.5 * ready;
    kitchen.write("outside.csv", &format!("time_h,energy_kWh\n{half},{}\n", kitchen.energy_kwh(half)));
    let outside = stdout(&kitchen.run(&["dry", "load.toml", "--readings", "outside.csv"]));
    assert!(outside.contains("This is a rough guess from outside"), "{outside}");
}

#[test]
fn update_and_dry_agree_and_never_say_zero_hours() {
    let kitchen = Kitchen::new();
    for share in [0.3, 0.6, 0.9, 1.1] {
        let at = share * kitchen.ready_h();
        kitchen.write("r.csv", &format!("time_h,tray,water_lost_g\n{at},1,{}\n", kitchen.lost_g(at)));
        let answer = |command: &str| -> Value {
            serde_json::from_str(&stdout(&kitchen.run(&[command, "load.toml", "--readings", "r.csv", "--json"])))
                .unwrap()
        };
        let (update, dry) = (answer("update"), answer("dry"));
        let left = |key: &str| (number(&update, &format!("/food_ready_h/after/{key}")) - at).max(0.0);
        assert!(
            (left("median") - number(&dry, "/wait_h/as_likely_as_not")).abs() < 0.05,
            "{share}: {update:#} {dry:#}"
        );
        assert!((left("high") - number(&dry, "/wait_h/nine_in_ten")).abs() < 0.05, "{share}: {update:#} {dry:#}");
        for text in [&update["sentence"], &dry["sentence"]] {
            assert!(!text.as_str().unwrap().contains("0.0 h"), "{text}");
        }
    }
}

#[test]
fn without_readings_the_answer_is_that_of_the_plan() {
    let kitchen = Kitchen::new();
    let lost = kitchen.lost_g(4.0);
    kitchen.write("r.csv", &format!("time_h,tray,water_lost_g\n4,1,{lost}\n"));
    let json = |args: &[&str]| -> Value { serde_json::from_str(&stdout(&kitchen.run(args))).unwrap() };
    let plan = json(&["plan", "load.toml", "--json"]);
    let update = json(&["update", "load.toml", "--readings", "r.csv", "--json"]);
    for key in ["low", "median", "high"] {
        let (planned, before) = (
            number(&plan, &format!("/time_h/food_ready/{key}")),
            number(&update, &format!("/food_ready_h/before/{key}")),
        );
        assert!((planned - before).abs() < 1e-9 * planned, "{key}: {planned} {before}");
    }
}

#[test]
fn a_transposed_weight_is_named_and_left_out() {
    let kitchen = Kitchen::new();
    let times = [0.25, 0.35, 0.45, 0.55, 0.65].map(|share| share * kitchen.ready_h());
    let row = |t: f64, grams: f64| format!("{t},1,{grams:.0}\n");
    let good: String = times.iter().map(|t| row(*t, kitchen.lost_g(*t))).collect();
    let bad: String = times
        .iter()
        .enumerate()
        .map(|(i, t)| row(*t, if i == 2 { kitchen.lost_g(*t) - 270.0 } else { kitchen.lost_g(*t) }))
        .collect();
    let json = |name: &str, rows: &str| -> Value {
        kitchen.write(name, &format!("time_h,tray,water_lost_g\n{rows}"));
        serde_json::from_str(&stdout(&kitchen.run(&["update", "load.toml", "--readings", name, "--json"]))).unwrap()
    };
    let (good, bad) = (json("good.csv", &good), json("bad.csv", &bad));
    assert_eq!(good["doubtful"].as_array().unwrap().len() + good["set_aside"].as_array().unwrap().len(), 0, "{good:#}");
    let line = |list: &str| bad[list].get(0).and_then(|d| d["line"].as_u64());
    assert_eq!(line("doubtful").or(line("set_aside")), Some(4), "{bad:#}");
    let (a, b) = (number(&good, "/food_ready_h/after/median"), number(&bad, "/food_ready_h/after/median"));
    assert!((a / b - 1.0).abs() < 0.05, "{a} {b}");
}

#[test]
fn a_weight_too_high_does_not_condemn_those_after_it_and_swapped_digits_are_guessed() {
    let kitchen = Kitchen::new();
    let times = [0.25, 0.35, 0.45, 0.55, 0.65].map(|share| share * kitchen.ready_h());
    let lost = times.map(|t| kitchen.lost_g(t).round());
    let json = |second: f64| -> Value {
        let read = [lost[0], second, lost[2], lost[3], lost[4]];
        let rows: String = times.iter().zip(read).map(|(t, grams)| format!("{t},1,{grams:.0}\n")).collect();
        kitchen.write("r.csv", &format!("time_h,tray,water_lost_g\n{rows}"));
        serde_json::from_str(&stdout(&kitchen.run(&["update", "load.toml", "--readings", "r.csv", "--json"]))).unwrap()
    };
    let lines = |answer: &Value, list: &str| -> Vec<u64> {
        answer[list].as_array().unwrap().iter().filter_map(|d| d["line"].as_u64()).collect()
    };
    let high = json(lost[4] + 200.0);
    assert_eq!(lines(&high, "set_aside"), [3], "{high:#}");
    assert_eq!(lines(&high, "doubtful"), [0; 0], "{high:#}");
    // the same number with its first two digits swapped, if that puts it far off; above, or below, what is possible
    let digits = format!("{:.0}", lost[1]).into_bytes();
    let swapped: String = [digits[1], digits[0]].iter().chain(&digits[2..]).map(|d| char::from(*d)).collect();
    let slip = json(swapped.parse().unwrap());
    let named = [lines(&slip, "set_aside"), lines(&slip, "doubtful")].concat();
    assert_eq!(named, [3], "{} for {}: {slip:#}", swapped, lost[1]);
    if let Some(doubtful) = slip["doubtful"].get(0) {
        let sentence = doubtful["sentence"].as_str().unwrap();
        assert!(
            sentence.contains("two digits swapped") && sentence.contains(&format!("{:.0} g", lost[1])),
            "{sentence}"
        );
    }
}

#[test]
fn an_outage_shifts_the_finish_and_says_what_became_of_the_food() {
    let kitchen = Kitchen::new();
    let lost = kitchen.lost_g(4.0);
    let update = |name: &str, rows: &str| {
        kitchen.write(name, rows);
        stdout(&kitchen.run(&["update", "load.toml", "--readings", name]))
    };
    let short = update(
        "s.csv",
        &format!(
            "time,event,tray,water_lost_g\n18:00,started,,\n19:00,power off,,\n19:15,power on,,\n22:15,,1,{lost}\n"
        ),
    );
    assert!(short.contains("The power was off for 15 min") && short.contains("stayed frozen"), "{short}");
    let long = update(
        "l.csv",
        &format!("time,event,tray,water_lost_g\n18:00,started,,\n20:00,opened,,\n01:00,closed,,\n03:00,,1,{lost}\n"),
    );
    assert!(long.contains("may have thawed") && long.contains("thawed food"), "{long}");
    let off = update(
        "o.csv",
        &format!("time,event,tray,water_lost_g\n18:00,started,,\n22:00,,1,{lost}\n23:00,power off,,\n"),
    );
    assert!(off.contains("still stopped"), "{off}");
}

#[test]
fn the_chart_shows_readings_and_ranges_and_is_not_written_over() {
    let kitchen = Kitchen::new();
    let half = 0.5 * kitchen.ready_h();
    let lost = kitchen.lost_g(half);
    kitchen.write("readings.csv", &format!("time_h,tray,water_lost_g,energy_kWh\n{half},1,{lost},3\n"));
    let update = ["update", "load.toml", "--readings", "readings.csv", "--draws", "64", "--out", "run"];
    stdout(&kitchen.run(&update));
    let svg = std::fs::read_to_string(kitchen.folder.path().join("run/update.svg")).unwrap();
    for part in ["Water lost, g", "Electricity, kWh", "cooked rice", "plug meter", "food ready", "by the sheet alone"] {
        assert!(svg.contains(part), "`{part}` is missing");
    }
    assert!(std::fs::read(kitchen.folder.path().join("run/update.png")).unwrap().starts_with(b"\x89PNG"));
    assert!(refused(&kitchen.run(&update)).contains("--force"));
}
