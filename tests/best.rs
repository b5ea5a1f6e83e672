//! `icefront best`: keeps the food, keeps it safe, is ready by the clock, and says what a plan says. Loads are invented.

use crate::program;

use program::{TWO_LAYERS, frozen, in_80_columns, json, kitchen, number, refused, said, word};

/// A thin layer over large cubes, frozen before: the cubes are last.
const LARGE_CUBES: &str = r#"[[tray]]
food = "diced turkey"
shape = "cubes"
size = "28 mm"
amount = "900 g"

[[tray]]
food = "cooked rice"
shape = "layer"
depth = "8 mm"
"#;

#[test]
fn the_last_tray_is_cut_smaller_and_no_food_is_lost() {
    let folder = kitchen(&frozen(LARGE_CUBES));
    let answer = json(folder.path(), &["best", "load.toml", "--json"]);
    let trays = answer["trays"].as_array().unwrap();
    let turkey = trays.iter().find(|tray| tray["sheet_tray"] == 1).unwrap();
    assert!(number(turkey, "/cut") < 1.0, "{turkey:#}");
    approx::assert_relative_eq!(number(turkey, "/food_kg"), 0.9, max_relative = 1e-6);
    assert_eq!(word(&answer, "/against_given/food_ready/verdict"), "lower");
    // smaller cubes hold a little less water at the end; the dry matter is the same
    approx::assert_relative_eq!(number(&answer, "/against_given/dried_kg/ratio/median"), 1.0, max_relative = 0.02);
}

#[test]
fn the_sheets_own_load_is_that_of_plan() {
    let folder = kitchen(&frozen(LARGE_CUBES));
    let answer = json(folder.path(), &["best", "load.toml", "--draws", "16", "--json"]);
    let plan = json(folder.path(), &["plan", "load.toml", "--draws", "16", "--json"]);
    for end in ["low", "median", "high"] {
        let (got, expected) = (
            number(&answer, &format!("/as_given/food_ready_h/{end}")),
            number(&plan, &format!("/time_h/food_ready/{end}")),
        );
        assert_eq!(got, expected, "{end}");
    }
}

#[test]
fn it_is_ready_by_the_clock_nine_times_in_ten_and_no_less_safe() {
    let folder = kitchen(TWO_LAYERS);
    let answer = json(folder.path(), &["best", "load.toml", "--ready-by", "07:00", "--start", "18:00", "--json"]);
    let limit = number(&answer, "/ready_within_h");
    assert!([13.0, 37.0, 61.0].iter().any(|hours| (limit - hours).abs() < 1e-9), "{limit} h");
    assert!(number(&answer, "/arranged/food_ready_h/high") <= limit);
    for goal in ["hours", "cost-per-kg"] {
        let answer = json(folder.path(), &["best", "load.toml", "--goal", goal, "--json"]);
        let grave = |which: &str| number(&answer, &format!("/{which}/grave_chance"));
        assert!(grave("arranged") <= f64::max(0.1, grave("as_given") + 0.03), "{goal}");
    }
}

/// Berries in syrup-like tissue soften on warm shelves: the gentlest setting is cooler, slower and no worse; the fastest
/// comes out as well and is no slower; written into the sheet, `plan` says the same.
#[test]
fn shelves_are_heated_as_the_food_stands_it() {
    let sheet = "[[tray]]\nfood = \"mixed berries\"\nshape = \"spheres\"\nsize = \"12 mm\"\n";
    let berries = frozen(&sheet.replace("mixed berries", "blueberries"));
    let folder = kitchen(&berries);
    let answer = json(folder.path(), &["best", "load.toml", "--draws", "16", "--json"]);
    let shelves = |which: &str, path: &str| number(&answer, &format!("/shelves/{which}{path}"));
    let grade = |which: &str| word(&answer, &format!("/shelves/{which}/grades/0"));
    let order = ["keeps", "softens", "shrinks", "melts", "never_dry"];
    let place = |which: &str| order.iter().position(|known| *known == grade(which)).unwrap();
    assert!(place("fastest") <= place("gentlest") && place("gentlest") <= place("as_given"));
    assert!(shelves("gentlest", "/programme/0/shelf_c") < shelves("as_given", "/programme/0/shelf_c"));
    let ready = |which: &str| shelves(which, "/food_ready_h/median");
    assert!(ready("fastest") <= ready("gentlest"), "{} {}", ready("fastest"), ready("gentlest"));
    let given = number(&answer, "/arranged/food_ready_h/median");
    approx::assert_relative_eq!(ready("as_given"), given, max_relative = 1e-6);
    // the line for the sheet
    let text = said(folder.path(), &["best", "load.toml", "--draws", "16"]);
    let words = text.split_whitespace().collect::<Vec<_>>().join(" ");
    let Some((_, line)) = words.split_once("write at its top: ") else { panic!("no line for the sheet in {text}") };
    let line = line.split_once(" CAUTIONS").unwrap().0;
    let written = berries.replacen("icefront = 1\n", &format!("icefront = 1\n{line}\n"), 1);
    std::fs::write(folder.path().join("heated.toml"), written).unwrap();
    let plan = json(folder.path(), &["plan", "heated.toml", "--draws", "16", "--json"]);
    approx::assert_relative_eq!(number(&plan, "/time_h/food_ready/median"), ready("fastest"), max_relative = 1e-6);
}

#[test]
fn threads_do_not_change_a_byte_and_a_rig_is_refused() {
    let folder = kitchen(&frozen(LARGE_CUBES));
    let one = said(folder.path(), &["best", "load.toml", "--threads", "1"]);
    assert_eq!(one, said(folder.path(), &["best", "load.toml", "--threads", "3"]));
    in_80_columns(&one);
    let rig = TWO_LAYERS
        .replace("dryer = \"0.60 m2\"", "")
        .replace("depth", "area = \"0.1 m2\"\ndepth")
        .replace("[tariff]", "[rig]\nshelf = \"30 C\"\nvapour_pressure = \"40 Pa\"\n\n[tariff]");
    std::fs::write(folder.path().join("rig.toml"), rig).unwrap();
    let error = refused(folder.path(), &["best", "rig.toml"]);
    assert!(error.contains("has no places to choose from"), "{error}");
}

/// Raw food stays below what is eaten as it is, however the trays are shuffled.
#[test]
fn raw_food_lies_lowest() {
    let layer = |food: &str| format!("[[tray]]\nfood = \"{food}\"\nshape = \"layer\"\ndepth = \"9 mm\"\n");
    let trays = [layer("cooked rice"), layer("raw eggs"), layer("peas")].concat();
    let folder = kitchen(&frozen(&trays));
    let answer = json(folder.path(), &["best", "load.toml", "--draws", "16", "--json"]);
    let lowest = &answer["trays"].as_array().unwrap()[0];
    assert_eq!(lowest["sheet_tray"], 2, "{answer:#}");
    let plan = json(folder.path(), &["plan", "load.toml", "--draws", "0", "--json"]);
    let cautions = plan["cautions"].to_string();
    assert!(cautions.contains("Raw food is above other food. Put tray 2 on the lowest shelves"), "{cautions}");
}
