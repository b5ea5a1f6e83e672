//! `icefront compare`: the same physics as `plan`, differences on common draws and the rule that calls them, any value
//! varied, mistakes told, the same bytes on any thread count. Loads are invented; rules stand in `docs/guide/compare.md`.

use crate::program;

use program::{TWO_LAYERS, frozen, in_80_columns, json, kitchen, number, refused, said, word};
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
        for end in ["low", "median", "high"] {
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
    let hours = "/time_h/food_ready/median";
    // more work against a warmer room; physics: less cooling, more power
    let [cool, warm] = middle("room=10C,35C", "/energy_kwh/total/median");
    assert!(warm > cool, "{cool} {warm}");
    for vary in [
        "tray.2.depth=8mm,20mm",
        "fill=50%,150%",
        "end.moisture=6%,2%",
        "method=already frozen,in machine",
        "dryer.heater.set_point=60 C,30 C",
        "shelf=60 C,30 C",
        "desorption_rate_40c_per_s=4e-4,1e-4",
    ] {
        let [short, long] = middle(vary, hours);
        assert!(long > short, "{vary}: {short} h, {long} h");
    }
    // fat takes the place of water
    let [lean, fatty] = middle("fat=1%,30%", "/dried_kg/median");
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

/// The same cut keeps the weight where the sheet gives it, and the depth where it gives layers.
#[test]
fn what_stays_is_told() {
    let pieces = |more: &str| {
        format!(
            "icefront = 1\ndryer = \"0.60 m2\"\n[[tray]]\nfood = \"apple\"\nshape = \"cubes\"\nsize = \"12 mm\"\n{more}\n"
        )
    };
    for (sheet, vary, stays) in [
        (pieces("amount = \"700 g\""), "size=20mm", "the weight stays, the depth changes"),
        (pieces(""), "size=20mm", "weight and depth change"),
        (pieces(""), "coverage=60%", "the depth stays, the weight changes"),
        (TWO_LAYERS.to_string(), "depth=8mm", "weight and depth change"),
        (TWO_LAYERS.to_string(), "fill=50%", "weight and depth change"),
    ] {
        let folder = kitchen(&sheet);
        let text = said(folder.path(), &["compare", "load.toml", "--vary", vary, "--draws", "8"]);
        let words = text.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(words.contains(stays), "{vary}: `{stays}` is missing in\n{text}");
    }
}

/// A load that goes in half frozen is never the best, however soon it is ready.
#[test]
fn a_half_frozen_load_is_never_the_best() {
    let sheet = TWO_LAYERS.replace("\"already frozen\"", "\"in machine\"");
    let folder = kitchen(&sheet.replace("12 mm", "40 mm"));
    let answer = json(
        folder.path(),
        &["compare", "load.toml", "--vary", "dryer.freeze_limit=1 h,2 h,40 h", "--draws", "8", "--json"],
    );
    for which in ["least_time_per_kg", "least_cost_per_kg", "fullest_safe"] {
        let Some(best) = answer["best"][which]["load"].as_str() else { continue };
        let one = answer["loads"].as_array().unwrap().iter().find(|load| load["name"] == best).unwrap();
        assert!(number(one, "/chance/not_frozen") <= 0.1, "{which}: {best}");
    }
    let chance = |i: usize| number(load(&answer, i), "/chance/not_frozen");
    assert!(chance(1) > 0.9, "the first variation goes in half frozen: {}", chance(1));
}

#[test]
fn mistakes_are_told_where_they_are() {
    let folder = kitchen(TWO_LAYERS);
    for (vary, parts) in [
        ("depht=8mm", &["key `depht` is not known", "did you mean `depth`"][..]),
        ("depth=95mm", &["load.toml, with depth 95mm:15:9", "outside 1 mm to 80 mm"]),
        ("depth=8", &["has no unit"]),
        ("fill=900%", &["`fill` cannot be used", "10 % to 400 %"]),
        ("tray.3.depth=8mm", &["tray `3` is not known", "trays 1 to 2"]),
        ("time=8h", &["`before_loading.time`", "`end.time`"]),
        ("food=unicorn slices", &["is not in the food table"]),
        ("dryer.heater.set_pint=30 C", &["unknown key `set_pint`", "did you mean `set_point`"]),
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
    assert!(again.contains("already exists"), "{again}");
}

/// Rice with pork in it. Invented.
const WITH_PORK: &str = r#"[[tray]]
name = "rice"
food = "cooked rice"
shape = "layer"
depth = "12 mm"
embedded = { food = "pork, ground", size = "12 mm", share = "25 %" }
"#;

/// The tray of [`WITH_PORK`] as two, written by hand: three quarters of its depth, and cubes of a quarter of its volume
/// that cover as much of their tray: 12 mm x 25 % / 12 mm.
const BY_HAND: [&str; 2] = [
    "depth = \"12 mm\"\nembedded = { food = \"pork, ground\", size = \"12 mm\", share = \"25 %\" }\n",
    "depth = \"9 mm\"\n\n[[tray]]\nname = \"pork\"\nfood = \"pork, ground\"\nshape = \"cubes\"\nsize = \"12 mm\"\n\
     layers = 1\ncoverage = \"25 %\"\n",
];

#[test]
fn pieces_apart_take_as_long_as_two_trays_written_by_hand() {
    let with_pork = frozen(WITH_PORK);
    let folder = kitchen(&with_pork);
    let by_hand = with_pork.replace(BY_HAND[0], BY_HAND[1]);
    assert_ne!(by_hand, with_pork);
    std::fs::write(folder.path().join("by-hand.toml"), by_hand).unwrap();
    let typical = ["--draws", "0", "--json"];
    let by_hand = json(folder.path(), &[&["plan", "by-hand.toml"][..], &typical].concat());
    let apart = with_pork.replace("\"25 %\" }", "\"25 %\", apart = true }");
    std::fs::write(folder.path().join("apart.toml"), apart).unwrap();
    let apart = json(folder.path(), &[&["plan", "apart.toml"][..], &typical].concat());
    let hours = |answer: &Value, key: &str| number(answer, &format!("/time_h/food_ready/{key}"));
    approx::assert_relative_eq!(hours(&apart, "typical_run"), hours(&by_hand, "typical_run"), max_relative = 1e-6);

    let draws = ["--draws", "16", "--json"];
    let compared = json(folder.path(), &[&["compare", "load.toml", "--apart"][..], &draws].concat());
    for (number_of, sheet) in [(0, "load.toml"), (1, "apart.toml")] {
        let plan = json(folder.path(), &[&["plan", sheet][..], &draws].concat());
        approx::assert_relative_eq!(
            hours(load(&compared, number_of), "median"),
            hours(&plan, "median"),
            max_relative = 1e-6
        );
        assert!(number(load(&compared, number_of), "/last_tray/chance") > 0.0);
    }
    // limits of fat as the code of keeping states them: rice is lean, pork is not, and the two together lie between
    let kept = &compared["keeping"][0];
    let fat = |what: &str| number(kept, &format!("/{what}/fat_per_dry"));
    let months = |what: &str| number(kept, &format!("/{what}/eat_first_months"));
    assert!(fat("rest_apart") < fat("together") && fat("together") < fat("pieces_apart"), "{kept:#}");
    assert!(months("rest_apart") > months("together") && months("together") >= months("pieces_apart"), "{kept:#}");
    let text = said(folder.path(), &["compare", "load.toml", "--apart", "--draws", "8"]);
    in_80_columns(&text);
    for part in ["DRY LAST", "KEEPING", "apart, pork, ground", "guarantee"] {
        assert!(text.contains(part), "`{part}` is missing in\n{text}");
    }
}

#[test]
fn pieces_without_a_tray_to_go_on_are_refused() {
    let plain = format!("\n{WITH_PORK}").replace("embedded", "# embedded");
    let folder = kitchen(&frozen(&format!("{WITH_PORK}{}", plain.repeat(5))));
    let error = refused(folder.path(), &["compare", "load.toml", "--apart", "--draws", "8"]);
    for told in ["no tray is free for the pieces", "load.toml, with apart true:", "such as `rice`", "leave the pieces"]
    {
        assert!(error.contains(told), "`{told}` is missing in\n{error}");
    }
    let none = kitchen(TWO_LAYERS);
    let error = refused(none.path(), &["compare", "load.toml", "--apart", "--draws", "8"]);
    assert!(error.contains("no tray has `embedded` pieces"), "{error}");
}
