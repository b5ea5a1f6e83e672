//! `icefront report`: load sheet in, one page out, to read, print and take to the dryer.

use std::path::PathBuf;

use clap::Args;

use crate::commands::load::USUAL_START;
use crate::commands::{DrawArguments, LoadArgument};
use crate::{Targets, output, while_working};
use icefront_kitchen::Failure;
use icefront_kitchen::plan::Run;
use icefront_kitchen::plan::document::Document;
use icefront_kitchen::weather::clock::Clock;

/// Raw arguments.
#[derive(Debug, Args)]
#[command(after_help = "`icefront new` writes a sheet.")]
pub struct Arguments {
    #[command(flatten)]
    load: LoadArgument,
    /// Where to write the page.
    #[arg(long, value_name = "FILE", default_value = "report.html")]
    out: PathBuf,
    /// When the machine is started, such as 18:00 or "6 pm" [default: 18:00].
    #[arg(long, value_name = "CLOCK", value_parser = Clock::read)]
    start: Option<Clock>,
    #[command(flatten)]
    draws: DrawArguments,
    /// Overwrite an existing file.
    #[arg(long)]
    force: bool,
}

/// Reads, checks, computes, writes.
pub fn run(arguments: &Arguments) -> Result<(), Failure> {
    let (text, sheet) = arguments.load.read()?;
    let (targets, name) = Targets::check_file(&arguments.out, arguments.force)?;
    let run = while_working("computing the range", || Run::of(&sheet, &arguments.draws.draws()))?;
    let near = run.limits(&sheet)?;
    let document = Document::new(&text.name(), &sheet, &run, near.as_ref());
    let start = arguments.load.start(arguments.start)?.unwrap_or(USUAL_START);
    let page = icefront_kitchen::report::html(&document, &run, start)?;
    targets.write(&[(name, page.as_bytes())])?;
    output::print(&format!("Wrote {}. Open it in a browser, or print it.\n", arguments.out.display()))
}
