//! The pantry: many writers at once, writers that are killed, files that a spreadsheet or a hand has changed, formulas.
//! Nothing is ever lost: a file is read rightly or refused with line and column, and what is there stays as it is.

use std::path::{Path, PathBuf};
use std::process::{Child, Command, Output, Stdio};

use serde_json::Value;

const TODAY: [&str; 2] = ["--today", "2026-11-25"];

struct Pantry(tempfile::TempDir);

impl Pantry {
    fn new() -> Self {
        Self(tempfile::tempdir().unwrap())
    }

    /// A pantry with these bytes.
    fn with(bytes: impl AsRef<[u8]>) -> Self {
        let pantry = Self::new();
        std::fs::write(pantry.path(), bytes).unwrap();
        pantry
    }

    fn path(&self) -> PathBuf {
        self.0.path().join("pantry.csv")
    }

    fn text(&self) -> String {
        std::fs::read_to_string(self.path()).unwrap()
    }

    fn command(&self, arguments: &[&str]) -> Command {
        let mut command = Command::new(env!("CARGO_BIN_EXE_icefront"));
        command.arg("store").args(arguments).args(TODAY).current_dir(self.0.path());
        command
    }

    fn run(&self, arguments: &[&str]) -> Output {
        self.command(arguments).output().unwrap()
    }

    fn done(&self, arguments: &[&str]) -> String {
        let output = self.run(arguments);
        assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
        String::from_utf8(output.stdout).unwrap()
    }

    /// Refused, with these words, and the file as it was.
    fn refuses(&self, arguments: &[&str], parts: &[&str]) {
        let before = std::fs::read(self.path()).ok();
        let output = self.run(arguments);
        let message = String::from_utf8_lossy(&output.stderr);
        assert_eq!(output.status.code(), Some(2), "{message}");
        for part in parts {
            assert!(message.contains(part), "`{part}` is missing in\n{message}");
        }
        assert_eq!(std::fs::read(self.path()).ok(), before);
    }

    fn put(&self, food: &str, packs: &str) -> String {
        self.done(&["put", "--food", food, "--packs", packs, "--dry", "85 g", "--fat", "3 %"])
    }

    fn lots(&self) -> Vec<Value> {
        let list: Value = serde_json::from_str(&self.done(&["list", "--json"])).unwrap();
        list["lots"].as_array().unwrap().clone()
    }

    fn left(&self) -> Vec<(String, u64)> {
        let left = |lot: &Value| (lot["food"].as_str().unwrap().to_string(), lot["packs_left"].as_u64().unwrap());
        self.lots().iter().map(left).collect()
    }
}

const HEADER: &str = "pantry_1,date,action,lot,food,packs,dry_g,water_ml,energy_kj,fat_percent,oxygen,shelf_c,eat_first,value,currency,allergens,note\n";
const STEW: &str = "1,2026-11-01,put,1,stew,5,52.7,242,808,8.2,removed,20,2027-05-02,0.311,EUR,celery,\n";
const RICE: &str = "2,2026-11-02,put,2,rice,3,84.4,182.7,1420,0.9,removed,20,2027-11-02,,,,\n";
const TAKEN: &str = "3,2026-11-03,take,1,,2,,,,,,,,,,,\n";

fn sample() -> String {
    format!("{HEADER}{STEW}{RICE}{TAKEN}")
}

#[test]
fn what_is_put_in_is_listed_by_what_to_eat_first_and_taken_out() {
    let pantry = Pantry::new();
    assert!(pantry.done(&["list"]).contains("The pantry is empty. `icefront store put`"));
    assert!(pantry.left().is_empty());
    pantry.refuses(&["take", "stew"], &["the pantry is empty", "store put"]);
    pantry.put("rice", "3");
    pantry.done(&["put", "--food", "mince", "--packs", "2", "--dry", "60 g", "--water", "1 cup", "--air"]);
    // untold fat counts as fatty, and air is worse: mince first
    assert_eq!(pantry.left(), [("mince".into(), 2), ("rice".into(), 3)]);
    let told = pantry.done(&["take", "Mince"]);
    assert!(told.contains("1 pack of mince from lot 2; add 240 ml to each; 1 left"), "{told}");
    pantry.put("mince", "4");
    // the older lot is emptied before the next is begun
    assert!(pantry.done(&["take", "mince", "2"]).lines().filter(|l| l.contains("of mince from lot")).count() == 2);
    assert_eq!(pantry.left(), [("rice".into(), 3), ("mince".into(), 3)]);
    pantry.refuses(&["take", "mince", "9"], &["only 3 packs of `mince` left"]);
    pantry.refuses(&["take", "rcie"], &["`rcie`", "did you mean `rice`"]);
    pantry.refuses(&["take", "7"], &["`7` is not known"]);
    pantry.refuses(&["put"], &["LOAD.toml"]);
    pantry.refuses(&["put", "--food", "x", "--packs", "0", "--dry", "5 g"], &["0 is not in 1..=100000"]);
    pantry.refuses(&["put", "--food", "x", "--packs", "1", "--dry", "5"], &["no unit"]);
    // lines are only ever added
    let before = pantry.text();
    pantry.done(&["take", "1", "1"]);
    assert!(pantry.text().starts_with(&before) && pantry.text().len() > before.len());
}

