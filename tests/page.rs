//! The kitchen page over HTTP: routes, answers equal to `icefront plan`, the same messages, who is let in, what is
//! written, and what happens to requests that no browser would send. Expected numbers are those of `icefront plan` on the
//! same sheet; statuses are those of RFC 9110.

#[path = "page/client.rs"]
mod client;

use std::io::{Read, Write};
use std::net::TcpStream;
use std::process::Command;
use std::time::{Duration, Instant};

use client::{Page, demonstration, form};

/// Few draws: these tests ask for the same answer, not for a good one.
const FEW: [&str; 2] = ["--draws", "16"];
const SMALL: &str = "# mine\nicefront = 1\ndryer = \"0.36 m2\"\nroom = \"20 C\" # kitchen\n\n[[tray]]\nfood = \"cooked rice\"\n\
    shape = \"layer\"\ndepth = \"8 mm\"\n";

fn icefront(page: &Page, arguments: &[&str]) -> String {
    let out =
        Command::new(env!("CARGO_BIN_EXE_icefront")).args(arguments).current_dir(page.folder.path()).output().unwrap();
    String::from_utf8(if out.status.success() { out.stdout } else { out.stderr }).unwrap()
}

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
fn the_first_answer_comes_within_a_second() {
    let began = Instant::now();
    let page = Page::start(&[]);
    let answer = page.get("/");
    let took = began.elapsed();
    assert!(answer.body.contains("id=\"ready\""));
    assert!(took < Duration::from_secs(1), "{took:?}");
}

#[test]
fn numbers_are_those_of_plan_for_the_same_sheet_and_seed() {
    let page = Page::start(&["--draws", "24", "--seed", "7"]);
    page.write("load.toml", &demonstration());
    let printed = icefront(&page, &["plan", "load.toml", "--json", "--draws", "24", "--seed", "7"]);
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
        for (suffix, key) in [("", "typical"), ("-low", "low"), ("-high", "high")] {
            let expected = json.pointer(&format!("{path}/{key}")).unwrap().as_f64().unwrap() / each;
            let got: f64 = shown.attribute(&format!("{id}{suffix}"), "value").unwrap().parse().unwrap();
            assert_eq!(got, expected, "{id}{suffix}");
        }
    }
    assert!(shown.body.contains("--draws 24 --seed 7"), "the command that gives the same answer is shown");
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
    assert!(whole.body.contains("From 256 draws"));
}

