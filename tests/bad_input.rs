//! Wrong input: every mistake is told with file, line, value and what is allowed, ends with code 2, and writes nothing.

use std::path::Path;
use std::process::{Command, Output};

/// A tray that is right, to put beside what is wrong.
const GOOD_TRAY: &str = "[[tray]]\nfood = \"apple\"\nshape = \"layer\"\ndepth = \"12 mm\"\n";
const HEAD: &str = "icefront = 1\ndryer = \"0.60 m2\"\n";

fn plan(folder: &Path, file: &str) -> Output {
    let out = folder.join("out");
    let output = Command::new(env!("CARGO_BIN_EXE_icefront"))
        .args(["plan", file, "--out"])
        .arg(&out)
        .current_dir(folder)
        .output()
        .unwrap();
    assert!(!out.exists(), "wrong input wrote into {}", out.display());
    output
}

/// Plans a file with these bytes; its message must hold all of `parts`.
fn refused(bytes: &[u8], parts: &[&str]) {
    let folder = tempfile::tempdir().unwrap();
    std::fs::write(folder.path().join("load.toml"), bytes).unwrap();
    told(&plan(folder.path(), "load.toml"), parts);
}

fn told(output: &Output, parts: &[&str]) {
    let message = String::from_utf8_lossy(&output.stderr);
    assert_eq!(output.status.code(), Some(2), "exit code; message:\n{message}");
    assert!(output.stdout.is_empty(), "something went to stdout");
    for part in parts {
        assert!(message.contains(part), "`{part}` is missing in\n{message}");
    }
}

/// A sheet with one good tray and `lines` put before it.
fn refused_top(lines: &str, parts: &[&str]) {
    refused(format!("{HEAD}{lines}{GOOD_TRAY}").as_bytes(), parts);
}

/// A sheet whose only tray has these lines.
fn refused_tray(lines: &str, parts: &[&str]) {
    refused(format!("{HEAD}[[tray]]\n{lines}").as_bytes(), parts);
}

#[test]
fn the_good_tray_is_good() {
    let folder = tempfile::tempdir().unwrap();
    std::fs::write(folder.path().join("load.toml"), format!("{HEAD}{GOOD_TRAY}")).unwrap();
    let output =
        Command::new(env!("CARGO_BIN_EXE_icefront")).args(["plan", "load.toml"]).current_dir(&folder).output().unwrap();
    assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
}

#[test]
fn missing_file() {
    let folder = tempfile::tempdir().unwrap();
    told(&plan(folder.path(), "nowhere.toml"), &["`nowhere.toml`", "no such file"]);
}

#[test]
fn folder_for_a_file() {
    let folder = tempfile::tempdir().unwrap();
    told(&plan(folder.path(), "."), &["`.`", "it is a folder"]);
}

#[test]
fn empty_file() {
    refused(b"", &["`load.toml`", "empty", "icefront new"]);
    refused(b" \n\n", &["empty"]);
}

#[test]
fn not_utf8() {
    refused(b"icefront = 1\n# caf\xe9\n", &["`load.toml`", "line 2", "UTF-8"]);
}

#[test]
fn not_toml() {
    refused(b"icefront = 1\ndryer = \"0.60 m2\nroom = 3\n", &["load.toml:2", "not TOML"]);
}

#[test]
fn duplicate_key() {
    refused_top("room = \"20 C\"\nroom = \"25 C\"\n", &["load.toml:4:1", "duplicate key"]);
}

#[test]
fn version() {
    refused(GOOD_TRAY.as_bytes(), &["`icefront` is missing", "icefront = 1"]);
    refused(b"icefront = 2\n", &["load.toml:1:12", "version 2", "only version 1"]);
}

#[test]
fn unknown_keys_and_the_nearest_spelling() {
    refused_top("colour = 1\n", &["load.toml:3:1", "unknown key `colour`", "`servings`"]);
    refused_tray("dpeth = \"12 mm\"\n", &["load.toml:4:1", "tray 1", "unknown key `dpeth`", "did you mean `depth`"]);
}

#[test]
fn unknown_food_and_the_nearest_name() {
    let tray = "food = \"unicorn stew\"\nshape = \"layer\"\ndepth = \"12 mm\"\n";
    refused_tray(tray, &["load.toml:4:8", "tray 1", "food `unicorn stew`", "nearest name: `"]);
}

