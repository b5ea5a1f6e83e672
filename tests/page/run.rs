//! During the run and after it: readings, the history, and what it teaches.

use super::client::{self, FEW, Page, SMALL};

#[test]
fn readings_move_the_finish_as_update_says() {
    let page = Page::start(&FEW);
    page.write("load.toml", SMALL);
    let version = page.get("/sheet/load.toml").version();
    let enter = |time: &str, kind: &str, value: &str| {
        let tray = if kind == "weight_g" { value } else { "" };
        let reading =
            [("reading.time", time), ("reading.kind", kind), ("reading.value", value), ("reading.tray", tray)];
        let sheet = [("sheet", SMALL), ("file", "load.toml"), ("version", version.as_str()), ("do", "read")];
        page.post("/live", &[&sheet[..], &reading[..]].concat())
    };
    let nothing = page.post("/live", &[("sheet", SMALL), ("file", "load.toml"), ("do", "unread")]);
    assert!(nothing.body.contains("no reading to take back"), "{}", nothing.body);
    assert!(!page.folder.path().join("load.readings.csv").exists(), "no file is begun by taking back");
    let first = enter("18:00", "event:started", "");
    assert!(first.body.contains("machine switched on") && first.told().contains("The start of the run is kept"));
    assert!(!first.told().contains("class=\"wrong\""), "{}", first.told());
    let told = enter("22:00", "energy_kWh", "2.5");
    let said = page.icefront(&["--plain", "update", "load.toml", "--readings", "load.readings.csv", "--draws", "64"]);
    let body = client::plain(&told.body);
    let sentences: Vec<&str> = said.lines().filter(|line| line.ends_with('.') && !line.contains(": ")).collect();
    assert!(!sentences.is_empty(), "{said}");
    for sentence in sentences {
        assert!(body.contains(sentence), "`{sentence}` is not in\n{body}");
    }
    assert!(told.body.contains("icefront update load.toml --readings load.readings.csv"));
    let kept = page.read("load.readings.csv");
    for (time, kind, value, words) in [
        ("23:00", "energy_kWh", "2 apples", "`2 apples` is not a number"),
        ("23:00", "energy_kWh", "1,205", "`1,205` is not a number"),
        ("23:00", "energy_kWh", "=1+1", "`=1+1` is not a number"),
        ("25:99", "energy_kWh", "3", "the time cannot be read"),
        ("23:00", "weight_g", "77", "there is no tray `77`"),
        ("23:\n00", "energy_kWh", "3", "more than one line"),
    ] {
        let refused = enter(time, kind, value);
        assert!(client::plain(&refused.body).contains(words), "{time} {kind} {value}: {}", refused.body);
        assert_eq!(page.read("load.readings.csv"), kept, "{time} {kind} {value} is not written");
    }
    let broken = SMALL.replace("8 mm", "8 bananas");
    let fields = [("sheet", broken.as_str()), ("file", "load.toml"), ("do", "read"), ("reading.time", "23:00")];
    assert!(page.post("/live", &fields).body.contains("correct the sheet first"));
    enter("22:30", "energy_kWh", "2.7");
    let back = page.post("/live", &[("sheet", SMALL), ("file", "load.toml"), ("do", "unread")]);
    assert_eq!(back.status, 200);
    assert_eq!(page.read("load.readings.csv"), kept);
    let unsaved = page.post("/live", &[("sheet", SMALL), ("do", "read"), ("reading.time", "1:00")]);
    assert!(unsaved.body.contains("save the sheet first"), "{}", unsaved.body);
    let fields = [("sheet", SMALL), ("file", "other.toml"), ("do", "read"), ("reading.time", "18:00")];
    let elsewhere = page.post("/live", &[&fields[..], &[("reading.kind", "event:started")]].concat());
    assert!(elsewhere.body.contains("save the sheet first"), "{}", elsewhere.body);
    assert!(!page.folder.path().join("other.readings.csv").exists(), "no readings of a sheet that is not there");
    // two browsers enter at once: both readings are there
    std::thread::scope(|scope| {
        for kind in ["pressure_Pa", "energy_kWh", "rise_Pa_per_min", "event:finished"] {
            let enter = &enter;
            // of the same minute, so that their order does not matter, and each another quantity
            scope.spawn(move || enter("23:00", kind, "50"));
        }
    });
    assert_eq!(page.read("load.readings.csv").lines().count(), 7);
}

