//! Files and streams: what is read has a limit, `-` is standard input, the day is the local one.

use std::fs;
use std::io::Write;
use std::path::Path;
use std::process::{Command, Output, Stdio};

const SHEET: &str =
    "icefront = 1\ndryer = \"0.60 m2\"\n[[tray]]\nfood = \"peas\"\nshape = \"layer\"\ndepth = \"8 mm\"\n";

fn command(folder: &Path, arguments: &[&str]) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_icefront"));
    command.args(arguments).current_dir(folder).stdin(Stdio::null());
    command
}

fn run(folder: &Path, arguments: &[&str]) -> Output {
    command(folder, arguments).output().unwrap()
}

fn fed(folder: &Path, arguments: &[&str], input: &str) -> Output {
    let mut command = command(folder, arguments);
    let mut child = command.stdin(Stdio::piped()).stdout(Stdio::piped()).stderr(Stdio::piped()).spawn().unwrap();
    child.stdin.take().unwrap().write_all(input.as_bytes()).unwrap();
    child.wait_with_output().unwrap()
}

fn stderr(output: &Output) -> String {
    String::from_utf8(output.stderr.clone()).unwrap()
}

#[test]
fn a_dash_is_standard_input() {
    let folder = tempfile::tempdir().unwrap();
    fs::write(folder.path().join("load.toml"), SHEET).unwrap();
    let named = run(folder.path(), &["plan", "load.toml", "--json", "--draws", "0"]);
    let piped = fed(folder.path(), &["plan", "-", "--json", "--draws", "0"], SHEET);
    assert!(piped.status.success(), "{}", stderr(&piped));
    assert_eq!(piped.stdout, named.stdout);
    for command in ["explain", "bill", "pack"] {
        let answered = fed(folder.path(), &[command, "-", "--json"], SHEET);
        assert!(answered.status.success() || stderr(&answered).contains("price"), "{command}: {}", stderr(&answered));
    }
    let wrong = fed(folder.path(), &["plan", "-"], &SHEET.replace("peas", "paes"));
    assert_eq!(wrong.status.code(), Some(2));
    assert!(stderr(&wrong).contains("standard input:4:8"), "{}", stderr(&wrong));
    assert!(stderr(&fed(folder.path(), &["plan", "-"], "")).contains("it is empty"));
}

#[cfg(unix)]
#[test]
fn devices_pipes_and_huge_files_are_refused() {
    let folder = tempfile::tempdir().unwrap();
    let huge = fs::File::create(folder.path().join("huge")).unwrap();
    huge.set_len(1 << 40).unwrap();
    assert!(Command::new("mkfifo").arg(folder.path().join("pipe")).status().unwrap().success());
    fs::write(folder.path().join("load.toml"), SHEET).unwrap();
    for (file, words) in [("/dev/zero", "a device or a pipe"), ("pipe", "a device or a pipe"), ("huge", "larger than")]
    {
        for arguments in [
            &["plan", file][..],
            &["sweep", file],
            &["learn", file, "--dryer", "0.60 m2"],
            &["store", "list", "--file", file],
            &["prefreeze", "--weather", file],
            &["log", "load.toml", "--readings", file],
            &["log", file, "--readings", "load.toml"],
        ] {
            let refused = run(folder.path(), arguments);
            let told = stderr(&refused);
            assert_eq!(refused.status.code(), Some(2), "{arguments:?}: {told}");
            let endless_line = arguments[0] == "sweep" && told.contains("longer than 64 MiB");
            assert!(endless_line || told.contains(words), "{arguments:?}: {told}");
        }
    }
    let endless = command(folder.path(), &["plan", "-"]).stdin(fs::File::open("/dev/zero").unwrap()).output().unwrap();
    assert!(stderr(&endless).contains("larger than 1 MiB"), "{}", stderr(&endless));
}