#[test]
fn missing_unit() {
    refused_top("room = 20\n", &["load.toml:3:8", "`20` has no unit", "use `20 °C` instead"]);
    refused_top("room = \"20\"\n", &["`20` has no unit"]);
    refused_top("room = \"72\"\n", &["use `72 °F` instead"]);
}

#[test]
fn unknown_unit() {
    refused_tray(
        "food = \"apple\"\nshape = \"layer\"\ndepth = \"12 mn\"\n",
        &["load.toml:6:9", "`mn`", "length", "mm"],
    );
    refused_tray("food = \"apple\"\nshape = \"layer\"\namount = \"3 cupz\"\n", &["`cupz`", "did you mean `cup"]);
}

#[test]
fn out_of_range_is_told_in_the_users_unit() {
    let depth = |text: &str| format!("food = \"apple\"\nshape = \"layer\"\ndepth = \"{text}\"\n");
    refused_tray(&depth("-12 mm"), &["load.toml:6:9", "`depth`", "`-12 mm`", "negative"]);
    refused_tray(&depth("150 in"), &["`150 in` is outside 0.04 in to 3 1/8 in"]);
    refused_top("room = \"-40 F\"\n", &["`-40 F` is outside -4 °F to 113 °F"]);
}

#[test]
fn fractions_over_one() {
    let tray = "food = \"peas, raw\"\nshape = \"spheres\"\nsize = \"8 mm\"\ncoverage = 1.4\n";
    refused_tray(tray, &["load.toml:7:12", "`coverage`", "`1.4` (140 %) is outside"]);
    refused_top(
        "[food.mine]\nlike = \"apple\"\nwater = 0.8\nfat = \"30 %\"\n",
        &["[food.mine]", "do not fit together"],
    );
}

#[test]
fn no_number_is_not_a_number() {
    let expert = |value: &str| format!("{}[tray.expert]\nwater_frac = {value}\n", &GOOD_TRAY["[[tray]]\n".len()..]);
    for value in ["nan", "inf", "-inf"] {
        refused_tray(&expert(value), &["load.toml:8:14", "tray 1, expert", "not a finite number"]);
    }
    refused_top("room = \"nan C\"\n", &["`nan C`", "not a finite number"]);
    refused_top("servings = inf\n", &["`inf` is not a finite number"]);
}

#[test]
fn wrong_type() {
    refused_top("room = true\n", &["`room` must be text with a unit of temperature", "this is true or false"]);
    refused_top("end = \"3 %\"\n", &["`end` must be a table", "this is text"]);
    refused(format!("{HEAD}tray = 3\n").as_bytes(), &["`tray` must be a list", "[[tray]]"]);
}

#[test]
fn no_tray() {
    refused(HEAD.as_bytes(), &["there is no tray", "[[tray]]"]);
}

#[test]
fn unknown_words() {
    refused_tray("food = \"apple\"\nshape = \"layre\"\n", &["`layre`", "did you mean `layer`", "`spheres`"]);
    refused_top("[end]\nrule = \"fixed tme\"\n", &["[end]", "`fixed tme`", "did you mean `fixed time`"]);
    refused_top("[before_loading]\nmethod = \"oven\"\n", &["[before_loading]", "`oven`", "`outdoors`"]);
}

#[test]
fn dryers() {
    refused(
        format!("icefront = 1\ndryer = \"0.61 m2\"\n{GOOD_TRAY}").as_bytes(),
        &["load.toml:2:9", "did you mean `0.60 m2`"],
    );
    refused(format!("icefront = 1\ndryer = \"no.toml\"\n{GOOD_TRAY}").as_bytes(), &["`no.toml`", "no such file"]);
    refused(format!("icefront = 1\n{GOOD_TRAY}").as_bytes(), &["`dryer` is missing", "0.60 m2"]);
    refused_top("[rig]\nshelf = \"30 C\"\nvapour_pressure = \"40 Pa\"\n", &["`dryer` does not go with a `[rig]`"]);
}

#[test]
fn a_rig_does_not_freeze_and_has_no_trays_of_its_own() {
    let rig = "icefront = 1\n[rig]\nshelf = \"30 C\"\nvapour_pressure = \"40 Pa\"\n";
    refused(format!("{rig}{GOOD_TRAY}").as_bytes(), &["tray 1", "`area` is missing"]);
    let warm = format!("{rig}[before_loading]\nmethod = \"in machine\"\n{GOOD_TRAY}area = \"0.1 m2\"\n");
    refused(warm.as_bytes(), &["load.toml:6:10", "a `[rig]` does not freeze"]);
}

