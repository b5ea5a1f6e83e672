//! Computes the evidence anew: `cargo run --release -p icefront-validation -- evidence`.

use std::process::ExitCode;

use icefront_validation::evidence::{self, EvidenceError};

const USAGE: &str = "usage: icefront-validation evidence
  evidence   computes every prediction and rewrites data/evidence.json and docs/evidence.md";

fn main() -> ExitCode {
    let mut arguments = std::env::args().skip(1);
    let done = match (arguments.next().as_deref(), arguments.next()) {
        (Some("evidence"), None) => evidence::write(),
        _ => {
            eprintln!("{USAGE}");
            return ExitCode::from(2);
        }
    };
    done.map_or_else(|error| failed(&error), |()| ExitCode::SUCCESS)
}

fn failed(error: &EvidenceError) -> ExitCode {
    eprintln!("error: {error}");
    ExitCode::FAILURE
}
