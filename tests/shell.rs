//! Manual pages and completions name every command, and there is one page for each.

use std::collections::BTreeSet;
use std::process::{Command, Output};

fn shell(arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_icefront")).arg("shell").args(arguments).output().unwrap()
}

/// Commands that `icefront help` lists.
fn commands() -> BTreeSet<String> {
    let help = Command::new(env!("CARGO_BIN_EXE_icefront")).arg("help").output().unwrap();
    let text = String::from_utf8(help.stdout).unwrap();
    let listed = text.lines().take_while(|line| !line.starts_with("Options"));
    listed.filter_map(|line| line.strip_prefix("  ")?.split_whitespace().next()).map(str::to_string).collect()
}

#[test]
fn the_manual_and_completions_name_every_command() {
    assert!(commands().len() > 20, "{:?}", commands());
    for args in [&["manual"][..], &["completions", "bash"], &["completions", "fish"], &["completions", "zsh"]] {
        let text = String::from_utf8(shell(args).stdout).unwrap();
        for command in commands() {
            assert!(text.contains(&command), "{args:?} does not name `{command}`");
        }
    }
}

#[test]
fn each_command_has_a_page_and_none_is_overwritten() {
    let folder = tempfile::tempdir().unwrap();
    let pages = folder.path().join("man1");
    let written = || shell(&["manual", "--out", pages.to_str().unwrap()]);
    assert!(written().status.success());
    let names: BTreeSet<String> =
        std::fs::read_dir(&pages).unwrap().map(|file| file.unwrap().file_name().into_string().unwrap()).collect();
    for command in commands() {
        assert!(names.contains(&format!("icefront-{command}.1")), "no page for `{command}`: {names:?}");
    }
    for name in ["icefront.1", "icefront-store-put.1", "icefront-shell-manual.1"] {
        assert!(names.contains(name), "no {name}: {names:?}");
    }
    for name in &names {
        let text = std::fs::read_to_string(pages.join(name)).unwrap();
        let title = text.lines().find_map(|line| line.strip_prefix(".TH ")).unwrap();
        let title = title.replace('\\', "");
        assert_eq!(title.split_whitespace().next(), name.strip_suffix(".1"), "{name} has the title of another page");
        assert!(text.contains(".SH SYNOPSIS") || text.contains(".SH \"SYNOPSIS\""), "{name} has no synopsis");
    }
    let again = written();
    assert_eq!(again.status.code(), Some(2), "{again:?}");
}