#[test]
fn food_loaded_frozen_must_be_frozen() {
    let sheet = "[before_loading]\nmethod = \"already frozen\"\ntemperature = \"-5 C\"\n[food.sweet]\n\
                 like = \"apple\"\nfreezing_point = \"-9 C\"\n[[tray]]\nfood = \"sweet\"\nshape = \"layer\"\n\
                 depth = \"9 mm\"\n";
    refused_top(sheet, &["`sweet` is not frozen when it is loaded", "-9 °C"]);
}

#[test]
fn problems_of_sheet_and_dryer_file_are_told_together() {
    let folder = tempfile::tempdir().unwrap();
    let printed = Command::new(env!("CARGO_BIN_EXE_icefront")).args(["dryers", "0.60 m2"]).output().unwrap().stdout;
    let mine = String::from_utf8(printed).unwrap().replace("\"50 C\"", "\"500 C\"").replace("clearance", "clearence");
    std::fs::write(folder.path().join("mine.toml"), mine).unwrap();
    let sheet = format!("icefront = 1\ndryer = \"mine.toml\"\nroom = \"99 C\"\n{GOOD_TRAY}");
    std::fs::write(folder.path().join("load.toml"), sheet).unwrap();
    let parts = [
        "load.toml:3:8",
        "`99 C`",
        "mine.toml:",
        "`500 C`",
        "`clearence`",
        "did you mean `clearance`",
        "`clearance` is missing",
    ];
    told(&plan(folder.path(), "load.toml"), &parts);
}

#[test]
fn amount_and_depth_that_contradict_each_other() {
    let tray = "food = \"apple\"\nshape = \"layer\"\ndepth = \"15 mm\"\namount = \"9 kg\"\n";
    refused_tray(tray, &["load.toml:7:10", "`amount` and `depth` contradict each other", "9 kg"]);
}

#[test]
fn what_does_not_fit_the_tray() {
    let tray = "food = \"apple\"\nshape = \"layer\"\namount = \"20 kg\"\n";
    refused_tray(tray, &["does not fit the tray", "allowed depth: 1 mm to 80 mm"]);
    let tray = "food = \"apple\"\nshape = \"cubes\"\nsize = \"10 mm\"\nlayers = 1\namount = \"3 kg\"\n";
    refused_tray(tray, &["the pieces do not fit the tray", "at most 100 %"]);
    let tray = "food = \"apple\"\nshape = \"cubes\"\nsize = \"30 mm\"\nlayers = 5\n";
    refused_tray(tray, &["the food is too high", "150 mm"]);
}

#[test]
fn more_trays_than_shelves() {
    let trays = GOOD_TRAY.repeat(6);
    refused_top(&trays, &["tray 7", "no shelf for this tray", "7 trays on 6 shelves", "dry the rest as another load"]);
}

#[test]
fn keys_that_do_not_go_together() {
    let tray = "food = \"apple\"\nshape = \"cubes\"\nsize = \"10 mm\"\ndepth = \"4 mm\"\n";
    refused_tray(tray, &["`depth` does not go with shape `cubes`", "`size`"]);
    refused_top("[before_loading]\nmethod = \"in machine\"\nwind = \"2 m/s\"\n", &["`wind` does not go with"]);
    refused_top(
        "[end]\nrule = \"fixed time\"\ntime = \"20 h\"\nmoisture = \"3 %\"\n",
        &["`moisture` does not go with"],
    );
}

#[test]
fn missing_keys() {
    refused_tray("shape = \"layer\"\ndepth = \"9 mm\"\n", &["tray 1", "`food` is missing"]);
    refused_tray("food = \"apple\"\nshape = \"layer\"\n", &["neither `depth` nor `amount`"]);
    refused_tray("food = \"apple\"\nshape = \"slices\"\nthickness = \"6 mm\"\n", &["`width` is missing"]);
    refused_top("[tariff]\ncurrency = \"EUR\"\n", &["[tariff]", "`price_per_kwh` is missing"]);
}

