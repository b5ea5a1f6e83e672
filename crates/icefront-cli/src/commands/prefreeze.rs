//! `icefront prefreeze`: outdoors tonight, in a freezer, or in the machine?

use std::path::PathBuf;

use clap::Args;

use crate::commands::{LoadArgument, Picture};
use crate::{Disk, output, while_working};
use icefront_kitchen::prefreeze::{self, Question, limits};
use icefront_kitchen::quantity::WIND;
use icefront_kitchen::weather::clock::{Clock, Day};
use icefront_kitchen::weather::{Night, Outside, Stay, Weather};
use icefront_kitchen::{Failure, json};

/// Raw arguments.
#[derive(Debug, Args)]
#[command(after_help = "See docs/guide/weather.md for weather files and JSON keys; data/weather has nights to try.")]
pub struct Arguments {
    #[command(flatten)]
    load: LoadArgument,
    /// Hours of air temperature and wind: a CSV table or a typical year as EPW.
    #[arg(long, value_name = "FILE", conflicts_with = "temperature")]
    weather: Option<PathBuf>,
    /// Air outdoors all night, instead of a file.
    #[arg(long, value_name = "TEMPERATURE", allow_hyphen_values = true, value_parser = limits::NIGHT_AIR.option())]
    temperature: Option<f64>,
    /// Wind at the trays all night; without it still air.
    #[arg(long, value_name = "SPEED", conflicts_with = "weather", value_parser = WIND.option())]
    wind: Option<f64>,
    /// Evening on which the trays are set out, as 01-15; without it the coldest night of the file.
    #[arg(long, value_name = "DATE", conflicts_with = "temperature", value_parser = Day::read)]
    date: Option<Day>,
    /// When the trays are set out.
    #[arg(long, value_name = "CLOCK", default_value = limits::USUAL_SET_OUT, value_parser = Clock::read)]
    set_out: Clock,
    /// When they are taken in.
    #[arg(long, value_name = "CLOCK", default_value = limits::USUAL_UNTIL, value_parser = Clock::read)]
    until: Clock,
    /// Core that counts as frozen through.
    #[arg(long, value_name = "TEMPERATURE", default_value = limits::USUAL_CORE, allow_hyphen_values = true, value_parser = limits::CORE.option())]
    core: f64,
    /// Air of the freezer.
    #[arg(long, value_name = "TEMPERATURE", default_value = limits::USUAL_FREEZER, allow_hyphen_values = true, value_parser = limits::FREEZER.option())]
    freezer: f64,
    /// Lids over the trays: no sky, and no wind on the food.
    #[arg(long)]
    covered: bool,
    /// Wind at the trays over wind in the file, which a station measures 10 m up; 100 % where you measured it there.
    #[arg(long, value_name = "SHARE", default_value = limits::USUAL_WIND_SHARE, conflicts_with = "temperature", value_parser = limits::WIND_SHARE.option())]
    wind_share: f64,
    /// Print JSON instead of text.
    #[arg(long)]
    json: bool,
    /// Also write the night into this folder: night.csv, night.svg, night.png.
    #[arg(long, value_name = "DIR")]
    out: Option<PathBuf>,
    /// Overwrite existing files.
    #[arg(long, requires = "out")]
    force: bool,
}

const NIGHT_CSV: &str = "night.csv";

/// Reads, checks, computes, reports, writes.
pub fn run(arguments: &Arguments, plain: bool) -> Result<(), Failure> {
    let (text, sheet) = arguments.load.read()?;
    let (night, load) = (night(arguments)?, sheet.load);
    let question = Question { load, night, wanted_k: arguments.core, freezer_k: arguments.freezer };
    question.check().map_err(|unfit| Failure::unfit(&text.path, unfit))?;
    let picture = Picture::check(arguments.out.as_deref(), "night", Some(NIGHT_CSV), arguments.force)?;
    let answer = while_working("computing three batches", || question.answer())?;
    if let Some(picture) = picture {
        let table = prefreeze::night_csv(&question, &answer).map_err(std::io::Error::from)?;
        let svg = icefront_plot::night_chart_svg(&prefreeze::chart(&question, &answer))?;
        picture.write(&svg, Some((NIGHT_CSV, &table)))?;
    }
    let weather = arguments.weather.as_ref().map(|path| path.display().to_string());
    let as_text = |look| prefreeze::text(&text.name(), weather.as_deref(), &question, &answer, look);
    output::answer(arguments.json, plain, || json::text(&prefreeze::prefreezing(&question, &answer)), as_text)
}

/// Nothing says how cold the night is.
fn no_air() -> Failure {
    Failure::Unclear {
        words: None,
        question: "How cold will it be? Add --temperature \"-8 °C\" or --weather night.csv.".into(),
    }
}

fn night(arguments: &Arguments) -> Result<Night, Failure> {
    let stay = Stay { set_out: arguments.set_out, until: arguments.until, day: arguments.date };
    match &arguments.weather {
        Some(path) => {
            let outside = Outside { wind_share: arguments.wind_share, covered: arguments.covered };
            Night::from_file(&Weather::read(path, &Disk)?, stay, outside)
        }
        None => {
            let air_k = arguments.temperature.ok_or_else(no_air)?;
            Ok(Night::constant(air_k, arguments.wind.unwrap_or(0.0), stay, arguments.covered))
        }
    }
}
