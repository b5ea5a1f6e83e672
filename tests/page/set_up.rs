//! Setting a load: the page holds the sheet, answers as `icefront plan` does, and tells what is wrong in its words.

use super::client::{self, FEW, Page, SMALL, demonstration};

#[test]
fn the_page_holds_sheet_answer_and_policies() {
    let page = Page::start(&FEW);
    let answer = page.get("/");
    assert_eq!(answer.status, 200);
    for part in ["id=\"load\"", "id=\"answer\"", "id=\"why\"", "<svg", "lang=\"en\"", "icefront plan"] {
        assert!(answer.body.contains(part), "{part} is missing");
    }
    assert_eq!(answer.sheet(), demonstration());
    let policy = answer.header("content-security-policy").unwrap();
    assert!(policy.contains("default-src 'none'") && !policy.contains("unsafe"), "{policy}");
    assert_eq!(answer.header("x-content-type-options"), Some("nosniff"));
    assert!(!answer.body.contains(" style=") && !answer.body.contains("<script>"), "nothing stands inline");
    for (path, kind) in [("/page.css", "text/css"), ("/page.js", "text/javascript")] {
        let asset = page.get(path);
        assert!(asset.status == 200 && asset.header("content-type").unwrap().starts_with(kind), "{path}");
        assert!(!asset.body.contains("http://") && !asset.body.contains("https://"), "{path} asks nobody else");
    }
    assert_eq!(page.get("/new").status, 200);
    assert_eq!(page.get("/nothing").status, 404);
}

#[test]
fn the_first_answer_does_not_wait_for_all_draws() {
    let page = Page::start(&["--draws", "10000"]);
    let answer = page.get("/");
    assert!(answer.body.contains("id=\"ready\"") && answer.body.contains("A first answer"));
    assert_eq!(answer.attribute("answer", "data-whole").as_deref(), Some("false"));
}

#[test]
fn numbers_are_those_of_plan_for_the_same_sheet_and_seed() {
    let page = Page::start(&["--draws", "24", "--seed", "7"]);
    page.write("load.toml", &demonstration());
    let printed = page.icefront(&["plan", "load.toml", "--json", "--draws", "24", "--seed", "7"]);
    let sheet = demonstration();
    assert_eq!(page.post("/json", &[("sheet", &sheet)]).body, printed, "the same bytes");

    let shown = page.post("/plan", &[("sheet", &sheet)]);
    let json: serde_json::Value = serde_json::from_str(&printed).unwrap();
    let servings = 18.0; // of the demonstration sheet
    for (id, path, each) in [
        ("ready", "/time_h/food_ready", 1.0),
        ("energy", "/energy_kwh/total", 1.0),
        ("cost", "/cost", 1.0),
        ("each", "/cost", servings),
    ] {
        for (suffix, key) in [("", "typical_run"), ("-low", "low"), ("-high", "high")] {
            let expected = json.pointer(&format!("{path}/{key}")).unwrap().as_f64().unwrap() / each;
            let got: f64 = shown.attribute(&format!("{id}{suffix}"), "value").unwrap().parse().unwrap();
            assert_eq!(got, expected, "{id}{suffix}");
        }
    }
    assert!(shown.body.contains("--samples 24 --seed 7"), "the command that gives the same answer is shown");
    let sentence = json.pointer("/range/sentence").unwrap().as_str().unwrap();
    assert!(shown.body.contains(sentence), "{sentence}");
    for caution in json.pointer("/cautions").unwrap().as_array().unwrap() {
        assert!(client::plain(&shown.body).contains(caution.as_str().unwrap()), "{caution}");
    }
}

#[test]
fn a_dragged_field_changes_the_sheet_and_says_how_rough_the_answer_is() {
    let page = Page::start(&[]);
    let answer =
        page.post("/live", &[("sheet", SMALL), ("room", "27.5 C"), ("tray.0.depth", "10 mm"), ("pace", "drag")]);
    assert_eq!(answer.status, 200);
    assert_eq!(answer.sheet(), SMALL.replace("20 C", "27.5 C").replace("8 mm", "10 mm"), "remarks stay");
    assert!(answer.body.contains("A first answer"), "{}", answer.body);
    assert_eq!(answer.attribute("answer", "data-whole").as_deref(), Some("false"));
    let whole = page.post("/live", &[("sheet", SMALL), ("pace", "rest")]);
    assert!(whole.body.contains("From 256 samples"));
}

#[test]
fn wrong_input_meets_the_words_of_the_command_line() {
    let page = Page::start(&FEW);
    for (field, value) in [
        ("tray.0.depth", "15"),
        ("tray.0.depth", "15 bananas"),
        ("tray.0.food", "unicorn stew"),
        ("room", "900 C"),
        ("tray.0.shape", "heap"),
    ] {
        let shown = page.post("/live", &[("sheet", SMALL), (field, value)]);
        let sheet = shown.sheet();
        page.write("load.toml", &sheet);
        let printed = page.icefront(&["plan", "load.toml"]);
        let body = client::plain(&shown.body);
        assert!(body.contains(printed.trim()), "{field} = {value}:\n{printed}\nis not in\n{body}");
        assert!(
            body.contains(&format!("data-place=\"{field}\"")),
            "{field} = {value}: the field is not marked\n{body}"
        );
    }
    let broken = page.post("/plan", &[("sheet", "icefront = \n")]);
    assert!(broken.status == 200 && broken.body.contains("this is not TOML"), "{}", broken.body);
}

