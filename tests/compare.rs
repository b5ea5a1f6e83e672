//! `icefront compare`: the same physics as `plan`, differences on common draws and the rule that calls them, any value
//! varied, mistakes told, the same bytes on any thread count. Loads are invented; rules stand in `docs/compare.md`.

#[path = "common/program.rs"]
mod program;

use program::{TWO_LAYERS, in_80_columns, json, kitchen, number, refused, said, word};
use serde_json::Value;

fn load(answer: &Value, number: usize) -> &Value {
    &answer["loads"][number]
}

fn verdict(answer: &Value, number: usize) -> &str {
    word(load(answer, number), "/against_first/food_ready/verdict")
}

/// Width of the log of the time ratio between its one-in-ten points.
fn log_spread(load: &Value) -> f64 {
    let ratio = "/against_first/food_ready/ratio";
    (number(load, &format!("{ratio}/high")) / number(load, &format!("{ratio}/low"))).ln()
}

#[test]
fn the_unvaried_load_is_planned_as_plan_plans_it() {
    let folder = tempfile::tempdir().unwrap();
    let draws = ["--draws", "16", "--seed", "3", "--json"];
    let plan = json(folder.path(), &[&["plan"][..], &draws].concat());
    let compared = json(folder.path(), &[&["compare", "--vary", "depth=8mm,20mm"][..], &draws].concat());
    let first = load(&compared, 0);
    for (here, there) in
        [("time_h/food_ready", "time_h/food_ready"), ("energy_kwh/total", "energy_kwh/total"), ("cost", "cost")]
    {
        for end in ["low", "typical", "high"] {
            let (got, expected) = (number(first, &format!("/{here}/{end}")), number(&plan, &format!("/{there}/{end}")));
            assert_eq!(got, expected, "{here}, {end}");
        }
    }
}

#[test]
fn a_hundredth_of_depth_cannot_be_told_and_a_third_can() {
    let folder = kitchen(TWO_LAYERS);
    let answer = json(folder.path(), &["compare", "load.toml", "--vary", "depth=12.12mm,8mm,16mm", "--json"]);
    assert_eq!(verdict(&answer, 1), "can't tell");
    assert_eq!(verdict(&answer, 2), "lower");
    assert_eq!(verdict(&answer, 3), "higher");
    let same = json(folder.path(), &["compare", "load.toml", "--vary", "depth=12mm", "--json"]);
    assert_eq!(verdict(&same, 1), "no difference");
}

#[test]
fn a_load_does_not_differ_from_itself_on_independent_draws() {
    let folder = kitchen(TWO_LAYERS);
    let none = (1..=20)
        .filter(|seed| {
            let seed = seed.to_string();
            let args =
                ["compare", "load.toml", "load.toml", "--independent", "--draws", "64", "--json", "--seed", &seed];
            verdict(&json(folder.path(), &args), 1) == "no difference"
        })
        .count();
    assert!(none >= 18, "no difference in {none} of 20");
}

#[test]
fn common_draws_are_three_times_as_sharp_on_depth() {
    let folder = kitchen(TWO_LAYERS);
    let vary = ["compare", "load.toml", "--vary", "depth=8mm,10mm,16mm,20mm", "--draws", "128", "--json"];
    let paired = json(folder.path(), &vary);
    let apart = json(folder.path(), &[&vary[..], &["--independent"]].concat());
    for i in 1..=4 {
        let (paired, apart) = (log_spread(load(&paired, i)), log_spread(load(&apart, i)));
        assert!(3.0 * paired <= apart, "variant {i}: paired {paired}, unpaired {apart}");
    }
}