#[test]
fn wrong_input_meets_the_words_of_the_command_line() {
    let page = Page::start(&FEW);
    for (field, value) in [
        ("tray.0.depth", "15"),
        ("tray.0.depth", "15 bananas"),
        ("tray.0.food", "beaf stew"),
        ("room", "900 C"),
        ("tray.0.shape", "heap"),
    ] {
        let shown = page.post("/live", &[("sheet", SMALL), (field, value)]);
        let sheet = shown.sheet();
        page.write("load.toml", &sheet);
        let printed = icefront(&page, &["plan", "load.toml"]);
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
        serde_json::from_str(&icefront(&page, &["plan", "load.toml", "--draws", "0", "--json"])).unwrap();
    assert_eq!(planned.pointer("/trays/0/food").unwrap(), "diced turkey");
    assert_eq!(planned.pointer("/trays/1/food").unwrap(), "bean stew");
    assert_eq!(page.post("/live", &[("sheet", SMALL), ("do", "explode")]).status, 400);
}

#[test]
fn a_sheet_is_saved_opened_and_never_overwritten_unasked() {
    let page = Page::start(&FEW);
    let saved = page.post("/plan", &[("sheet", SMALL), ("file", "my stew.toml"), ("version", ""), ("do", "save")]);
    assert_eq!((saved.status, saved.header("location")), (303, Some("/sheet/my%20stew.toml")));
    assert_eq!(page.read("my stew.toml"), SMALL);
    let opened = page.get("/sheet/my%20stew.toml");
    assert_eq!(opened.sheet(), SMALL);
    assert!(opened.body.contains("As it is in the file."));

    // a name that is taken
    let again =
        page.post("/plan", &[("sheet", "icefront = 1\n"), ("file", "my stew.toml"), ("version", ""), ("do", "save")]);
    assert!(again.status == 409 && again.body.contains("is there already"), "{}", again.status);
    assert_eq!(page.read("my stew.toml"), SMALL);

    // two browsers: the second save finds the first one's
    let (first, second) = (SMALL.replace("8 mm", "9 mm"), SMALL.replace("8 mm", "7 mm"));
    let version = opened.version();
    let save = |sheet: &str| {
        page.post("/plan", &[("sheet", sheet), ("file", "my stew.toml"), ("version", &version), ("do", "save")])
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
    assert_eq!(
        page.post("/live", &[("sheet", SMALL), ("file", "x.toml"), ("do", "save")]).status,
        400,
        "only /plan saves"
    );
    let left: Vec<_> = std::fs::read_dir(page.folder.path()).unwrap().map(|e| e.unwrap().file_name()).collect();
    assert_eq!(left, ["my stew.toml"], "no temporary file is left");
}

#[test]
fn explain_compare_best_pack_and_bill_are_those_of_the_commands() {
    let page = Page::start(&FEW);
    page.write("load.toml", &demonstration());
    let sheet = demonstration();
    for (act, fields, arguments) in [
        ("explain", vec![], vec!["explain", "load.toml"]),
        ("best", vec![], vec!["best", "load.toml"]),
        (
            "compare",
            vec![("vary.key", "room"), ("vary.values", "15 C, 25 C")],
            vec!["compare", "load.toml", "--vary", "room=15 C, 25 C"],
        ),
        ("pack", vec![], vec!["pack", "load.toml", "--draws", "16"]),
        ("bill", vec![("bill.start", "20:00")], vec!["bill", "load.toml", "--draws", "16", "--start", "20:00"]),
    ] {
        let sent = [vec![("sheet", sheet.as_str()), ("file", "load.toml"), ("do", act)], fields].concat();
        let shown = page.post("/live", &sent);
        let told =
            client::plain(shown.body.split("id=\"told\"").nth(1).unwrap_or_else(|| panic!("{act}: {}", shown.body)));
        let plain = icefront(&page, &[vec!["--plain"], arguments.clone()].concat());
        // sentences of the plain report, without the labels and cells that a page sets otherwise
        let sentences: Vec<&str> = plain.lines().filter(|line| line.ends_with('.') && !line.contains(": ")).collect();
        assert!(!sentences.is_empty(), "{act}: {plain}");
        for sentence in sentences {
            assert!(told.contains(sentence), "{act}: {sentence}\nis not in\n{told}");
        }
        assert!(told.contains("icefront"), "{act}: the command is shown");
    }
    let labels = page.post("/live", &[("sheet", &sheet), ("do", "labels")]);
    assert!(labels.body.contains("class=\"labels\"") && labels.body.contains("210mm"), "labels are in real size");
    let wrong = page
        .post("/live", &[("sheet", &sheet), ("do", "compare"), ("vary.key", "dpeth"), ("vary.values", "1 mm, 2 mm")]);
    let said = icefront(&page, &["compare", "load.toml", "--vary", "dpeth=1 mm, 2 mm"]);
    assert!(client::plain(&wrong.body).contains(said.trim().trim_start_matches("error: ")), "{said}");
}

#[test]
fn readings_move_the_finish_as_update_says() {
    let page = Page::start(&FEW);
    page.write("load.toml", SMALL);
    let version = page.get("/sheet/load.toml").version();
    let enter = |time: &str, kind: &str, value: &str| {
        let reading = [("reading.time", time), ("reading.kind", kind), ("reading.value", value)];
        let sheet = [("sheet", SMALL), ("file", "load.toml"), ("version", version.as_str()), ("do", "read")];
        page.post("/live", &[&sheet[..], &reading[..]].concat())
    };
    assert!(enter("18:00", "event:started", "").body.contains("id=\"readings\""));
    let told = enter("22:00", "energy_kWh", "2.5");
    let said = icefront(&page, &["--plain", "update", "load.toml", "--readings", "load.readings.csv", "--draws", "64"]);
    let body = client::plain(&told.body);
    let sentences: Vec<&str> = said.lines().filter(|line| line.ends_with('.') && !line.contains(": ")).collect();
    assert!(!sentences.is_empty(), "{said}");
    for sentence in sentences {
        assert!(body.contains(sentence), "`{sentence}` is not in\n{body}");
    }
    assert!(told.body.contains("icefront update load.toml --readings load.readings.csv"));
    let wrong = enter("23:00", "energy_kWh", "2 apples");
    let said = icefront(&page, &["update", "load.toml", "--readings", "load.readings.csv", "--draws", "64"]);
    assert!(client::plain(&wrong.body).contains(said.trim().lines().next().unwrap()), "{said}");
    let back = page.post("/live", &[("sheet", SMALL), ("file", "load.toml"), ("do", "unread")]);
    assert_eq!(back.status, 200);
    assert_eq!(page.read("load.readings.csv").lines().count(), 3);
    let unsaved = page.post("/live", &[("sheet", SMALL), ("do", "read"), ("reading.time", "1:00")]);
    assert!(unsaved.body.contains("save the sheet first"), "{}", unsaved.body);
    // two browsers enter at once: both readings are there
    std::thread::scope(|scope| {
        for minute in 10..18 {
            let enter = &enter;
            scope.spawn(move || enter(&format!("23:{minute}"), "pressure_Pa", "50"));
        }
    });
    assert_eq!(page.read("load.readings.csv").lines().count(), 11);
}

#[test]
fn packs_go_into_the_pantry_and_out_again() {
    let page = Page::start(&FEW);
    assert!(page.get("/pantry").body.contains("no such file"), "it is not begun by looking");
    assert_eq!(page.post("/pantry", &[("do", "take"), ("what", "1"), ("packs", "1")]).status, 409);
    assert!(!page.folder.path().join("pantry.csv").exists(), "nor by taking out");
    let put = page.post("/pantry", &[("do", "put"), ("sheet", SMALL)]);
    assert!(put.status == 200 && put.body.contains("cooked rice"), "{}", put.body);
    let listed = icefront(&page, &["store", "list"]);
    assert!(listed.contains("cooked rice"), "{listed}");
    let taken = page.post("/pantry", &[("do", "take"), ("what", "cooked rice"), ("packs", "1")]);
    assert_eq!(taken.status, 200, "{}", taken.body);
    for (what, packs, status) in
        [("cooked rice", "100000", 409), ("rise", "1", 409), ("1", "none", 400), ("1", "0", 400)]
    {
        assert_eq!(
            page.post("/pantry", &[("do", "take"), ("what", what), ("packs", packs)]).status,
            status,
            "{what}, {packs}"
        );
    }
    assert_eq!(page.read("pantry.csv").lines().count(), 3, "a header and two lines");
}

#[test]
fn nothing_outside_the_folder_is_read_or_written() {
    let outer = tempfile::tempdir().unwrap();
    std::fs::write(outer.path().join("secret.toml"), "icefront = 1\nsecret = \"pineapple\"\n").unwrap();
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
        assert!(!answer.body.contains("pineapple"), "{name}");
    }
    for name in ["../new.toml", "/tmp/new.toml", "a/b.toml", "x.txt", "", "..", "con\u{0}.toml", "link.toml"] {
        let answer = page.post("/plan", &[("sheet", SMALL), ("file", name), ("do", "save")]);
        assert_eq!(answer.status, 409, "{name}");
    }
    // a sheet may name a dryer file of the folder and no other
    for dryer in ["../secret.toml", &absolute, "link.toml", "./../secret.TOML"] {
        let sheet = SMALL.replace("0.36 m2", dryer);
        let answer = page.post("/plan", &[("sheet", &sheet)]);
        assert!(!answer.body.contains("pineapple"), "{dryer}");
        assert!(answer.body.contains("cannot read"), "{dryer}: {}", answer.body);
    }
    // nor may a comparison
    for value in ["../secret.toml", &absolute, "link.toml"] {
        let fields = [("sheet", SMALL), ("do", "compare"), ("vary.key", "dryer"), ("vary.values", value)];
        let answer = page.post("/live", &fields);
        assert!(!answer.body.contains("pineapple") && answer.body.contains("cannot read"), "{value}: {}", answer.body);
    }
    // nor is a pantry a way out
    #[cfg(unix)]
    {
        std::os::unix::fs::symlink(outer.path().join("secret.toml"), page.folder.path().join("pantry.csv")).unwrap();
        assert!(!page.get("/pantry").body.contains("pineapple"));
        assert_eq!(page.post("/pantry", &[("do", "put"), ("sheet", SMALL)]).status, 409);
        std::fs::remove_file(page.folder.path().join("pantry.csv")).unwrap();
    }
    page.write("mine.toml", &icefront(&page, &["dryers", "0.36 m2"]));
    let own = page.post("/plan", &[("sheet", &SMALL.replace("0.36 m2", "mine.toml"))]);
    assert!(own.body.contains("id=\"ready\""), "{}", own.body);
    let inside: Vec<_> = std::fs::read_dir(outer.path()).unwrap().map(|e| e.unwrap().file_name()).collect();
    assert_eq!(inside.len(), 2, "{inside:?}");
    assert_eq!(std::fs::read_to_string(outer.path().join("secret.toml")).unwrap().lines().count(), 2);
}

#[test]
fn foreign_hosts_and_origins_are_turned_away() {
    let page = Page::start(&FEW);
    let host = page.address.to_string();
    for (head, status) in [
        ("GET / HTTP/1.1\r\nHost: evil.example\r\nConnection: close\r\n\r\n".to_string(), 421),
        (format!("GET http://evil.example/ HTTP/1.1\r\nHost: {host}\r\nConnection: close\r\n\r\n"), 421),
        (format!("GET / HTTP/1.1\r\nHost: {host}\r\nHost: evil.example\r\nConnection: close\r\n\r\n"), 421),
        (format!("DELETE / HTTP/1.1\r\nHost: {host}\r\nConnection: close\r\n\r\n"), 405),
        (format!("GET / HTTP/1.1\r\nHost: localhost:{}\r\nConnection: close\r\n\r\n", page.address.port()), 200),
    ] {
        assert_eq!(page.say(&head).status, status, "{head}");
    }
    for origin in [&[][..], &[("Origin", "null")], &[("Origin", "http://evil.example")]] {
        let answer = page.post_with("/plan", &[("sheet", SMALL), ("file", "x.toml"), ("do", "save")], origin);
        assert_eq!(answer.status, 403, "{origin:?}");
        assert!(answer.header("content-security-policy").is_some(), "refusals carry the policies too");
    }
    assert!(!page.folder.path().join("x.toml").exists());
}

#[test]
fn shared_pages_open_to_whoever_has_the_token() {
    let page = Page::start(&["--share", "--address", "127.0.0.1", "--draws", "16"]);
    let path = page.link.strip_prefix(&format!("http://{}", page.address)).unwrap();
    assert_eq!(path.len(), "/?token=".len() + 32, "{path}");
    assert_eq!(page.get("/").status, 403);
    assert_eq!(page.get("/page.js").status, 403);
    assert_eq!(page.get("/?token=0123456789abcdef0123456789abcdef").status, 403);
    let welcome = page.get(path);
    assert_eq!((welcome.status, welcome.header("location")), (303, Some("/")));
    let cookie = welcome.header("set-cookie").unwrap();
    assert!(cookie.contains("HttpOnly") && cookie.contains("SameSite=Lax"), "{cookie}");
    let cookie = cookie.split(';').next().unwrap();
    let inside =
        page.say(&format!("GET / HTTP/1.1\r\nHost: {}\r\nCookie: {cookie}\r\nConnection: close\r\n\r\n", page.address));
    assert!(inside.status == 200 && inside.body.contains("The link as a QR code"));
    let origin = format!("http://{}", page.address);
    let post = |headers: &[(&str, &str)]| page.post_with("/live", &[("sheet", SMALL)], headers).status;
    assert_eq!(post(&[("Origin", &origin), ("Cookie", cookie)]), 200);
    assert_eq!(post(&[("Origin", &origin)]), 403);
    assert_ne!(
        page.link,
        Page::start(&["--share", "--address", "127.0.0.1"]).link,
        "each start has a token of its own"
    );
}

#[test]
fn sizes_and_times_are_bounded() {
    let mut page = Page::start(&FEW);
    let large = "#".repeat(70 * 1024);
    assert_eq!(page.post("/live", &[("sheet", &large)]).status, 400);
    let larger = "#".repeat(300 * 1024);
    assert_eq!(page.post("/live", &[("sheet", &larger)]).status, 413);
    let many: String =
        (0..60).map(|_| "[[tray]]\nfood = \"cooked rice\"\nshape = \"layer\"\ndepth = \"8 mm\"\n").collect();
    let many = format!("icefront = 1\ndryer = \"0.36 m2\"\n{many}");
    let refused = page.post("/live", &[("sheet", &many)]);
    assert!(refused.body.contains("up to 40 trays"), "{}", refused.body);
    let head = format!("GET /{} HTTP/1.1\r\nHost: {}\r\n\r\n", "x".repeat(40 * 1024), page.address);
    assert!(page.say_bytes(head.as_bytes()).is_none_or(|answer| answer.status == 431 || answer.status == 414));
    page.write("large.toml", &format!("icefront = 1\n{large}"));
    assert_eq!(page.get("/sheet/large.toml").status, 404);
    // half a request holds nobody else up
    let mut half = TcpStream::connect(page.address).unwrap();
    half.write_all(b"POST /plan HTTP/1.1\r\nHost: ").unwrap();
    assert_eq!(page.get("/").status, 200);
    half.set_read_timeout(Some(Duration::from_millis(200))).unwrap();
    assert!(half.read(&mut [0; 16]).is_err(), "it is still waited for, but only for so long");
    assert!(page.lives());
}

#[test]
fn a_crowd_is_answered_or_turned_away_at_once() {
    let page = Page::start(&[]);
    let sheet = demonstration();
    let fields = [("sheet", sheet.as_str()), ("pace", "rest")];
    let began = Instant::now();
    let statuses: Vec<u16> = std::thread::scope(|scope| {
        let all: Vec<_> = (0..100).map(|_| scope.spawn(|| page.post("/live", &fields).status)).collect();
        all.into_iter().map(|one| one.join().unwrap()).collect()
    });
    assert!(statuses.iter().all(|status| matches!(status, 200 | 503)), "{statuses:?}");
    assert!(statuses.contains(&200));
    assert!(began.elapsed() < Duration::from_secs(60), "{:?}", began.elapsed());
    assert_eq!(page.get("/").status, 200, "and then it is free again");
}

#[test]
fn malformed_requests_end_in_an_answer_and_touch_nothing() {
    let folder = tempfile::tempdir().unwrap();
    std::fs::write(folder.path().join("load.toml"), SMALL).unwrap();
    let mut page = Page::start_in(folder, &FEW);
    let mut random = Random(20_260_101);
    for round in 0..600 {
        let (request, whole) = random.request(&page);
        // who promises more than comes must not keep this test waiting: it hangs up
        let answer = if whole { page.say_bytes(&request) } else { page.say_and_hang_up(&request) };
        if let Some(answer) = answer {
            let shown = String::from_utf8_lossy(&request).into_owned();
            assert!(answer.status < 500 || answer.status == 503, "round {round}: {} to {shown}", answer.status);
            assert!(!answer.body.contains("root:"), "round {round}: {shown}");
        }
        assert!(page.lives(), "round {round}");
    }
    assert_eq!(page.read("load.toml"), SMALL);
    for entry in std::fs::read_dir(page.folder.path()).unwrap() {
        let name = entry.unwrap().file_name().into_string().unwrap();
        assert!(name.ends_with(".toml"), "{name}");
    }
}

/// Bytes that mean something to TOML, and some that do not.
const ODD: &[u8] = b" \n\"=[].#0aZ-\\'{";

/// Numbers that look random and are the same each time (SplitMix64, Steele et al. 2014, doi:10.1145/2660193.2660195).
struct Random(u64);

impl Random {
    fn next(&mut self, below: usize) -> usize {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        ((z ^ (z >> 31)) % below as u64) as usize
    }

    fn of<'a>(&mut self, list: &[&'a str]) -> &'a str {
        list[self.next(list.len())]
    }

    /// A request that is nearly right, with some bytes changed, dropped or doubled.
    fn request(&mut self, page: &Page) -> (Vec<u8>, bool) {
        let method = self.of(&["GET", "POST", "POST", "POST", "HEAD", "PUT", "OPTIONS", "", "G\u{0}T"]);
        let path = self.of(&[
            "/",
            "/plan",
            "/live",
            "/json",
            "/sheet/load.toml",
            "/sheet/",
            "/sheet/../../etc/passwd",
            "/sheet/%2e%2e%2fetc%2fpasswd",
            "//etc/passwd",
            "/sheet/%ff%fe.toml",
            "/?token=%00",
            "*",
            "http://[::1",
            "/page.js?x=%",
        ]);
        let sheet = self.sheet();
        let place = self.of(&[
            "tray.0.depth",
            "tray.4294967296.depth",
            "tray.-1.x",
            "room",
            "..",
            "end.moisture",
            "tray.0.fat",
            "",
        ]);
        let value = self.of(&[
            "1e999 mm",
            "-0 mm",
            "NaN C",
            "\u{202e}12 mm",
            "999999999999999999999",
            "\"\"\"",
            "",
            "0.0000001 %",
            "~",
            "1..2 mm",
        ]);
        let act =
            self.of(&["save", "replace", "add", "remove.0", "up.18446744073709551615", "down.0", "answer", "\r\n"]);
        let file = self.of(&["../x.toml", "x.toml", "/etc/passwd", "load.toml", "a\u{0}b.toml", ""]);
        let body =
            form(&[("sheet", &sheet), (place, value), ("do", act), ("file", file), ("version", "0"), ("pace", "drag")]);
        let told = self.of(&["", "", "", "0", "-1", "99999999999999999999", "x"]);
        let length = if told.is_empty() { body.len().to_string() } else { told.to_string() };
        let head = format!(
            "{method} {path} HTTP/1.1\r\nHost: {0}\r\nOrigin: http://{0}\r\nConnection: close\r\n\
             Content-Type: application/x-www-form-urlencoded\r\nContent-Length: {length}\r\n\r\n{body}",
            page.address
        );
        let mut bytes = head.into_bytes();
        let changes = self.next(4);
        for _ in 0..changes {
            let at = self.next(bytes.len());
            match self.next(4) {
                0 => bytes[at] = self.next(256) as u8,
                1 => drop(bytes.remove(at)),
                2 => bytes.insert(at, self.next(256) as u8),
                _ => bytes.truncate(at.max(1)),
            }
            if bytes.is_empty() {
                bytes.push(b'G');
            }
        }
        (bytes, changes == 0 && told.is_empty())
    }

    /// A sheet with some of its bytes changed.
    fn sheet(&mut self) -> String {
        let mut bytes = SMALL.as_bytes().to_vec();
        for _ in 0..self.next(6) {
            let at = self.next(bytes.len());
            bytes[at] = ODD[self.next(ODD.len())];
        }
        String::from_utf8_lossy(&bytes).into_owned()
    }
}
