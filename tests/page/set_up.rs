//! Setting a load: the page holds the sheet, answers as `icefront plan` does, and tells what is wrong in its words.

use super::client::{self, FEW, Page, SMALL, demonstration};

#[test]
fn the_page_holds_sheet_answer_and_policies() {
    let page = Page::start(&FEW);
    let answer = page.get("/");
    assert_eq!(answer.status, 200);
    for part in ["id=\"bar\"", "id=\"load\"", "id=\"answer\"", "<svg", "lang=\"en\"", "Watch out for"] {
        assert!(answer.body.contains(part), "{part} is missing");
    }
    assert_eq!(answer.sheet(), demonstration());
    let policy = answer.header("content-security-policy").unwrap();
    assert!(policy.contains("default-src 'none'") && !policy.contains("unsafe"), "{policy}");
    assert_eq!(answer.header("x-content-type-options"), Some("nosniff"));
    assert!(!answer.body.contains(" style=") && !answer.body.contains("<script>"), "nothing stands inline");
    let words = words(&answer.body);
    assert!(answer.body.len() <= 120_000 && words <= 900, "{} bytes, {words} words", answer.body.len());
    for (path, kind) in
        [("/page.css", "text/css"), ("/page.js", "text/javascript"), ("/page.webmanifest", "application/manifest+json")]
    {
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
    assert!(answer.body.contains("id=\"ready\""));
    assert_eq!(answer.attribute("bar", "data-whole").as_deref(), Some("false"));
}

/// Words that are read on a page.
fn words(html: &str) -> usize {
    let mut text = String::new();
    let mut inside = false;
    for c in html.split("<body>").nth(1).unwrap().chars() {
        match c {
            '<' => (inside, text) = (true, text + " "),
            '>' => inside = false,
            c if !inside => text.push(c),
            _ => {}
        }
    }
    text.split_whitespace().count()
}

#[test]
fn the_first_answer_is_the_whole_one_and_small_at_rest() {
    let page = Page::start(&FEW);
    let first = page.get("/");
    assert_eq!(first.attribute("bar", "data-whole").as_deref(), Some("true"));
    let rest = page.post("/live", &[("sheet", &demonstration()), ("pace", "rest")]);
    assert_eq!(rest.attribute("ready", "value"), first.attribute("ready", "value"), "nothing jumps");
    assert!(rest.body.len() <= 60_000, "{} bytes", rest.body.len());
    assert!(!rest.body.contains("<figure"), "charts are drawn when they are opened");
    let chart = page.post("/live", &[("sheet", &demonstration()), ("do", "unfold.power")]);
    assert!(chart.body.contains("id=\"c.power\"") && chart.body.contains("<figure"), "{}", chart.body);
}

#[test]
fn a_few_of_the_same_samples_keep_the_numbers_steady_while_something_is_dragged() {
    let page = Page::start(&[]);
    let sheet = demonstration();
    let rest = page.post("/live", &[("sheet", &sheet), ("pace", "rest")]);
    let anchor = rest.attribute("anchor", "value").unwrap();
    let number = |answer: &client::Answer, id: &str| answer.attribute(id, "value").unwrap().parse::<f64>().unwrap();
    let mut off = Vec::new();
    for (place, value) in [
        ("room", "24 C"),
        ("room", "17 C"),
        ("tray.0.depth", "11 mm"),
        ("tray.0.depth", "16 mm"),
        ("tray.3.depth", "20 mm"),
    ] {
        let fields = [("sheet", sheet.as_str()), (place, value), ("anchor", &anchor)];
        let dragged = page.post("/live", &[&fields[..], &[("pace", "drag")]].concat());
        assert_eq!(dragged.attribute("bar", "data-whole").as_deref(), Some("false"));
        let rested = page.post("/live", &[&fields[..], &[("pace", "rest")]].concat());
        for (id, most) in [("ready", 0.05), ("ready-low", 0.07), ("ready-high", 0.07)] {
            let (fast, slow) = (number(&dragged, id), number(&rested, id));
            assert!((fast / slow - 1.0).abs() < most, "{place} = {value}, {id}: {fast} and then {slow}");
            off.push((fast / slow - 1.0).abs());
        }
    }
    assert!(off.iter().any(|off| *off > 0.0), "few samples are not all of them");
}

#[test]
fn numbers_are_those_of_plan_for_the_same_sheet_and_seed() {
    let page = Page::start(&["--draws", "24", "--seed", "7"]);
    page.write("load.toml", &demonstration());
    let printed = page.icefront(&["plan", "load.toml", "--json", "--draws", "24", "--seed", "7"]);
    let sheet = demonstration();
    assert_eq!(page.post("/json", &[("sheet", &sheet)]).body, printed, "the same bytes");

    let shown = page.post("/plan", &[("sheet", &sheet), ("unfolded", "stages,chances")]);
    let json: serde_json::Value = serde_json::from_str(&printed).unwrap();
    let servings = 18.0; // of the demonstration sheet
    for (id, path, each) in [
        ("ready", "/time_h/food_ready", 1.0),
        ("energy", "/energy_kwh/total", 1.0),
        ("cost", "/cost", 1.0),
        ("each", "/cost", servings),
    ] {
        let attribute = |id: &str, name: &str| shown.attribute(id, name).map(|value| value.parse::<f64>().unwrap());
        let ends = [
            ("typical_run", attribute(id, "value")),
            ("low", attribute(id, "data-low").or_else(|| attribute(&format!("{id}-low"), "value"))),
            ("high", attribute(id, "data-high").or_else(|| attribute(&format!("{id}-high"), "value"))),
        ];
        for (key, got) in ends.into_iter().filter(|(key, _)| id != "each" || *key == "typical_run") {
            let expected = json.pointer(&format!("{path}/{key}")).unwrap().as_f64().unwrap() / each;
            assert!((got.unwrap() / expected - 1.0).abs() < 1e-6, "{id}, {key}: {got:?} and {expected}");
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
    assert_eq!(answer.attribute("bar", "data-whole").as_deref(), Some("false"));
    let whole = page.post("/live", &[("sheet", SMALL), ("pace", "rest"), ("unfolded", "stages")]);
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
    let shown = page.post("/plan", &[("sheet", &sheet), ("open", "0")]);
    assert!(shown.body.contains("and kept: area."), "{}", shown.body);
    let field = |answer: &client::Answer, key: &str| answer.attribute(&format!("f.tray.0.embedded.{key}"), "value");
    assert_eq!(field(&shown, "share").as_deref(), Some("20"));
    let changed = page.post("/live", &[("sheet", &sheet), ("tray.0.embedded.share", "25 %"), ("room", "22 C")]);
    assert_eq!(changed.sheet(), sheet.replace("20 %", "25 %").replace("20 C", "22 C"));
    // without a food there are no pieces; a food brings sizes that can be planned
    let without = page.post("/live", &[("sheet", &sheet), ("tray.0.embedded.food", "")]).sheet();
    assert!(!without.contains("embedded") && without.contains("area"), "{without}");
    let again = page.post("/live", &[("sheet", SMALL), ("open", "0"), ("tray.0.embedded.food", "diced turkey")]);
    assert!(again.body.contains("id=\"ready\"") && field(&again, "size").is_some(), "{}", again.body);
    let cubes = page.post("/live", &[("sheet", &sheet), ("tray.0.shape", "cubes")]);
    assert!(!cubes.sheet().contains("embedded") && cubes.body.contains("id=\"ready\""), "{}", cubes.sheet());
}

#[test]
fn the_plan_to_load_the_checklist_and_the_inside_of_each_tray_are_shown() {
    let page = Page::start(&FEW);
    let sheet = demonstration();
    let unfolded = "trays,steps,tray-1,tray-2,tray-3,tray-4,tray-5,tray-6";
    let shown = client::plain(&page.post("/plan", &[("sheet", &sheet), ("unfolded", unfolded)]).body);
    page.write("load.toml", &sheet);
    let report = client::plain(&page.icefront(&["report", "load.toml", "--draws", "16", "--out", "report.html"]));
    assert!(!report.contains("error"), "{report}");
    let report = client::plain(&page.read("report.html"));
    let captions: Vec<&str> =
        report.split("<figcaption>").skip(1).map(|rest| rest.split('<').next().unwrap()).collect();
    assert!(captions.iter().filter(|caption| caption.starts_with("Inside the food")).count() == 6, "{captions:?}");
    for caption in captions.into_iter().filter(|caption| caption.starts_with("Inside the food")) {
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
