//! During the run and after it: readings, the history, and what it teaches.

use super::client::{self, FEW, Page, SMALL};

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
    let said = page.icefront(&["--plain", "update", "load.toml", "--readings", "load.readings.csv", "--draws", "64"]);
    let body = client::plain(&told.body);
    let sentences: Vec<&str> = said.lines().filter(|line| line.ends_with('.') && !line.contains(": ")).collect();
    assert!(!sentences.is_empty(), "{said}");
    for sentence in sentences {
        assert!(body.contains(sentence), "`{sentence}` is not in\n{body}");
    }
    assert!(told.body.contains("icefront update load.toml --readings load.readings.csv"));
    let wrong = enter("23:00", "energy_kWh", "2 apples");
    let said = page.icefront(&["update", "load.toml", "--readings", "load.readings.csv", "--draws", "64"]);
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
