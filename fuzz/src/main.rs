//! `cargo run --release -p icefront-fuzz -- [TARGET] --files N --seed S`

use std::process::ExitCode;
use std::thread;

use clap::Parser;
use icefront_fuzz::{Target, round};

/// Holds broken files against the readers of icefront.
#[derive(Debug, Parser)]
struct Arguments {
    /// Only this target.
    target: Option<String>,
    /// Files for each target and thread.
    #[arg(long, default_value_t = 100_000)]
    files: u64,
    /// Seed; each thread takes its own from it.
    #[arg(long, default_value_t = 1)]
    seed: u64,
    /// Threads.
    #[arg(long, default_value_t = 2)]
    threads: u64,
}

fn main() -> ExitCode {
    let asked = Arguments::parse();
    let targets: Vec<Target> =
        Target::all().into_iter().filter(|t| asked.target.as_deref().is_none_or(|name| name == t.name())).collect();
    let mut good = !targets.is_empty();
    for target in targets {
        good &= run(target, &asked);
    }
    if good { ExitCode::SUCCESS } else { ExitCode::FAILURE }
}

fn run(target: Target, asked: &Arguments) -> bool {
    let corpus = match target.corpus() {
        Ok(corpus) if !corpus.is_empty() => corpus,
        _ => {
            println!("{:<12} has no corpus", target.name());
            return false;
        }
    };
    let rounds: Vec<_> = thread::scope(|scope| {
        let workers: Vec<_> = (0..asked.threads)
            .map(|k| {
                let (corpus, seed) = (&corpus, asked.seed.wrapping_mul(asked.threads).wrapping_add(k));
                scope.spawn(move || round(target, corpus, asked.files, seed))
            })
            .collect();
        workers.into_iter().map(thread::ScopedJoinHandle::join).collect()
    });
    let mut taken = 0;
    for found in rounds {
        match found {
            Ok(Ok(count)) => taken += count,
            Ok(Err((bytes, what))) => {
                println!("{}: {what}\n{}", target.name(), String::from_utf8_lossy(&bytes));
                return false;
            }
            Err(_) => return false,
        }
    }
    println!("{:<12} {:>10} files, {taken} of them taken", target.name(), asked.files * asked.threads);
    true
}