#[test]
fn any_value_can_be_varied() {
    let folder = kitchen(TWO_LAYERS);
    let middle = |vary: &str, path: &str| {
        let answer = json(folder.path(), &["compare", "load.toml", "--vary", vary, "--draws", "8", "--json"]);
        [1, 2].map(|i| number(load(&answer, i), path))
    };
    let hours = "/time_h/food_ready/typical";
    // more work against a warmer room; physics: less cooling, more power
    let [cool, warm] = middle("room=10C,35C", "/energy_kwh/total/typical");
    assert!(warm > cool, "{cool} {warm}");
    for vary in [
        "tray.2.depth=8mm,20mm",
        "fill=50%,150%",
        "end.moisture=6%,2%",
        "method=already frozen,in machine",
        "dryer.heater.set_point=60 C,30 C",
        "desorption_rate_40c_per_s=4e-4,1e-4",
    ] {
        let [short, long] = middle(vary, hours);
        assert!(long > short, "{vary}: {short} h, {long} h");
    }
    // fat takes the place of water
    let [lean, fatty] = middle("fat=1%,30%", "/dried_kg/typical");
    assert!(fatty > lean, "{lean} {fatty}");
    let answer = json(
        folder.path(),
        &[
            "compare",
            "load.toml",
            "--vary",
            "dryer=0.36 m2,1.00 m2",
            "--vary",
            "depth=8mm,16mm",
            "--draws",
            "8",
            "--json",
        ],
    );
    assert_eq!(answer["loads"].as_array().map(Vec::len), Some(5), "two by two and the sheet's own");
}

#[test]
fn what_is_meant_and_what_gives_way_is_told() {
    let folder = kitchen(&TWO_LAYERS.replacen("depth = \"12 mm\"", "amount = \"900 g\"", 1));
    let text = said(folder.path(), &["compare", "load.toml", "--vary", "tray.1.depth=9mm", "--draws", "8"]);
    let words = text.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(words.contains("`tray.1.depth` is that of tray 1; `amount` gives way to it"), "{text}");
}

#[test]
fn mistakes_are_told_where_they_are() {
    let folder = kitchen(TWO_LAYERS);
    for (vary, parts) in [
        ("depht=8mm", &["key `depht` is not known", "nearest: `depth`"][..]),
        ("depth=95mm", &["load.toml, with depth 95mm:15:9", "outside 1 mm to 80 mm"]),
        ("depth=8", &["has no unit"]),
        ("fill=900%", &["`fill` cannot be used", "10 % to 400 %"]),
        ("tray.3.depth=8mm", &["tray `3` is not known", "trays 1 to 2"]),
        ("time=8h", &["`before_loading.time`", "`end.time`"]),
        ("food=apple slicez", &["is not in the food table"]),
        ("dryer.heater.set_pint=30 C", &["unknown key `set_pint`", "nearest: `set_point`"]),
    ] {
        let error = refused(folder.path(), &["compare", "load.toml", "--vary", vary]);
        for part in parts {
            assert!(error.contains(part), "{vary}: `{part}` is missing in\n{error}");
        }
    }
    let alone = refused(folder.path(), &["compare", "load.toml"]);
    assert!(alone.contains("nothing to compare it with"), "{alone}");
}

#[test]
fn threads_do_not_change_a_byte_and_files_stay() {
    let folder = kitchen(TWO_LAYERS);
    let vary = ["compare", "load.toml", "--vary", "depth=8mm,16mm", "--draws", "16"];
    let one = said(folder.path(), &[&vary[..], &["--threads", "1", "--out", "there"]].concat());
    assert_eq!(one, said(folder.path(), &[&vary[..], &["--threads", "3"]].concat()));
    in_80_columns(&one);
    for part in
        ["Least time per kg", "Least cost per kg", "Fullest that is still safe", "AGAINST THE FIRST", "guarantee"]
    {
        assert!(one.contains(part), "`{part}` is missing in\n{one}");
    }
    assert!(folder.path().join("there/compare.svg").exists() && folder.path().join("there/compare.png").exists());
    let again = refused(folder.path(), &[&vary[..], &["--out", "there"]].concat());
    assert!(again.contains("is there already"), "{again}");
}