#[test]
fn recipes_and_own_foods() {
    refused_tray(
        "recipe = \"stew\"\nshape = \"layer\"\ndepth = \"9 mm\"\n",
        &["no recipe `stew`", "[recipe.\"stew\"]"],
    );
    refused_top(
        "[recipe.stew]\n\"apple unicorn\" = \"100 g\"\n",
        &["[recipe.stew]", "`apple unicorn`", "nearest name: `Apple"],
    );
    refused_top("[recipe.stew]\napple = \"100\"\n", &["`100` has no unit"]);
    refused_top("[recipe.stew]\n", &["no ingredients"]);
    refused_top(
        "[food.mine]\nlike = \"olive oil\"\n[recipe.x]\nmine = \"1 kg\"\n[[tray]]\nrecipe = \"x\"\nshape = \"layer\"\ndepth = \"5 mm\"\n",
        &["`x` cannot be freeze-dried"],
    );
}

#[test]
fn all_problems_are_told_at_once_in_the_order_of_the_file() {
    let sheet =
        format!("{HEAD}room = 20\nwhat = 1\n[[tray]]\nfood = \"unicorn pye\"\nshape = \"cube\"\ndepth = \"12\"\n");
    let folder = tempfile::tempdir().unwrap();
    std::fs::write(folder.path().join("load.toml"), sheet).unwrap();
    let output = plan(folder.path(), "load.toml");
    let message = String::from_utf8_lossy(&output.stderr).into_owned();
    let at: Vec<usize> = ["load.toml:3:", "load.toml:4:", "load.toml:6:", "load.toml:7:"]
        .iter()
        .map(|p| message.find(p).unwrap())
        .collect();
    assert!(at.is_sorted(), "{message}");
}

#[test]
fn wrong_arguments() {
    let icefront = |args: &[&str]| Command::new(env!("CARGO_BIN_EXE_icefront")).args(args).output().unwrap();
    told(&icefront(&["plam"]), &["plam", "plan"]);
    told(&icefront(&["plan", "--jsn"]), &["--jsn", "--json"]);
    told(&icefront(&["foods", "qqqq"]), &["food `qqqq`"]);
    told(&icefront(&["evidence", "--chart", "times.png"]), &["`--chart`", "`times.png`", ".svg"]);
    told(&icefront(&["dryers", "9 m2"]), &["dryer `9 m2`", "`0.60 m2`"]);
}

#[test]
fn embedded_pieces() {
    let layer = "food = \"apple\"\nshape = \"layer\"\ndepth = \"12 mm\"\n";
    let with = |table: &str| format!("{layer}embedded = {table}\n");
    refused_tray(&with("{ food = \"pork, ground\", size = \"15 mm\" }"), &["`share` is missing", "\"30 %\""]);
    let unknown = "{ food = \"pork gruntle\", size = \"15 mm\", share = \"30 %\" }";
    refused_tray(&with(unknown), &["`pork gruntle`", "not a known food", "load.toml:7"]);
    let too_much = "{ food = \"apple\", size = \"15 mm\", share = \"95 %\" }";
    refused_tray(&with(too_much), &["outside 1 % to 90 %"]);
    let perhaps = "{ food = \"apple\", size = \"15 mm\", share = \"30 %\", apart = \"perhaps\" }";
    refused_tray(&with(perhaps), &["`apart` must be true or false", "this is text", "load.toml:7"]);
    let slices = "food = \"apple\"\nshape = \"slices\"\nthickness = \"6 mm\"\nwidth = \"40 mm\"\n";
    let sausage = "embedded = { food = \"apple\", size = \"15 mm\", share = \"30 %\" }\n";
    refused_tray(&format!("{slices}{sausage}"), &["`embedded`", "it goes with `layer`"]);
}

#[test]
fn cuts_that_cannot_be() {
    let layer = |keys: &str| format!("food = \"apple\"\nshape = \"layer\"\ndepth = \"12 mm\"\n{keys}\n");
    refused_tray(&layer("cut = \"1 mm\""), &["`cut`", "outside 5 mm to 500 mm", "load.toml:7"]);
    refused_tray(&layer("cut_width = \"1 mm\""), &["`cut_width`", "uncut layer", "load.toml:7"]);
    let wide = layer("cut = \"20 mm\"\ncut_width = \"6 mm\"");
    refused_tray(&wide, &["`cut_width`", "more than a tenth of the 20 mm", "load.toml:8", "bricks"]);
    let cubes = "food = \"apple\"\nshape = \"cubes\"\nsize = \"12 mm\"\ncut = \"20 mm\"\n";
    refused_tray(cubes, &["`cut`", "does not go with shape `cubes`", "load.toml:7"]);
}