#[test]
fn trays_are_added_moved_and_taken_out() {
    let page = Page::start(&FEW);
    let trays = |sheet: &str| sheet.matches("[[tray]]").count();
    let added = page.post("/live", &[("sheet", &demonstration()), ("do", "add")]);
    assert_eq!(trays(&added.sheet()), 7);
    assert!(added.body.contains("id=\"load\""), "a new form comes along");
    let fewer = page.post("/live", &[("sheet", &added.sheet()), ("do", "remove.0")]);
    assert_eq!(trays(&fewer.sheet()), 6);
    let moved = page.post("/live", &[("sheet", &demonstration()), ("do", "up.0")]).sheet();
    assert!(moved.find("diced turkey").unwrap() < moved.find("\"bean stew\"").unwrap(), "{moved}");
    page.write("load.toml", &moved);
    let planned: serde_json::Value =
        serde_json::from_str(&page.icefront(&["plan", "load.toml", "--draws", "0", "--json"])).unwrap();
    assert_eq!(planned.pointer("/trays/0/food").unwrap(), "diced turkey");
    assert_eq!(planned.pointer("/trays/1/food").unwrap(), "bean stew");
    for act in ["explode", "up.40", "up.18446744073709551615"] {
        assert_eq!(page.post("/live", &[("sheet", SMALL), ("do", act)]).status, 400, "{act}");
    }
    let method =
        |sheet: &str, method: &str| page.post("/live", &[("sheet", sheet), ("tray.0.before_loading.method", method)]);
    let outdoors = method(&method(SMALL, "freezer").sheet(), "outdoors");
    assert!(outdoors.body.contains("id=\"ready\""), "freezer to outdoors can be planned: {}", outdoors.sheet());
}

#[test]
fn keys_without_a_field_are_named_and_kept_and_pieces_have_fields() {
    let page = Page::start(&FEW);
    let own = "area = \"0.1 m2\"\nembedded = { food = \"diced turkey\", size = \"12 mm\", share = \"20 %\" } # mine\n";
    let sheet = format!("{SMALL}{own}");
    let shown = page.post("/plan", &[("sheet", &sheet)]);
    assert!(shown.body.contains("and kept: area."), "{}", shown.body);
    let field = |answer: &client::Answer, key: &str| answer.attribute(&format!("f.tray.0.embedded.{key}"), "value");
    assert_eq!(field(&shown, "share").as_deref(), Some("20 %"));
    let changed = page.post("/live", &[("sheet", &sheet), ("tray.0.embedded.share", "25 %"), ("room", "22 C")]);
    assert_eq!(changed.sheet(), sheet.replace("20 %", "25 %").replace("20 C", "22 C"));
    // without a food there are no pieces; a food brings sizes that can be planned
    let without = page.post("/live", &[("sheet", &sheet), ("tray.0.embedded.food", "")]).sheet();
    assert!(!without.contains("embedded") && without.contains("area"), "{without}");
    let again = page.post("/live", &[("sheet", SMALL), ("tray.0.embedded.food", "diced turkey")]);
    assert!(again.body.contains("id=\"ready\"") && field(&again, "size").is_some(), "{}", again.body);
    let cubes = page.post("/live", &[("sheet", &sheet), ("tray.0.shape", "cubes")]);
    assert!(!cubes.sheet().contains("embedded") && cubes.body.contains("id=\"ready\""), "{}", cubes.sheet());
}

#[test]
fn the_plan_to_load_the_checklist_and_the_inside_of_each_tray_are_shown() {
    let page = Page::start(&FEW);
    let sheet = demonstration();
    let shown = client::plain(&page.post("/plan", &[("sheet", &sheet)]).body);
    page.write("load.toml", &sheet);
    let report = client::plain(&page.icefront(&["report", "load.toml", "--draws", "16", "--out", "report.html"]));
    assert!(!report.contains("error"), "{report}");
    let report = client::plain(&page.read("report.html"));
    let captions: Vec<&str> =
        report.split("<figcaption>").skip(1).map(|rest| rest.split('<').next().unwrap()).collect();
    assert!(captions.iter().filter(|caption| caption.starts_with("Inside the food")).count() == 6, "{captions:?}");
    for caption in captions {
        assert!(shown.contains(&format!("<figcaption>{caption}")), "{caption}");
    }
    let steps: Vec<&str> = report.split("class=\"checklist\"").skip(1).collect();
    assert!(!steps.is_empty());
    for item in steps.iter().flat_map(|list| list.split("</ul>").next().unwrap().split("<li>").skip(1)) {
        assert!(shown.contains(item.split("</li>").next().unwrap()), "{item}");
    }
    let (_, plan) = report.split_once("<h2>Loading plan").unwrap();
    let rows = plan.split("<tbody>").nth(1).unwrap().split("</tbody>").next().unwrap();
    assert!(shown.contains(rows), "{rows}");
}