#[test]
fn sums_by_food_are_right() {
    let pantry = Pantry::with(sample());
    let summary: Value = serde_json::from_str(&pantry.done(&["summary", "--json"])).unwrap();
    assert_eq!(summary["foods"][1]["food"], "stew", "foods by name");
    // by hand: 3 of 5 packs of stew are left
    assert_eq!(summary["foods"][1]["packs"], 3);
    approx::assert_relative_eq!(summary["foods"][1]["dry_g"].as_f64().unwrap(), 158.1, max_relative = 1e-6);
    approx::assert_relative_eq!(summary["all"]["value"]["EUR"].as_f64().unwrap(), 0.933, max_relative = 1e-6);
    assert_eq!(summary["all"]["packs_without_value"], 3);
    let text = pantry.done(&["summary"]);
    assert!(text.contains("0.93 EUR") && text.contains("3 packs have no value"), "{text}");
    let list = pantry.done(&["list"]);
    assert!(list.contains("not expiry"), "{list}");
    assert!(list.lines().all(|line| line.chars().count() <= 80), "{list}");
}

#[test]
fn a_load_is_put_in_as_it_is_packed() {
    let pantry = Pantry::new();
    let sheet = "icefront = 1\ndryer = \"0.60 m2\"\nservings = 4\n[tariff]\nprice_per_kwh = 0.3\ncurrency = \"EUR\"\n[pack]\n\
        price = 0.4\nallergens = \"none\"\n[[tray]]\nfood = \"cooked rice\"\nshape = \"layer\"\namount = \"1.2 kg\"\n";
    std::fs::write(pantry.0.path().join("load.toml"), sheet).unwrap();
    pantry.done(&["put", "load.toml", "--note", "first try"]);
    let lot = &pantry.lots()[0];
    assert_eq!((lot["food"].as_str(), lot["packs_left"].as_u64()), (Some("cooked rice"), Some(4)));
    let back = lot["dry_g"].as_f64().unwrap() + lot["water_ml"].as_f64().unwrap();
    // amounts in the file are to a tenth of a gram
    assert!((back - 300.0).abs() < 0.11, "{back}");
    assert!(lot["value"].as_f64().unwrap() > 0.4 && lot["note"] == "first try");
}

#[test]
fn writers_at_the_same_time_lose_nothing() {
    let pantry = Pantry::new();
    const EACH: usize = 12;
    let writer = |name: &str| -> Vec<Child> {
        (0..EACH)
            .map(|_| {
                let mut command = pantry.command(&["put", "--food", name, "--packs", "1", "--dry", "50 g", "--again"]);
                command.stdout(Stdio::null()).stderr(Stdio::null()).spawn().unwrap()
            })
            .collect()
    };
    let children: Vec<Child> = ["stew", "rice"].into_iter().flat_map(writer).collect();
    for mut child in children {
        assert!(child.wait().unwrap().success());
    }
    let lots = pantry.lots();
    let mut numbers: Vec<u64> = lots.iter().map(|lot| lot["lot"].as_u64().unwrap()).collect();
    numbers.sort_unstable();
    assert_eq!(numbers, (1..=2 * EACH as u64).collect::<Vec<_>>(), "each line with a number of its own");
    assert_eq!(lots.iter().filter(|lot| lot["food"] == "stew").count(), EACH);
}

#[test]
fn the_last_pack_is_taken_by_one_only() {
    let pantry = Pantry::new();
    pantry.put("stew", "3");
    let mut takers: Vec<Child> = (0..8)
        .map(|_| pantry.command(&["take", "stew"]).stdout(Stdio::null()).stderr(Stdio::null()).spawn().unwrap())
        .collect();
    let taken = takers.iter_mut().filter_map(|taker| taker.wait().unwrap().success().then_some(())).count();
    assert_eq!(taken, 3);
    assert_eq!(pantry.left(), []);
}

