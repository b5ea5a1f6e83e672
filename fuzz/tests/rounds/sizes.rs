//! Files of the largest sizes and of any junk: what is said about them stays short, and the work grows as the size does.
//! Work is counted as bytes allocated, never as time.

use icefront_fuzz::readers::Reader;

/// Longest message, bytes: twenty problems of three texts of a kilobyte, with the lines they stand on.
const LONGEST: usize = 100_000;
/// Text of a megabyte, the largest that is read as a sheet, and a smaller one, bytes.
const MEGABYTE: usize = 1 << 20;
const SHEET: usize = 250_000;

/// What a reader says of a text, and the bytes it allocates to say it.
fn read(reader: &Reader, text: &str) -> (Result<(), String>, u64) {
    let mut said = Ok(());
    let counted = allocation_counter::measure(|| said = (reader.read)(text));
    (said, counted.bytes_total)
}

fn reader(name: &str) -> Reader {
    Reader::ALL.into_iter().find(|reader| reader.name == name).unwrap()
}

/// A text that grows with the number given.
type Junk = fn(usize) -> String;

/// Texts that once took time or memory as the square of their size, and their kin.
const JUNK: [(&str, Junk); 22] = [
    ("nothing", |_| String::new()),
    ("trays", |n| format!("icefront=1\n{}", "[[tray]]\n".repeat(n / 9))),
    ("trays in a line", |n| format!("icefront=1\ntray=[{}]", "{},".repeat(n / 3))),
    ("a long food", |n| sheet(&format!("food = \"{}\"", "x".repeat(n)))),
    ("many words", |n| sheet(&format!("food = \"{}\"", "ab ".repeat(n / 3)))),
    ("unknown foods", |n| format!("icefront=1\n{}", "[[tray]]\nfood=\"qwzx vbnp\"\n".repeat(n / 30))),
    ("an ingredient of a recipe", |n| {
        let lines = (0..n / 24).fold(String::new(), |text, i| text + &format!("\"qwzx {i}\" = \"1 g\"\n"));
        format!("icefront=1\n[recipe.x]\n{lines}")
    }),
    ("foods", |n| (0..n / 30).fold("icefront=1\n".into(), |text, i| text + &format!("[food.f{i}]\nlike = \"qwzx\"\n"))),
    ("allergens", |n| format!("icefront=1\n[pack]\nallergens = \"{}\"", "nuts, ".repeat(n / 6))),
    ("keys", |n| (0..n / 12).fold("icefront=1\n".into(), |text, i| text + &format!("key{i} = 1\n"))),
    ("a long table name", |n| {
        let keys = (0..n / 24).fold(String::new(), |text, i| text + &format!("k{i} = 1\n"));
        format!("icefront=1\n[food.{}]\n{keys}", "n".repeat(n / 2))
    }),
    ("numbers", |n| format!("icefront=1\n[rig]\npoint=[{}]", "1,".repeat(n / 2))),
    ("brackets", |n| "[".repeat(n)),
    ("nested lists", |n| format!("icefront={}", "[".repeat(n))),
    ("dotted keys", |n| format!("{}a=1", "a.".repeat(n / 2))),
    ("equal signs", |n| "=\n".repeat(n / 2)),
    ("quotation marks", |n| "\"".repeat(n)),
    ("NUL bytes", |n| "\0".repeat(n)),
    ("separators", |n| ",;\t".repeat(n / 3)),
    ("columns", |n| format!("time_h,{}\n1,2\n", (0..n / 8).map(|i| format!("col{i},")).collect::<String>())),
    ("lines that do not fit", |n| format!("time_h,pressure_Pa\n{}", "1\r\n".repeat(n / 3))),
    ("emoji", |n| "\u{1f9ca}\u{301}".repeat(n / 6)),
];

fn sheet(tray: &str) -> String {
    format!("icefront=1\ndryer=\"0.60 m2\"\n[[tray]]\n{tray}\nshape=\"layer\"\ndepth=\"12 mm\"\n")
}

#[test]
fn a_megabyte_of_anything_gets_a_short_answer() {
    for reader in &Reader::ALL {
        for (name, junk) in JUNK {
            for size in [SHEET, MEGABYTE] {
                let said = read(reader, &junk(size)).0;
                let length = said.err().map_or(0, |message| message.len());
                assert!(length <= LONGEST, "{} says {length} bytes about {name}", reader.name);
            }
        }
    }
}

#[test]
fn work_grows_as_the_size() {
    for reader in &Reader::ALL {
        for (name, junk) in JUNK {
            let (small, large) = (junk(SHEET / 16), junk(SHEET));
            let _ = read(reader, &small);
            let (before, after) = (read(reader, &small).1, read(reader, &large).1);
            // sixteen times the size; half as much again for tables that grow by doubling, and what is done once
            let most = 24 * before + 4 * MEGABYTE as u64;
            assert!(after <= most, "{}: {name}: {before} bytes, then {after}", reader.name);
        }
    }
}

#[test]
fn memory_stays_within_what_a_small_computer_has() {
    for reader in &Reader::ALL {
        for (name, junk) in JUNK {
            for text in [junk(SHEET), junk(MEGABYTE)] {
                let most = allocation_counter::measure(|| drop((reader.read)(&text))).bytes_max;
                assert!(most < 150 << 20, "{}: {name}: {most} bytes at once", reader.name);
            }
        }
    }
}

#[test]
fn thousands_of_problems_are_twenty_and_a_number() {
    let text = format!("icefront=1\ndryer=\"0.60 m2\"\n{}", "[[tray]]\n".repeat(200));
    let message = read(&reader("sheet"), &text).0.unwrap_err();
    assert_eq!(message.matches("error: ").count(), 20, "{message}");
    assert!(message.ends_with("and 381 more"), "{message}");
}

#[test]
fn what_is_too_long_is_said_with_what_is_allowed() {
    let refused = |text: &str, parts: &[&str]| {
        let message = read(&reader("sheet"), text).0.unwrap_err();
        for part in parts {
            assert!(message.contains(part), "`{part}` is missing in\n{message}");
        }
    };
    refused(&format!("icefront=1\n{}", "[[tray]]\n".repeat(7_000)), &["7000 entries", "up to 300 entries"]);
    refused(&sheet(&format!("food = \"{}\"", "x".repeat(200_000))), &["200000 bytes", "up to 4000 bytes", "file:4:8"]);
    refused(&sheet(&format!("food = \"{}\"", "x".repeat(1_000_000))), &["1000000 bytes", "up to 4000 bytes"]);
    refused(&format!("icefront=1\n[food.{}]\n", "n".repeat(500)), &["500 bytes", "up to 200 bytes"]);
    let lists =
        (0..11).map(|i| format!("[recipe.r{i}]\n") + &(0..290).map(|k| format!("k{k}=1\n")).collect::<String>());
    refused(&format!("icefront=1\n{}", lists.collect::<String>()), &["more than 3000 values"]);
    let readings = format!(
        "time_h,pressure_Pa\n{}",
        (0..1_002).map(|i| format!("{},50\n", f64::from(i) / 100.0)).collect::<String>()
    );
    let message = read(&reader("readings"), &readings).0.unwrap_err();
    assert!(message.contains("at most 1000 readings") && message.contains("1 more like this"), "{message}");
}
