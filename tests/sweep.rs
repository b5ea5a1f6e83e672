//! `icefront sweep`: answers in the order of the lines, the same bytes on any number of threads and in any company.

use std::io::Write;
use std::process::{Command, Output, Stdio};

use serde_json::Value;

fn sweep(input: &str, args: &[&str]) -> String {
    let output = swept(input, args);
    assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
    String::from_utf8(output.stdout).unwrap()
}

fn swept(input: &str, args: &[&str]) -> Output {
    let mut child = Command::new(env!("CARGO_BIN_EXE_icefront"))
        .arg("sweep")
        .args(args)
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    child.stdin.take().unwrap().write_all(input.as_bytes()).unwrap();
    child.wait_with_output().unwrap()
}

/// Layers from thin to thick, with a bad line in the middle.
fn sheets() -> Vec<String> {
    let sheet = |depth: usize| {
        let tray = format!(r#"{{"food": "peas", "shape": "layer", "depth": "{depth}..{} mm"}}"#, depth + 2);
        format!(r#"{{"id": {depth}, "icefront": 1, "dryer": "0.60 m2", "tray": [{tray}]}}"#)
    };
    let mut lines: Vec<String> = (5..45).map(sheet).collect();
    lines.insert(20, r#"{"icefront": 1, "dryer": "0.61 m2"}"#.into());
    lines
}

#[test]
fn answers_come_in_order_and_a_bad_line_is_answered_in_its_place() {
    let lines = sheets();
    let answers: Vec<Value> =
        sweep(&lines.join("\n"), &[]).lines().map(|line| serde_json::from_str(line).unwrap()).collect();
    assert_eq!(answers.len(), lines.len());
    let error = answers[20]["error"].as_str().unwrap();
    assert!(error.contains("no dryer is named `0.61 m2`") && error.contains("there is no tray"), "{error}");
    let mut before = 0.0;
    for (i, answer) in answers.iter().enumerate().filter(|(i, _)| *i != 20) {
        assert_eq!(answer["id"], if i < 20 { i + 5 } else { i + 4 });
        let hours = answer["answer"]["time_h"]["total"]["typical_run"].as_f64().unwrap();
        assert!(hours > before, "thicker is slower: {before} h, then {hours} h");
        before = hours;
    }
}

#[test]
fn strict_ends_with_1_after_all_answers_where_a_line_is_bad() {
    let lines = sheets();
    let strict = swept(&lines[19..22].join("\n"), &["--strict"]);
    assert_eq!(strict.status.code(), Some(1));
    assert_eq!(String::from_utf8(strict.stdout).unwrap(), sweep(&lines[19..22].join("\n"), &[]), "all are answered");
    let told = String::from_utf8(strict.stderr).unwrap();
    assert!(told.contains("1 of 3 sheets") && told.contains("sheet 2"), "{told}");
    assert!(swept(&lines[..2].join("\n"), &["--strict"]).status.success());
}

#[test]
fn a_line_has_the_same_answer_on_any_thread_and_in_any_company() {
    let lines = sheets();
    let all = sweep(&lines.join("\n"), &["--draws", "8", "--threads", "2"]);
    assert_eq!(all, sweep(&lines.join("\n"), &["--draws", "8", "--threads", "1"]));
    let alone = sweep(&lines[30], &["--draws", "8"]);
    assert_eq!(all.lines().nth(30).unwrap(), alone.trim_end());
    assert!(alone.contains("\"low\""), "{alone}");
}

/// Each of these loads dries within two days, whatever its fronts do for a step in between.
#[test]
fn a_front_that_stands_for_a_step_does_not_end_a_run() {
    let lines = include_str!("data/front_stands_for_a_step.jsonl");
    let answers = sweep(lines, &[]);
    assert_eq!(answers.lines().count(), lines.lines().count());
    for answer in answers.lines().map(|line| serde_json::from_str::<Value>(line).unwrap()) {
        let hours = answer["answer"]["time_h"]["food_ready"]["typical_run"].as_f64();
        assert!(hours.is_some_and(|hours| hours < 48.0), "{answer}");
        for tray in answer["answer"]["trays"].as_array().unwrap() {
            assert!(tray["dry_at_h"]["typical_run"].is_f64(), "{answer}");
        }
    }
}