/// A limit on the size of files ends the writer at a certain byte of the new pantry, wherever that is.
#[cfg(target_os = "linux")]
#[test]
fn a_writer_killed_at_any_byte_leaves_a_whole_file_and_no_lock() {
    let pantry = Pantry::with(sample() + &"\n".repeat(6 * BLOCK));
    let before = pantry.text();
    for blocks in 0..before.len().div_ceil(BLOCK) {
        let limited =
            format!("ulimit -c 0; ulimit -f {blocks}; exec \"$0\" store put --food rice --packs 1 --dry '50 g'");
        let mut shell = Command::new("sh");
        shell.args(["-c", &limited]).arg(env!("CARGO_BIN_EXE_icefront")).current_dir(pantry.0.path());
        let killed = shell.output().unwrap();
        assert_eq!(killed.status.code(), None, "not killed at block {blocks}: {killed:?}");
        assert_eq!(pantry.text(), before);
    }
    pantry.put("rice", "1");
    assert_eq!(pantry.lots().len(), 3);
    assert_eq!(std::fs::read_dir(pantry.0.path()).unwrap().count(), 2, "the pantry and its lock alone");
}

/// What the shell counts files in, bytes.
#[cfg(target_os = "linux")]
const BLOCK: usize = 512;

#[test]
fn a_writer_waits_for_another_and_sees_what_it_wrote() {
    let pantry = Pantry::with(sample());
    pantry.put("soup", "1");
    let lock = std::fs::File::options().write(true).open(pantry.0.path().join(".pantry.csv.lock")).unwrap();
    lock.lock().unwrap();
    let mut child = pantry.command(&["take", "stew"]).stdout(Stdio::null()).spawn().unwrap();
    // readers do not wait; and whoever did not wait for the lock would be done by the end of so many of them
    for _ in 0..8 {
        assert_eq!(pantry.lots().len(), 3);
    }
    assert!(child.try_wait().unwrap().is_none(), "it did not wait");
    // what the holder of the lock writes now, the waiting writer must see and keep
    let changed = pantry.text() + "9,2026-11-24,take,1,,1,,,,,,,,,,,\n";
    std::fs::write(pantry.path(), &changed).unwrap();
    drop(lock);
    assert!(child.wait().unwrap().success());
    assert!(pantry.text().starts_with(&changed) && pantry.text().lines().count() == changed.lines().count() + 1);
}

/// A spreadsheet's re-save: byte-order mark, CRLF, semicolons and decimal commas, all cells quoted, dates its own way.
#[test]
fn what_a_spreadsheet_saves_is_read_the_same_and_kept() {
    let expected = Pantry::with(sample()).lots();
    let mark = "\u{feff}";
    let german = sample()
        .replace("52.7", "52;7")
        .replace("84.4", "84;4")
        .replace("182.7", "182;7")
        .replace("0.311", "0;311")
        .replace("8.2", "8;2")
        .replace("0.9", "0;9")
        .replace(';', "\u{1}")
        .replace(',', ";")
        .replace('\u{1}', ",")
        .replace("2026-11-01", "01.11.2026")
        .replace('\n', "\r\n");
    let quoted: String = sample()
        .lines()
        .map(|line| line.split(',').map(|cell| format!("\"{cell}\"")).collect::<Vec<_>>().join(",") + "\r\n")
        .collect();
    let files = [
        format!("{mark}{}", sample()),
        sample().replace('\n', "\r\n"),
        format!("{mark}{german}"),
        quoted,
        sample().replace(',', "\t"),
        sample().trim_end().to_string(),
        format!("{}\n,,,,,,,,,,,,,,,,\n", sample()),
        // sorted another way
        format!("{HEADER}{TAKEN}{RICE}{STEW}"),
    ];
    for text in files {
        let pantry = Pantry::with(&text);
        assert_eq!(pantry.lots(), expected, "{text}");
        pantry.put("a \"thin\" soup, hot; with 1.5 g salt", "2");
        assert!(pantry.text().starts_with(text.as_str()), "what was there stays byte for byte");
        assert_eq!(pantry.text().contains("\r\n"), text.contains("\r\n"));
        let lots = pantry.lots();
        let soup = lots.iter().find(|lot| lot["lot"] == 4).unwrap();
        assert_eq!(soup["food"], "a \"thin\" soup, hot; with 1.5 g salt");
        assert_eq!(soup["dry_g"], 85.0);
        assert_eq!(lots.len(), 3);
    }
}

#[test]
fn columns_may_be_moved_and_added() {
    let moved = "food,pantry_1,date,action,lot,packs,dry_g,water_ml,energy_kj,fat_percent,oxygen,shelf_c,eat_first,value,currency,allergens,note,my shelf\n\
        stew,1,2026-11-01,put,1,5,52.7,242,808,8.2,removed,-18,2027-05-02,0.311,EUR,celery,,top\n";
    let pantry = Pantry::with(moved);
    pantry.done(&["take", "stew", "2"]);
    assert_eq!(pantry.left(), [("stew".into(), 3)]);
    assert!(pantry.text().ends_with("\n,2,2026-11-25,take,1,2,,,,,,,,,,,,\n"), "{}", pantry.text());
}