/// The two zones are 25 hours apart, so that their dates differ at any moment.
#[test]
fn today_is_the_date_of_the_time_zone() {
    let folder = tempfile::tempdir().unwrap();
    let date_in = |zone: &str| {
        let file = format!("{}.csv", zone.len());
        let arguments = ["store", "put", "--food", "stew", "--packs", "1", "--dry", "5 g", "--file", &file];
        assert!(command(folder.path(), &arguments).env("TZ", zone).output().unwrap().status.success());
        fs::read_to_string(folder.path().join(file))
            .unwrap()
            .lines()
            .nth(1)
            .unwrap()
            .split(',')
            .nth(1)
            .unwrap()
            .to_string()
    };
    let (east, west) = (date_in("EAST-14"), date_in("WESTWARD11"));
    assert!(west < east, "{west} in the west, {east} in the east");
}

#[cfg(unix)]
mod links_and_rights {
    use super::*;
    use std::os::unix::fs::{PermissionsExt, symlink};

    const READINGS: &str = "time_h,event,tray,weight_g,energy_kWh\n0,,1,900,\n4,,1,400,\n5,finished,,,3\n";

    fn rights(path: &Path) -> u32 {
        fs::metadata(path).unwrap().permissions().mode() & 0o777
    }

    fn set_rights(path: &Path, mode: u32) {
        fs::set_permissions(path, fs::Permissions::from_mode(mode)).unwrap();
    }

    #[test]
    fn a_history_given_as_a_link_is_written_through_to_its_target() {
        let folder = tempfile::tempdir().unwrap();
        let path = |name: &str| folder.path().join(name);
        fs::write(path("load.toml"), SHEET).unwrap();
        fs::create_dir(path("shared")).unwrap();
        // the target need not be there yet, and the link may lead over another
        symlink("shared/history.csv", path("middle.csv")).unwrap();
        symlink("middle.csv", path("history.csv")).unwrap();
        for (name, grams) in [("a", "400"), ("b", "401")] {
            fs::write(path("r.csv"), READINGS.replace("400", grams)).unwrap();
            let logged = run(folder.path(), &["log", "load.toml", "--readings", "r.csv", "--name", name]);
            assert!(logged.status.success(), "{}", stderr(&logged));
            if name == "a" {
                set_rights(&path("shared/history.csv"), 0o600);
            }
        }
        assert!(path("history.csv").is_symlink() && path("middle.csv").is_symlink());
        let text = fs::read_to_string(path("shared/history.csv")).unwrap();
        assert_eq!(text.lines().filter(|line| line.starts_with("batch,")).count(), 2);
        assert_eq!(rights(&path("shared/history.csv")), 0o600);
        assert!(
            path("shared/.history.csv.lock").exists() && !path(".history.csv.lock").exists(),
            "one lock for all links"
        );
        symlink("circle.csv", path("circle.csv")).unwrap();
        let log = ["log", "load.toml", "--readings", "r.csv", "--history", "circle.csv", "--name", "c"];
        assert!(stderr(&run(folder.path(), &log)).contains("circle"));
    }

    #[test]
    fn what_force_replaces_keeps_its_rights_and_its_links() {
        let folder = tempfile::tempdir().unwrap();
        let path = |name: &str| folder.path().join(name);
        fs::write(path("mine.toml"), "old").unwrap();
        set_rights(&path("mine.toml"), 0o600);
        symlink("mine.toml", path("link.toml")).unwrap();
        assert_eq!(run(folder.path(), &["new", "link.toml"]).status.code(), Some(2));
        assert!(run(folder.path(), &["new", "link.toml", "--force"]).status.success());
        assert!(path("link.toml").is_symlink());
        assert!(fs::read_to_string(path("mine.toml")).unwrap().contains("icefront = 1"));
        assert_eq!(rights(&path("mine.toml")), 0o600);
    }
}

/// Temporary names in a folder.
fn temporary(folder: &Path) -> Vec<String> {
    let names = fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().file_name().into_string().unwrap());
    names.filter(|name| name.starts_with(".icefront-") || name.starts_with(".tmp")).collect()
}