#[test]
fn uneven_contact() {
    let with =
        |value: &str| format!("food = \"apple\"\nshape = \"layer\"\ndepth = \"12 mm\"\nuneven_contact = {value}\n");
    refused_tray(&with("\"120 %\""), &["`uneven_contact`", "outside 0 % to 95 %", "load.toml:7"]);
    refused_tray(&with("true"), &["`uneven_contact`", "true or false", "load.toml:7"]);
}

/// A built-in dryer with lines replaced, each told by its key: planned, it must be refused with all of `parts`.
fn refused_dryer(changes: &[(&str, &str)], parts: &[&str]) {
    let folder = tempfile::tempdir().unwrap();
    let printed =
        Command::new(env!("CARGO_BIN_EXE_icefront")).args(["dryers", "0.60 m2"]).current_dir(&folder).output().unwrap();
    let mut lines: Vec<String> = String::from_utf8(printed.stdout).unwrap().lines().map(str::to_string).collect();
    for (key, value) in changes {
        let line = lines.iter_mut().find(|line| line.starts_with(&format!("{key} ="))).unwrap();
        *line = format!("{key} = {value}");
    }
    std::fs::write(folder.path().join("mine.toml"), lines.join("\n")).unwrap();
    std::fs::write(folder.path().join("load.toml"), format!("icefront = 1\ndryer = \"mine.toml\"\n{GOOD_TRAY}"))
        .unwrap();
    told(&plan(folder.path(), "load.toml"), parts);
}

#[test]
fn pumps_and_compressors_that_no_machine_has() {
    // such a leak would keep the chamber at atmospheric pressure: evacuation of -7 h
    refused_dryer(
        &[("speed_m3_per_s", "0.0001"), ("leak_pa_m3_per_s", "1")],
        &["mine.toml", "too weak for this leak", "10002 Pa", "600 Pa"],
    );
    refused_dryer(&[("speed_m3_per_s", "0.00001")], &["mine.toml", "speed_m3_per_s", "0.0001 to 1 m3/s"]);
    refused_dryer(
        &[("volume_m3", "20"), ("speed_m3_per_s", "0.001"), ("leak_pa_m3_per_s", "0")],
        &["mine.toml", "too slow for this chamber", "154 h", "96 h"],
    );
    // without clearance a compressor would cool to any temperature
    refused_dryer(&[("clearance", "0.008")], &["mine.toml", "clearance", "0.01 to 0.3"]);
    refused_dryer(
        &[("loss", "\"900 W\"")],
        &["mine.toml", "the compressor loses all its power", "less than `power_limit`"],
    );
    refused_dryer(
        &[("area", "\"0.02 m2\"")],
        &["mine.toml", "too small for these shelves", "0.02 m2 for 0.6 m2 of shelves", "a 20th of `shelf_area`"],
    );
    // nothing radiates less than polished silver
    refused_dryer(&[("emissivity_below", "0")], &["mine.toml", "emissivity_below", "0.02 to 1"]);
    refused_dryer(
        &[("hot_side_conductance_w_per_k", "1")],
        &["cannot give its heat to the room", "raise `hot_side_conductance_w_per_k`", "`power_limit`"],
    );
}

#[test]
fn cooking_takes_water_and_no_more() {
    let recipe = "[recipe.stew]\napple = \"500 g\"\nwater = \"500 g\"\n";
    refused_top(&format!("{recipe}cooked_weight = \"2 kg\"\n"), &["this much cannot boil off", "1000 g go in"]);
    refused_top(&format!("{recipe}cooked_weight = \"20 g\"\n"), &["this much cannot boil off"]);
    let both = format!("{recipe}cooked_weight = \"800 g\"\nsimmered_down = \"a third\"\n");
    refused_top(&both, &["`simmered_down` does not go with `cooked_weight`"]);
}

#[test]
fn food_that_may_be_raw_or_cooked_must_say_so() {
    let tray = "food = \"goose\"\nshape = \"layer\"\ndepth = \"12 mm\"\n";
    refused_tray(tray, &["food `goose` may be raw or cooked", "`raw goose` or `cooked goose`", "load.toml:4"]);
}
