//! Holds the batch solver against the independent cabinet: `cargo run --release -p icefront-validation`. Computes the
//! evidence anew: `cargo run --release -p icefront-validation -- evidence`, and the table of bricks: `.. -- bricks`.

use std::process::ExitCode;

use icefront_validation::brick;
use icefront_validation::comparison_table;
use icefront_validation::evidence;

const USAGE: &str = "usage: icefront-validation [evidence|bricks]
  without a word: prints the batch solver against the independent cabinet; exit code 1 where it is out of bounds
  evidence   computes every prediction and rewrites data/evidence.json and docs/evidence.md
  bricks     freezes and dries bricks in three dimensions and rewrites data/bricks/*.csv (half an hour)";

fn main() -> ExitCode {
    let mut arguments = std::env::args().skip(1);
    match (arguments.next().as_deref(), arguments.next()) {
        (None, _) => match comparison_table::print_all() {
            Ok(within) => ExitCode::from(u8::from(!within)),
            Err(error) => failed(&error),
        },
        (Some("evidence"), None) => evidence::write().map_or_else(|error| failed(&error), |()| ExitCode::SUCCESS),
        (Some("bricks"), None) => brick::table::write().map_or_else(|error| failed(&error), |()| ExitCode::SUCCESS),
        _ => {
            eprintln!("{USAGE}");
            ExitCode::from(2)
        }
    }
}

fn failed(error: &dyn std::error::Error) -> ExitCode {
    eprintln!("error: {error}");
    ExitCode::FAILURE
}