#[test]
fn a_finished_batch_goes_into_the_history_once_and_teaches() {
    let (page, command) = (Page::start(&FEW), Page::start(&FEW));
    let readings = "time_h,event,energy_kWh\n0,started,\n6,,2.5\n9,finished,4\n";
    for one in [&page, &command] {
        one.write("load.toml", SMALL);
        one.write("load.readings.csv", readings);
    }
    let ask = |act: &str, more: &[(&str, &str)]| {
        page.post("/live", &[&[("sheet", SMALL), ("file", "load.toml"), ("do", act)], more].concat())
    };
    assert!(ask("learn", &[]).body.contains("cannot read `history.csv`"), "nothing to learn from yet");
    let log = ["--plain", "log", "load.toml", "--readings", "load.readings.csv"];
    let logged = ask("log", &[]).told();
    let said = command.icefront(&log);
    assert!(logged.contains(said.trim()), "{said}\nis not in\n{logged}");
    assert!(logged.contains("icefront log load.toml --readings load.readings.csv"), "{logged}");
    assert_eq!(page.read("history.csv"), command.read("history.csv"), "the same bytes");
    let refused = client::plain(&ask("log", &[]).body);
    assert!(refused.contains(command.icefront(&log).trim().trim_start_matches("error: ")), "{refused}");
    assert_eq!(page.read("history.csv"), command.read("history.csv"), "nothing was added");

    let learn = ["--plain", "learn", "history.csv", "--dryer", "0.36 m2"];
    let learned = ask("learn", &[]);
    let (told, said) = (learned.told(), command.icefront(&learn));
    for line in [said.lines().next(), said.trim().lines().last()].map(Option::unwrap) {
        assert!(told.contains(line), "{line}\nis not in\n{told}");
    }
    assert_eq!(page.read("0.36-m2-learned.toml"), command.read("0.36-m2-learned.toml"), "the same bytes");
    assert!(learned.body.contains("<option value=\"0.36-m2-learned.toml\">"), "it can be chosen at once");
    let chosen = page.post("/live", &[("sheet", SMALL), ("dryer", "0.36-m2-learned.toml")]);
    assert!(chosen.body.contains("id=\"ready\"") && chosen.sheet().contains("0.36-m2-learned.toml"));
    let refused = client::plain(&ask("learn", &[]).body);
    assert!(refused.contains(command.icefront(&learn).trim().trim_start_matches("error: ")), "{refused}");
    let anew = ask("learn", &[("learn.force", "true")]).told();
    assert!(anew.contains("icefront learn history.csv --dryer '0.36 m2' --force"), "{anew}");

    let unsaved = page.post("/live", &[("sheet", SMALL), ("do", "log")]);
    assert!(unsaved.body.contains("save the sheet first"), "another sheet's readings are not taken");
}

#[test]
fn a_run_is_begun_in_one_step_and_moves_the_bar() {
    let page = Page::start(&FEW);
    let begun = page.post("/live", &[("sheet", SMALL), ("start", "17:30"), ("run.day", "2026-01-15"), ("do", "begin")]);
    assert_eq!(begun.status, 200, "{}", begun.body);
    let name = begun.attribute("file-name", "value").unwrap();
    assert!(name.starts_with("batch ") && name.ends_with(".toml"), "{name}");
    assert_eq!(page.read(&name), SMALL, "it is saved");
    let readings = page.read(&name.replace(".toml", ".readings.csv"));
    assert!(readings.lines().nth(1).unwrap().starts_with("2026-01-15 17:30,started"), "{readings}");
    assert_eq!(begun.attribute("bar", "data-start").as_deref(), Some("17:30"));
    let version = begun.attribute("version", "value").unwrap();
    let of_file = [("sheet", SMALL), ("file", &name), ("opened", &name), ("version", &version)];
    let reading = [
        ("do", "read"),
        ("reading.day", "2026-01-15"),
        ("reading.time", "21:30"),
        ("reading.kind", "energy_kWh"),
        ("reading.value", "2,5"),
    ];
    let read = page.post("/live", &[&of_file[..], &reading[..]].concat());
    assert!(read.body.contains("with 1 reading"), "{}", read.body);
    let before: f64 = begun.attribute("ready", "value").unwrap().parse().unwrap();
    let after: f64 = read.attribute("ready", "value").unwrap().parse().unwrap();
    assert!((before - after).abs() > 0.01, "{before} {after}");
    let again = page.post("/live", &[("sheet", SMALL), ("do", "begin")]);
    assert!(again.attribute("file-name", "value").unwrap() != name, "another batch has another name");
}