/// A signal sent while a folder of results is being written leaves nothing, whenever it comes.
#[cfg(unix)]
#[test]
fn ctrl_c_and_sigterm_leave_no_half_folder() {
    let folder = tempfile::tempdir().unwrap();
    fs::write(folder.path().join("load.toml"), SHEET).unwrap();
    for (round, signal) in ["-INT", "-TERM", "-INT", "-TERM"].into_iter().enumerate() {
        let out = format!("a{round}/b");
        let mut child = command(folder.path(), &["plan", "load.toml", "--draws", "0", "--out", &out])
            .stdout(Stdio::null())
            .stderr(Stdio::null())
            .spawn()
            .unwrap();
        // the event that is waited for: its temporary folder has appeared, or it is done already
        let staged = |name: &String| folder.path().join(name).join("b").exists();
        while !temporary(folder.path()).iter().any(staged) && child.try_wait().unwrap().is_none() {
            std::thread::yield_now();
        }
        let _sent =
            Command::new("kill").args([signal, &child.id().to_string()]).stderr(Stdio::null()).status().unwrap();
        let ended = child.wait().unwrap();
        assert_eq!(temporary(folder.path()), Vec::<String>::new());
        let whole = folder.path().join(&out).join("history.csv").exists();
        assert_eq!(folder.path().join(format!("a{round}")).exists(), whole, "an empty folder is left");
        assert!(whole || !ended.success());
    }
}

/// A program that dies at a certain byte of what it writes, by a limit on the size of its files.
#[cfg(target_os = "linux")]
#[test]
fn what_a_killed_program_left_is_cleared_at_the_next_start() {
    let folder = tempfile::tempdir().unwrap();
    let limited = Command::new("sh")
        .args(["-c", "ulimit -c 0; ulimit -f 1; exec \"$0\" plan --draws 0 --out a/b"])
        .arg(env!("CARGO_BIN_EXE_icefront"))
        .current_dir(folder.path())
        .output()
        .unwrap();
    assert_eq!(limited.status.code(), None, "it was not killed: {}", stderr(&limited));
    assert!(!folder.path().join("a").exists(), "an empty folder is left");
    assert_eq!(temporary(folder.path()).len(), 1);
    fs::write(folder.path().join(".tmpAbCdEf"), "of somebody else").unwrap();
    assert!(run(folder.path(), &["new"]).status.success());
    assert_eq!(temporary(folder.path()), [".tmpAbCdEf"]);
}

/// A full terminal stands for any place where a report cannot be shown.
#[cfg(target_os = "linux")]
#[test]
fn what_was_written_is_told_though_the_report_cannot_be_shown() {
    let folder = tempfile::tempdir().unwrap();
    let full = || fs::File::options().write(true).open("/dev/full").unwrap();
    let put = ["store", "put", "--food", "z", "--packs", "1", "--dry", "1 g"];
    let unshown = command(folder.path(), &put).stdout(full()).output().unwrap();
    assert_eq!(unshown.status.code(), Some(3), "{}", stderr(&unshown));
    assert!(stderr(&unshown).contains("`pantry.csv` is written, but"), "{}", stderr(&unshown));
    assert_eq!(fs::read_to_string(folder.path().join("pantry.csv")).unwrap().lines().count(), 2);
    // a script that tries again is told, and the pantry is not doubled
    let again = run(folder.path(), &put);
    assert_eq!(again.status.code(), Some(2));
    assert!(stderr(&again).contains("lot 1: 1 pack of z") && stderr(&again).contains("--again"), "{}", stderr(&again));
    assert_eq!(fs::read_to_string(folder.path().join("pantry.csv")).unwrap().lines().count(), 2);
    assert!(run(folder.path(), &[&put[..], &["--again"]].concat()).status.success());
    assert!(run(folder.path(), &[&put[..], &["--note", "another"]].concat()).status.success());
    assert_eq!(fs::read_to_string(folder.path().join("pantry.csv")).unwrap().lines().count(), 4);
    let many = command(folder.path(), &["plan", "--draws", "0", "--out", "run"]).stdout(full()).output().unwrap();
    assert_eq!(many.status.code(), Some(3));
    assert!(stderr(&many).contains("more files are written"), "{}", stderr(&many));
    // nothing was written, and a message that cannot be shown either is no panic
    let nothing = command(folder.path(), &["plan", "--draws", "0"]).stdout(full()).stderr(full()).output().unwrap();
    assert_eq!(nothing.status.code(), Some(2));
}
