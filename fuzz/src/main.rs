//! `cargo run --release -p icefront-fuzz -- [TARGET] --count N --seed S`

use std::path::{Path, PathBuf};
use std::process::ExitCode;
use std::sync::Arc;
use std::time::Instant;

use clap::Parser;
use icefront_fuzz::case::Case;
use icefront_fuzz::round::Report;
use icefront_fuzz::watch::Watchdog;
use icefront_fuzz::{Round, Target};

/// Holds random cases against icefront.
#[derive(Debug, Parser)]
struct Arguments {
    /// Only this target.
    target: Option<String>,
    /// Cases for each target.
    #[arg(long, default_value_t = 10_000)]
    count: u64,
    /// Seed; the same seed makes the same cases.
    #[arg(long, default_value_t = 1)]
    seed: u64,
    /// Threads.
    #[arg(long, default_value_t = 2, value_parser = clap::value_parser!(u8).range(1..=2))]
    threads: u8,
    /// Folder for the cases that show something wrong.
    #[arg(long, default_value = "fuzz/found")]
    found: PathBuf,
    /// Also list what was refused, and how often.
    #[arg(long)]
    refusals: bool,
    /// Instead of a round, runs this case: a file, or a folder with the files of one.
    #[arg(long, value_name = "PATH", requires = "target")]
    again: Option<PathBuf>,
}

fn main() -> ExitCode {
    let asked = Arguments::parse();
    let targets: Vec<Target> =
        Target::all().into_iter().filter(|t| asked.target.as_deref().is_none_or(|name| name == t.name())).collect();
    if targets.is_empty() {
        let names: Vec<&str> = Target::all().iter().map(|target| target.name()).collect();
        eprintln!("there is no such target; known are {}", names.join(", "));
        return ExitCode::FAILURE;
    }
    let watchdog = Arc::new(Watchdog::new(asked.found.clone()));
    Arc::clone(&watchdog).watch();
    let mut good = true;
    for target in targets {
        good &= match &asked.again {
            Some(path) => again(target, path),
            None => run(target, &asked, &watchdog),
        };
    }
    if good { ExitCode::SUCCESS } else { ExitCode::FAILURE }
}

fn again(target: Target, path: &Path) -> bool {
    let case = match Case::read(path) {
        Ok(case) => case,
        Err(error) => {
            eprintln!("{}: {error}", path.display());
            return false;
        }
    };
    let held = target.hold(&case);
    println!("{held:#?}");
    held.is_ok()
}

fn run(target: Target, asked: &Arguments, watchdog: &Watchdog) -> bool {
    let corpus = match target.corpus() {
        Ok(corpus) if !corpus.is_empty() => corpus,
        _ => {
            println!("{:<12} has no corpus", target.name());
            return false;
        }
    };
    let began = Instant::now();
    let round = Round { target, seed: asked.seed, count: asked.count, threads: usize::from(asked.threads) };
    let report = round.run(&corpus, watchdog);
    let per_second = asked.count as f64 / began.elapsed().as_secs_f64();
    println!(
        "{:<12} {:>9} cases, {:>9} of them answered, {per_second:.0} a second",
        target.name(),
        asked.count,
        report.answered
    );
    if asked.refusals {
        let mut refused: Vec<_> = report.refused.iter().collect();
        refused.sort_by_key(|(_, count)| std::cmp::Reverse(**count));
        refused.iter().for_each(|(words, count)| println!("    {count:>9} x {words}"));
    }
    keep(target, asked, &report);
    report.found.is_empty()
}

/// Writes the cases that show something wrong, and says what they show.
fn keep(target: Target, asked: &Arguments, report: &Report) {
    for (kind, (count, findings)) in &report.found {
        println!("  {count} x {kind}");
        for finding in findings {
            let folder = asked.found.join(format!("{}-{}-{}", target.name(), asked.seed, finding.number));
            match finding.case.write(&folder) {
                Ok(()) => println!("      {}: {}", folder.display(), finding.what),
                Err(error) => println!("      {} cannot be written ({error}): {}", folder.display(), finding.what),
            }
        }
    }
}
