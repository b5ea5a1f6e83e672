//! What more can be asked: each answer is that of the command of its name.

use super::client::{self, FEW, Page, SMALL, demonstration, tells_the_same};

#[test]
fn explain_compare_best_pack_and_bill_are_those_of_the_commands() {
    let page = Page::start(&FEW);
    page.write("load.toml", &demonstration());
    let sheet = demonstration();
    for (act, fields, arguments) in [
        ("explain", vec![], vec!["explain", "load.toml", "--draws", "16"]),
        (
            "prefreeze",
            vec![("night.temperature", "-14 C"), ("night.wind", "3 m/s"), ("night.until", "06:00")],
            vec!["prefreeze", "load.toml", "--temperature", "-14 C", "--wind", "3 m/s", "--until", "06:00"],
        ),
        ("best", vec![], vec!["best", "load.toml"]),
        (
            "compare",
            vec![("vary.key", "room"), ("vary.values", "15 C, 25 C")],
            vec!["compare", "load.toml", "--vary", "room=15 C, 25 C"],
        ),
        ("pack", vec![], vec!["pack", "load.toml", "--draws", "16"]),
        ("bill", vec![("start", "20:00")], vec!["bill", "load.toml", "--draws", "16", "--start", "20:00"]),
    ] {
        let sent = [vec![("sheet", sheet.as_str()), ("file", "load.toml"), ("do", act)], fields].concat();
        let shown = page.post("/live", &sent);
        let told = shown.told();
        let plain = page.icefront(&[vec!["--plain"], arguments].concat());
        tells_the_same(&told, &plain);
        assert!(told.contains("icefront"), "{act}: the command is shown");
    }
    let labels = page.post("/live", &[("sheet", &sheet), ("do", "labels")]);
    assert!(labels.body.contains("class=\"labels\"") && labels.body.contains("210mm"), "labels are in real size");
    let wrong = page
        .post("/live", &[("sheet", &sheet), ("do", "compare"), ("vary.key", "dpeth"), ("vary.values", "1 mm, 2 mm")]);
    let said = page.icefront(&["compare", "load.toml", "--vary", "dpeth=1 mm, 2 mm"]);
    assert!(client::plain(&wrong.body).contains(said.trim().trim_start_matches("error: ")), "{said}");
}

#[test]
fn packs_go_into_the_pantry_and_out_again() {
    let page = Page::start(&FEW);
    let ask = |act: &str, more: &[(&str, &str)]| {
        page.post("/live", &[&[("sheet", SMALL), ("view", "pack"), ("do", act)], more].concat())
    };
    assert!(ask("view.pack", &[]).body.contains("The pantry is empty."), "it is not begun by looking");
    assert_eq!(ask("take.1", &[]).status, 409);
    assert!(!page.folder.path().join("pantry.csv").exists(), "nor by taking out");
    let put = ask("put", &[]);
    assert!(put.status == 200 && put.body.contains("cooked rice"), "{}", put.body);
    let listed = page.icefront(&["store", "list"]);
    assert!(listed.contains("cooked rice"), "{listed}");
    let file = page.read("pantry.csv");
    let taken = ask("take.1", &[]);
    assert_eq!((taken.status, page.read("pantry.csv").lines().count()), (200, 3), "{}", taken.body);
    let hidden = |name: &str| {
        let input = taken.body.split(&format!("name=\"{name}\" value=\"")).nth(1).unwrap();
        input.split('"').next().unwrap().to_string()
    };
    let (before, version) = (hidden("pantry.before"), hidden("pantry.version"));
    let last = [("pantry.before", before.as_str()), ("pantry.version", version.as_str())];
    assert_eq!(ask("take.77", &last).status, 409);
    assert_eq!(ask("untake", &[last[0], ("pantry.version", "0")]).status, 409, "another version stays");
    assert_eq!(ask("untake", &last).status, 200);
    assert_eq!(page.read("pantry.csv"), file, "as it was");
    assert_eq!(ask("untake", &last).status, 409, "once");
}

#[test]
fn a_night_is_told_by_a_weather_file_of_the_folder_and_no_other() {
    let page = Page::start(&FEW);
    let nights = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("../../data/weather");
    let night = std::fs::read_to_string(nights.join("night_cold_clear.csv")).unwrap();
    page.write("tonight.csv", &night);
    page.write("load.toml", SMALL);
    page.write("other.csv", "name,pineapple\n");
    let view = [("sheet", SMALL), ("file", "load.toml"), ("do", "view.freeze")];
    let shown = page.post("/live", &view).body;
    assert!(shown.contains("<option value=\"tonight.csv\">") && !shown.contains("<option value=\"other.csv\">"));
    let asked = [("sheet", SMALL), ("file", "load.toml"), ("do", "prefreeze"), ("night.covered", "true")];
    let with = |more: &[(&str, &str)]| page.post("/live", &[&asked[..], more].concat());
    // what belongs to a night told in numbers is not taken for one of a file
    let told = with(&[("night.weather", "tonight.csv"), ("night.wind", "9 m/s")]).told();
    let said = page.icefront(&["--plain", "prefreeze", "load.toml", "--weather", "tonight.csv", "--covered"]);
    tells_the_same(&told, &said);
    assert!(told.contains("<svg") && told.contains("icefront prefreeze load.toml --weather tonight.csv --covered"));
    for name in ["other.csv", "../tonight.csv", "/etc/hostname", "load.toml"] {
        let refused = with(&[("night.weather", name)]).body;
        assert!(refused.contains("it is no weather file of this folder") && !refused.contains("pineapple"), "{name}");
    }
    for (field, value, allowed) in [
        ("night.temperature", "", "-70 °C to 25 °C"),
        ("night.temperature", "60 C", "-70 °C to 25 °C"),
        ("night.set-out", "25:00", "00:00 to 23:59"),
        ("night.core", "4 C", "-40 °C to -2 °C"),
    ] {
        let temperature = ("night.temperature", "-10 C");
        let refused = with(&[temperature, (field, value)]).body;
        assert!(refused.contains("cannot be used") && refused.contains(allowed), "{field} = {value}: {refused}");
    }
    page.write("tonight.csv", &night.replace("air_temp_C", "air_temp_F"));
    let wrong = client::plain(&with(&[("night.weather", "tonight.csv")]).body);
    let said = page.icefront(&["prefreeze", "load.toml", "--weather", "tonight.csv", "--covered"]);
    if said.starts_with("error") {
        assert!(wrong.contains(said.lines().next().unwrap()), "{said}");
    } else {
        tells_the_same(
            &wrong,
            &page.icefront(&["--plain", "prefreeze", "load.toml", "--weather", "tonight.csv", "--covered"]),
        );
    }
}
