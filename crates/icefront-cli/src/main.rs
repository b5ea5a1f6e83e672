//! `icefront`: plan a freeze-drying batch.

use std::process::ExitCode;

fn main() -> ExitCode {
    icefront_cli::run(std::env::args_os())
}
