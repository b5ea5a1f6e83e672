//! Every case of the corpus and a small part of a long round for each target: the same cases each time. Long rounds:
//! `cargo run --release -p icefront-fuzz`, see README.md.

use std::path::PathBuf;
use std::sync::Arc;

use icefront_fuzz::case::Case;
use icefront_fuzz::watch::Watchdog;
use icefront_fuzz::{Outcome, Round, Target};

/// Seed of the short rounds.
const SEED: u64 = 1;

/// Cases of the short round; the fewer, the longer each takes.
fn count(target: Target) -> u64 {
    match target {
        Target::Read(_) => 2_000,
        Target::Plan => 60,
        Target::Cabinet => 1_200,
        Target::Update { name: "update", .. } => 40,
        Target::Update { .. } => 10,
        Target::Post => 120,
    }
}

fn shown(case: &Case) -> String {
    let file = |(name, bytes): &(String, Vec<u8>)| format!("--- {name}\n{}\n", String::from_utf8_lossy(bytes));
    case.files().iter().map(file).collect()
}

fn holds(target: Target) {
    let corpus = target.corpus().expect("corpus");
    assert!(!corpus.is_empty(), "{} has no corpus", target.name());
    let mut answered = 0;
    for case in &corpus {
        match target.hold(case) {
            Ok(outcome) => answered += usize::from(outcome == Outcome::Answered),
            Err(what) => panic!("{}: {what}\n{}", target.name(), shown(case)),
        }
    }
    assert!(answered > 0, "no case of the corpus of {} is answered", target.name());
    if matches!(target, Target::Plan) {
        let refused = "a sheet of the plan's corpus is refused: nothing made from it would be planned";
        assert_eq!(answered, corpus.len(), "{refused}");
    }
    let watchdog = Arc::new(Watchdog::new(PathBuf::from(env!("CARGO_TARGET_TMPDIR")).join("found")));
    Arc::clone(&watchdog).watch();
    let count = count(target);
    let report = Round { target, seed: SEED, count, threads: 1 }.run(&corpus, &watchdog);
    if let Some((kind, (count, findings))) = report.found.iter().next() {
        let first = &findings[0];
        panic!("{}: {count} x {kind}\nnumber {}: {}\n{}", target.name(), first.number, first.what, shown(&first.case));
    }
    assert!(report.answered > 0, "{}: nothing was answered: {:#?}", target.name(), report.refused);
    if !matches!(target, Target::Post) {
        assert!(report.answered < count, "{}: nothing was refused", target.name());
    }
}

#[test]
fn readers_bear_strange_files() {
    Target::all().into_iter().filter(|target| matches!(target, Target::Read(_))).for_each(holds);
}

#[test]
fn plans_bear_changed_sheets() {
    holds(Target::Plan);
}

#[test]
fn any_machine_within_its_limits_is_answered() {
    holds(Target::Cabinet);
}

#[test]
fn any_readings_are_weighed_or_refused() {
    Target::all().into_iter().filter(|target| matches!(target, Target::Update { .. })).for_each(holds);
}

#[test]
fn the_page_answers_any_form() {
    holds(Target::Post);
}
