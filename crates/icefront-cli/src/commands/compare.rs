//! `icefront compare`: several loads side by side.

use std::path::PathBuf;

use clap::Args;
use icefront_core::decide::compare::Pairing;

use crate::commands::{LoadArgument, Picture, SeedArguments};
use crate::{Disk, output, while_working};
use icefront_kitchen::compare::{self, Question};
use icefront_kitchen::sheet::APART;
use icefront_kitchen::sheet::vary::Vary;
use icefront_kitchen::{Failure, json};

/// Raw arguments.
#[derive(Debug, Args)]
#[command(after_help = "Load sheets are all compared with the first. \
                        Trays in words are one load:\n\n\
                        icefront compare \"chili, 1/2 in\" --vary depth=8mm,16mm\n\
                        icefront compare load.toml --vary depth=8mm,12mm,16mm --vary room=15C,25C\n\n\
                        Keys are those of the sheet; tray.2.depth is one tray's, dryer.heater.set_point the dryer's, \
                        and fill=50%,100% the food on every tray over what the sheet says. Without LOAD.toml the \
                        invented demonstration load is taken. More in docs/guide/compare.md.")]
pub struct Arguments {
    #[command(flatten)]
    load: LoadArgument,
    /// Values to try for one key of the sheet; given several times, all combinations.
    #[arg(long, value_name = "KEY=A,B,C", value_parser = Vary::read)]
    vary: Vec<Vary>,
    /// Compare with embedded pieces on their own tray; the same as --vary apart=true.
    #[arg(long)]
    apart: bool,
    /// Print JSON instead of text; its keys are listed in docs/json.md.
    #[arg(long)]
    json: bool,
    /// Also write the chart into this folder: compare.svg, compare.png.
    #[arg(long, value_name = "DIR")]
    out: Option<PathBuf>,
    /// Number of samples for each load. Default: 512 over the number of loads, from 32 to 256.
    #[arg(long = "samples", alias = "draws", value_name = "N", value_parser = clap::value_parser!(u32).range(8..=1_000_000))]
    draws: Option<u32>,
    #[command(flatten)]
    seed: SeedArguments,
    /// Give each load its own samples, to see what common samples are worth.
    #[arg(long, hide_short_help = true)]
    independent: bool,
    /// Overwrite existing files.
    #[arg(long, requires = "out")]
    force: bool,
}

/// Reads, checks, computes, reports, writes.
pub fn run(arguments: &Arguments, plain: bool) -> Result<(), Failure> {
    let question = question(arguments)?;
    let picture = Picture::check(arguments.out.as_deref(), "compare", None, arguments.force)?;
    let count = question.loads.len() * question.pairing.draws.count;
    let answer = while_working(&format!("computing {count} batches"), || question.answer())?;
    if let Some(picture) = picture {
        picture.write(&compare::chart(&question, &answer)?, None)?;
    }
    let as_text = |look| compare::text(&question, &answer, look);
    output::answer(arguments.json, plain, || json::text(&compare::comparison(&question, &answer)), as_text)
}

fn question(arguments: &Arguments) -> Result<Question, Failure> {
    let texts = arguments.load.texts()?;
    let apart = arguments.apart.then(|| Vary { key: APART.into(), values: vec!["true".into()] });
    let varied: Vec<Vary> = arguments.vary.iter().cloned().chain(apart).collect();
    let (loads, notes) = compare::loads(&texts, &varied, &Disk)?;
    if let [only] = &loads[..] {
        let reason = "there is nothing to compare it with; add --vary depth=8mm,16mm, --apart or another sheet";
        return Err(Failure::unfit(&only.file, reason));
    }
    let count = arguments.draws.map_or_else(|| Question::draws_for(loads.len()), |n| n as usize);
    let pairing = Pairing { draws: arguments.seed.draws(count), independent: arguments.independent };
    Ok(Question { loads, notes, pairing })
}
