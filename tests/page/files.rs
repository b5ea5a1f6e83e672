//! Files of the folder: saved whole, over nothing unasked, with their own line ends; nothing outside is read or written.

use super::client::{FEW, Page, SMALL};

#[test]
fn a_sheet_is_saved_opened_and_never_overwritten_unasked() {
    let page = Page::start(&FEW);
    let saved = page.post("/plan", &[("sheet", SMALL), ("file", "my stew.toml"), ("version", ""), ("do", "save")]);
    assert_eq!((saved.status, saved.header("location")), (303, Some("/sheet/my%20stew.toml")));
    assert_eq!(page.read("my stew.toml"), SMALL);
    let opened = page.get("/sheet/my%20stew.toml");
    assert_eq!(opened.sheet(), SMALL);
    assert!(opened.body.contains("id=\"saved\">saved<"));

    // a name that is taken
    let again =
        page.post("/plan", &[("sheet", "icefront = 1\n"), ("file", "my stew.toml"), ("version", ""), ("do", "save")]);
    assert!(again.status == 409 && again.body.contains("already exists"), "{}", again.status);
    assert_eq!(page.read("my stew.toml"), SMALL);

    // two browsers: the second save finds the first one's
    let (first, second) = (SMALL.replace("8 mm", "9 mm"), SMALL.replace("8 mm", "7 mm"));
    let version = opened.version();
    let save = |sheet: &str| {
        let of_file = [("file", "my stew.toml"), ("opened", "my stew.toml"), ("version", &version)];
        page.post("/plan", &[&of_file[..], &[("sheet", sheet), ("do", "save")]].concat())
    };
    assert_eq!(save(&first).status, 303);
    let late = save(&second);
    assert!(late.status == 409 && late.body.contains("was changed after it was opened"), "{}", late.body);
    assert_eq!(page.read("my stew.toml"), first, "the first one's is there");
    assert_eq!(late.sheet(), second, "the second one's is still in the form");

    // having seen it, the second may replace it: once, and only that version
    let theirs = late.body.split("name=\"theirs\" value=\"").nth(1).unwrap().split('"').next().unwrap().to_string();
    let replace = |theirs: &str| {
        page.post(
            "/plan",
            &[
                ("sheet", &second),
                ("file", "my stew.toml"),
                ("version", &version),
                ("theirs", theirs),
                ("do", "replace"),
            ],
        )
    };
    assert_eq!(replace(&theirs).status, 303);
    assert_eq!(page.read("my stew.toml"), second);
    assert_eq!(replace(&theirs).status, 409, "by then it is another version");
    let live = page.post("/live", &[("sheet", SMALL), ("file", "my stew.toml"), ("do", "save")]);
    assert!(live.status == 409 && live.body.contains("already exists"), "the script meets the same: {}", live.body);
    let left: Vec<_> = std::fs::read_dir(page.folder.path()).unwrap().map(|e| e.unwrap().file_name()).collect();
    assert_eq!(left, ["my stew.toml"], "no temporary file is left");
}

#[test]
fn an_opened_sheet_is_saved_under_another_name() {
    let page = Page::start(&FEW);
    page.write("load.toml", SMALL);
    page.write("taken.toml", "icefront = 1\n");
    let version = page.get("/sheet/load.toml").version();
    let save = |name: &str| {
        let of_file = [("sheet", SMALL), ("opened", "load.toml"), ("version", &version), ("room", "21 C")];
        page.post("/plan", &[&of_file[..], &[("file", name), ("do", "save")]].concat())
    };
    let saved = save("copy.toml");
    assert_eq!((saved.status, saved.header("location")), (303, Some("/sheet/copy.toml")), "{}", saved.body);
    assert_eq!((page.read("copy.toml"), page.read("load.toml")), (SMALL.replace("20 C", "21 C"), SMALL.to_string()));
    let taken = save("taken.toml");
    assert!(taken.status == 409 && taken.body.contains("already exists"), "{}", taken.body);
    assert_eq!(page.read("taken.toml"), "icefront = 1\n");
    let named = page.post(
        "/live",
        &[("sheet", SMALL), ("opened", "load.toml"), ("version", &version), ("file", "b.toml"), ("view", "more")],
    );
    assert!(named.body.contains("Not saved yet under this name."), "{}", named.body);
}

