//! A round: so many cases for a target, shared by a few threads. Case number k of a seed is the same whoever makes it.

use std::collections::BTreeMap;
use std::sync::atomic::{AtomicU64, Ordering};
use std::sync::{Mutex, PoisonError};
use std::thread;

use fastrand::Rng;

use crate::case::Case;
use crate::target::{Outcome, Target};
use crate::watch::{Watchdog, watched};

/// Most findings of one kind that are kept.
const KEPT_OF_A_KIND: usize = 3;

/// What a round is made of.
#[derive(Clone, Copy, Debug)]
pub struct Round {
    /// What is done.
    pub target: Target,
    /// Seed.
    pub seed: u64,
    /// Cases.
    pub count: u64,
    /// Threads.
    pub threads: usize,
}

/// Something that is wrong with the program.
#[derive(Clone, Debug)]
pub struct Finding {
    /// Number of the case.
    pub number: u64,
    /// The case.
    pub case: Case,
    /// What is wrong.
    pub what: String,
}

/// What came of a round.
#[derive(Clone, Debug, Default)]
pub struct Report {
    /// Cases that were answered.
    pub answered: u64,
    /// Words of refusals, without their numbers and names, and how often each was said.
    pub refused: BTreeMap<String, u64>,
    /// What is wrong, by its kind: how often, and the first cases.
    pub found: BTreeMap<String, (u64, Vec<Finding>)>,
}

impl Round {
    /// One of its cases.
    pub fn case(&self, corpus: &[Case], number: u64) -> Case {
        /// Odd, and with its bits well mixed: neighbouring cases get seeds far apart.
        const APART: u64 = 0x9E37_79B9_7F4A_7C15;
        let seed = self.seed.wrapping_mul(APART) ^ number.wrapping_mul(APART.rotate_left(32) | 1);
        self.target.case(corpus, &mut Rng::with_seed(seed))
    }

    /// Runs it to its end, whatever is found.
    pub fn run(&self, corpus: &[Case], watchdog: &Watchdog) -> Report {
        let (next, report) = (AtomicU64::new(0), Mutex::new(Report::default()));
        thread::scope(|scope| {
            for _ in 0..self.threads {
                scope.spawn(|| {
                    loop {
                        let number = next.fetch_add(1, Ordering::Relaxed);
                        if number >= self.count {
                            return;
                        }
                        self.one(corpus, number, watchdog, &report);
                    }
                });
            }
        });
        report.into_inner().unwrap_or_else(PoisonError::into_inner)
    }

    fn one(&self, corpus: &[Case], number: u64, watchdog: &Watchdog, report: &Mutex<Report>) {
        let case = match watched(|| self.case(corpus, number)) {
            Ok((case, _)) => case,
            Err(what) => {
                let what = format!("making the case: {what}");
                note(report, Finding { number, case: Case::default(), what });
                return;
            }
        };
        watchdog.begin(&case, self.target.limit(&case));
        let held = self.target.hold(&case);
        watchdog.end();
        match held {
            Ok(outcome) => {
                let mut report = report.lock().unwrap_or_else(PoisonError::into_inner);
                match outcome {
                    Outcome::Answered => report.answered += 1,
                    Outcome::Refused(words) => *report.refused.entry(kind(&words)).or_default() += 1,
                }
            }
            Err(what) => note(report, Finding { number, case, what }),
        }
    }
}

fn note(report: &Mutex<Report>, finding: Finding) {
    let mut report = report.lock().unwrap_or_else(PoisonError::into_inner);
    let (count, kept) = report.found.entry(kind(&finding.what)).or_default();
    *count += 1;
    if kept.len() < KEPT_OF_A_KIND {
        kept.push(finding);
    }
}

/// The first line of a message without its numbers and without what stands in quotes: like messages are of one kind.
pub fn kind(words: &str) -> String {
    let line = words.lines().next().unwrap_or_default();
    let line: String = line.split('`').step_by(2).collect::<Vec<_>>().join("`_`");
    let mut short = String::new();
    for c in line.chars() {
        let is_number = c.is_ascii_digit() || c == '.' && short.ends_with('#');
        if !is_number {
            short.push(c);
        } else if !short.ends_with('#') {
            short.push('#');
        }
    }
    short
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn like_messages_are_of_one_kind() {
        assert_eq!(kind("`a` is 12.5 mm\nmore"), kind("`b` is 3 mm"));
        assert_ne!(kind("`a` is 12.5 mm"), kind("`a` is not 12.5 mm"));
    }

    #[test]
    fn a_case_depends_on_seed_and_number_alone() {
        let target = Target::Cabinet;
        let corpus = target.corpus().expect("corpus");
        let round = |seed| Round { target, seed, count: 50, threads: 1 };
        let cases = |seed| (0..50).map(|number| round(seed).case(&corpus, number)).collect::<Vec<_>>();
        assert_eq!(cases(3), cases(3));
        assert_ne!(cases(3), cases(4));
        let few = cases(3);
        assert!(few.iter().enumerate().all(|(k, case)| !few[..k].contains(case)), "two cases are alike");
    }
}