#[test]
fn no_cell_is_a_formula() {
    let pantry = Pantry::new();
    let evil = "=HYPERLINK(\"http://x\",\"y\")";
    pantry.done(&["put", "--food", evil, "--packs", "1", "--dry", "5 g", "--note", "+1\n=2", "--allergens", "@SUM(1)"]);
    let mut reader = csv::Reader::from_path(pantry.path()).unwrap();
    for cell in reader.records().next().unwrap().unwrap().iter() {
        assert!(!cell.starts_with(['=', '+', '-', '@', '\t']), "{cell}");
    }
    let lot = &pantry.lots()[0];
    assert_eq!((lot["food"].as_str().unwrap(), lot["note"].as_str().unwrap()), (evil, "+1 =2"));
    pantry.done(&["take", evil]);
    assert_eq!(pantry.left(), []);
}

#[test]
fn what_a_hand_spoils_is_refused_with_line_and_column() {
    let spoilt: [(&str, &str, &[&str]); 17] = [
        ("52.7", "52,7", &["pantry.csv:2:1", "18 cells, the header has 17"]),
        ("52.7", "\"52,7\"", &["pantry.csv:2:28", "column 7, `dry_g`", "comma"]),
        (",5,52.7", ",5.5,52.7", &["pantry.csv:2:", "column 6, `packs`", "whole number"]),
        (",5,52.7", ",-5,52.7", &["column 6, `packs`"]),
        (",5,52.7", ",five,52.7", &["column 6, `packs`"]),
        ("52.7", "NaN", &["column 7, `dry_g`"]),
        ("52.7", "", &["column 7, `dry_g`", "nothing here"]),
        ("2026-11-01", "04/05/2026", &["pantry.csv:2:3", "column 2, `date`", "2026-11-25"]),
        ("2027-05-02", "2027-02-30", &["column 13, `eat_first`"]),
        ("removed,20,2027-05", "gone,20,2027-05", &["column 11, `oxygen`", "`removed` or `air`"]),
        (",take,", ",eat,", &["pantry.csv:4:", "`put` or `take`"]),
        ("take,1,,2", "take,1,,6", &["pantry.csv:4:1", "only 5 of lot 1 were left"]),
        ("take,1,,2", "take,9,,2", &["no line puts lot 9 in"]),
        ("\n2,", "\n1,", &["number 1 is there twice", "pantry.csv:3:1"]),
        ("celery", "\"celery", &["quotation mark is not closed"]),
        ("dry_g", "dry", &["no column `dry_g`", "is it `dry`?"]),
        ("pantry_1", "pantry_2", &["only version 1"]),
    ];
    for (good, bad, parts) in spoilt {
        let pantry = Pantry::with(sample().replacen(good, bad, 1));
        pantry.refuses(&["list"], parts);
        pantry.refuses(&["take", "stew"], parts);
        pantry.refuses(&["put", "--food", "x", "--packs", "1", "--dry", "5 g"], parts);
    }
    // a line cut short in the middle, as by a full disk
    let torn = sample();
    Pantry::with(&torn[..torn.len() - 30]).refuses(&["list"], &["pantry.csv:4:"]);
    Pantry::with("food,packs\nstew,1\n").refuses(&["list"], &["not a pantry file"]);
    Pantry::with("").refuses(&["list"], &["empty"]);
    Pantry::with(sample().replace("celery", "c\u{e9}leri").chars().map(|c| c as u8).collect::<Vec<u8>>())
        .refuses(&["list"], &["line 2, byte 77", "UTF-8"]);
    let wide: Vec<u8> = sample().encode_utf16().flat_map(u16::to_le_bytes).collect();
    Pantry::with(wide).refuses(&["list"], &["plain text"]);
}

#[cfg(unix)]
#[test]
fn a_link_stays_a_link_and_rights_stay() {
    use std::os::unix::fs::{PermissionsExt, symlink};
    let real = Pantry::with(sample());
    std::fs::set_permissions(real.path(), std::fs::Permissions::from_mode(0o640)).unwrap();
    let linked = Pantry::new();
    symlink(real.path(), linked.path()).unwrap();
    linked.put("soup", "1");
    assert!(linked.path().is_symlink());
    assert_eq!(real.lots().len(), 3);
    assert_eq!(std::fs::metadata(real.path()).unwrap().permissions().mode() & 0o777, 0o640);
    let files = |folder: &Path| std::fs::read_dir(folder).unwrap().count();
    assert_eq!((files(real.0.path()), files(linked.0.path())), (2, 1), "the pantry and its lock alone");
}