#[test]
fn nothing_outside_the_folder_is_read_or_written() {
    let outer = tempfile::tempdir().unwrap();
    std::fs::write(outer.path().join("secret.toml"), "icefront = 1\nsecret = \"quicksilver\"\n").unwrap();
    let folder = tempfile::tempdir_in(outer.path()).unwrap();
    let page = Page::start_in(folder, &FEW);
    #[cfg(unix)]
    std::os::unix::fs::symlink(outer.path().join("secret.toml"), page.folder.path().join("link.toml")).unwrap();
    let absolute = outer.path().join("secret.toml").display().to_string();
    for name in [
        "../secret.toml",
        "..%2Fsecret.toml",
        "%2e%2e%2fsecret.toml",
        "..%5Csecret.toml",
        "....//secret.toml",
        "link.toml",
        "x%00.toml",
        &absolute.replace('/', "%2F"),
    ] {
        let answer = page.get(&format!("/sheet/{name}"));
        assert!(matches!(answer.status, 400 | 404), "{name}: {}", answer.status);
        assert!(!answer.body.contains("quicksilver"), "{name}");
    }
    for name in ["../new.toml", "/tmp/new.toml", "a/b.toml", "x.txt", "", "..", "con\u{0}.toml", "link.toml"] {
        let answer = page.post("/plan", &[("sheet", SMALL), ("file", name), ("do", "save")]);
        assert_eq!(answer.status, 409, "{name}");
    }
    // a sheet may name a dryer file of the folder and no other
    for dryer in ["../secret.toml", &absolute, "link.toml", "./../secret.TOML"] {
        let sheet = SMALL.replace("0.36 m2", dryer);
        let answer = page.post("/plan", &[("sheet", &sheet)]);
        assert!(!answer.body.contains("quicksilver"), "{dryer}");
        assert!(answer.body.contains("cannot read"), "{dryer}: {}", answer.body);
    }
    // nor may a comparison
    for value in ["../secret.toml", &absolute, "link.toml"] {
        let fields = [("sheet", SMALL), ("do", "compare"), ("vary.key", "dryer"), ("vary.values", value)];
        let answer = page.post("/live", &fields);
        assert!(
            !answer.body.contains("quicksilver") && answer.body.contains("cannot read"),
            "{value}: {}",
            answer.body
        );
    }
    // nor is a pantry a way out
    #[cfg(unix)]
    {
        std::os::unix::fs::symlink(outer.path().join("secret.toml"), page.folder.path().join("pantry.csv")).unwrap();
        assert!(!page.post("/live", &[("do", "view.pack"), ("sheet", SMALL)]).body.contains("quicksilver"));
        assert_eq!(page.post("/live", &[("do", "put"), ("sheet", SMALL)]).status, 409);
        std::fs::remove_file(page.folder.path().join("pantry.csv")).unwrap();
    }
    page.write("mine.toml", &page.icefront(&["dryers", "0.36 m2"]));
    let own = page.post("/plan", &[("sheet", &SMALL.replace("0.36 m2", "mine.toml"))]);
    assert!(own.body.contains("id=\"ready\""), "{}", own.body);
    let inside: Vec<_> = std::fs::read_dir(outer.path()).unwrap().map(|e| e.unwrap().file_name()).collect();
    assert_eq!(inside.len(), 2, "{inside:?}");
    assert_eq!(std::fs::read_to_string(outer.path().join("secret.toml")).unwrap().lines().count(), 2);
}

#[test]
fn a_sheet_with_other_line_ends_keeps_them() {
    let page = Page::start(&FEW);
    page.write("load.toml", &SMALL.replace('\n', "\r\n"));
    let opened = page.get("/sheet/load.toml");
    assert!(opened.body.contains("id=\"saved\">saved<"), "{}", opened.body);
    let version = opened.version();
    // a browser ends the lines of a form as it likes
    for sheet in [opened.sheet(), opened.sheet().replace('\n', "\r\n")] {
        let fields = [
            ("sheet", sheet.as_str()),
            ("file", "load.toml"),
            ("opened", "load.toml"),
            ("version", &version),
            ("room", "21 C"),
            ("do", "save"),
        ];
        assert_eq!(page.post("/plan", &fields).status, if sheet.contains('\r') { 409 } else { 303 });
        assert_eq!(page.read("load.toml"), SMALL.replace("20 C", "21 C").replace('\n', "\r\n"));
    }
}

#[test]
fn a_whole_form_comes_for_a_sheet_that_the_browser_kept() {
    let page = Page::start(&FEW);
    let kept = SMALL.replace("20 C", "26 C");
    let shown = page.post("/live", &[("sheet", &kept), ("file", "a.toml"), ("version", "0"), ("do", "show")]);
    assert_eq!(shown.attribute("f.room", "value").as_deref(), Some("26"), "{}", shown.body);
    assert_eq!((shown.sheet(), shown.version()), (kept, "0".to_string()));
}
