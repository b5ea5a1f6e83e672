//! `icefront sweep`: many load sheets in, one answer a line out.

use std::io::{self, BufRead, BufReader, IsTerminal, Write};
use std::num::NonZeroUsize;
use std::path::{Path, PathBuf};
use std::thread;

use clap::Args;

use crate::disk::{Disk, input};
use crate::output;
use icefront_kitchen::failure::{Failure, plain_reason};
use icefront_kitchen::sweep::{Answered, Effort, Lines, answer};
use icefront_kitchen::{Look, storage};

/// Raw arguments.
#[derive(Debug, Args)]
#[command(
    after_help = "Each line is a load sheet as one JSON object: the keys of docs/load-sheet.md, and if you like \
                        an `id` that comes back with its answer. docs/sweep.md describes the rest."
)]
pub struct Arguments {
    /// File with one sheet a line; without it, or with `-`, standard input.
    #[arg(value_name = "SHEETS.jsonl")]
    sheets: Option<PathBuf>,
    /// Number of samples for each range; 0 uses typical numbers only.
    #[arg(long = "samples", alias = "draws", value_name = "N", default_value_t = 0, value_parser = clap::value_parser!(u32).range(0..=1_000_000))]
    draws: u32,
    /// Seed of the samples; the same seed gives the same answer.
    #[arg(long, value_name = "N", default_value_t = 1)]
    seed: u32,
    /// Threads to use; the answers are the same. Default: one per core.
    #[arg(long, value_name = "N")]
    threads: Option<NonZeroUsize>,
    /// End with exit code 1 if a sheet was refused. All sheets are answered all the same.
    #[arg(long)]
    strict: bool,
}

/// Sheets that each thread takes before the answers so far are put out.
const SHEETS_PER_THREAD: usize = 16;

/// Reads a few sheets, answers them on all threads, puts the answers out in order, and so on to the end.
pub fn run(arguments: &Arguments) -> Result<(), Failure> {
    let threads = arguments.threads.or_else(|| thread::available_parallelism().ok()).map_or(1, NonZeroUsize::get);
    let effort = Effort { draws: arguments.draws, seed: arguments.seed };
    let mut lines = Lines::new(open(arguments)?);
    let mut out = io::BufWriter::new(io::stdout().lock());
    let mut tally = Tally::default();
    loop {
        let name = arguments.sheets.as_deref().unwrap_or(Path::new(storage::STANDARD_INPUT));
        let sheets = lines.next_few(threads * SHEETS_PER_THREAD);
        let sheets = sheets.map_err(|e| Failure::unreadable(name, plain_reason(&e)))?;
        if sheets.is_empty() {
            return tally.verdict(arguments.strict);
        }
        let answered = answers(&sheets, threads, effort);
        answered.iter().for_each(|answer| tally.count(answer));
        let put =
            answered.iter().try_for_each(|answer| writeln!(out, "{}", icefront_kitchen::shown::shown(&answer.line)));
        match put.and_then(|()| out.flush()) {
            Err(e) if e.kind() == io::ErrorKind::BrokenPipe => return tally.verdict(arguments.strict),
            done => done?,
        }
    }
}

/// How many sheets there were, and which were refused.
#[derive(Default)]
struct Tally {
    sheets: usize,
    refused: usize,
    first: usize,
}

impl Tally {
    fn count(&mut self, answer: &Answered) {
        self.sheets += 1;
        if answer.refused {
            self.refused += 1;
            self.first = if self.refused == 1 { self.sheets } else { self.first };
        }
    }

    fn verdict(&self, strict: bool) -> Result<(), Failure> {
        match self.refused {
            refused if strict && refused > 0 => {
                Err(Failure::SheetsRefused { refused, of: self.sheets, first: self.first })
            }
            _ => Ok(()),
        }
    }
}

fn open(arguments: &Arguments) -> Result<Box<dyn BufRead>, Failure> {
    match &arguments.sheets {
        Some(path) if !storage::is_standard_input(path) => Ok(Box::new(BufReader::new(input::open(path)?))),
        _ => {
            if io::stdin().is_terminal() {
                output::complain("reading sheets from the keyboard, one JSON object a line", Look::Bare);
            }
            Ok(Box::new(io::stdin().lock()))
        }
    }
}

/// The answers in the order of the sheets; thread k takes every threads-th.
fn answers(sheets: &[Vec<u8>], threads: usize, effort: Effort) -> Vec<Answered> {
    let mut answers = vec![Answered::default(); sheets.len()];
    thread::scope(|scope| {
        let mut shares: Vec<Vec<(&Vec<u8>, &mut Answered)>> = (0..threads).map(|_| Vec::new()).collect();
        for (i, pair) in sheets.iter().zip(&mut answers).enumerate() {
            shares[i % threads].push(pair);
        }
        for share in shares {
            scope.spawn(move || share.into_iter().for_each(|(sheet, place)| *place = answer(sheet, effort, &Disk)));
        }
    });
    answers
}
