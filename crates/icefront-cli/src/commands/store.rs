//! `icefront store`: the pantry of packs: put in, take out, list by what to eat first, sums by food.

use std::path::PathBuf;

use clap::{Args, Subcommand};
use icefront_core::aftercare::{Fattiness, Keeping, eat_first_s};

use crate::commands::units::UnitsArgument;
use crate::today::{day, today};
use crate::{Disk, output, while_working};
use icefront_kitchen::pantry::{self, Entry, Lot, PantryFile, Put, left, sums};
use icefront_kitchen::quantity::{AMOUNT, CONTAINER, PACK_SHELF, SHARE};
use icefront_kitchen::sheet::{self, Text};
use icefront_kitchen::weather::clock::{Date, date_of, start_s};
use icefront_kitchen::{Failure, json};

/// Raw arguments.
#[derive(Debug, Args)]
#[command(after_help = "See docs/guide/after.md for the columns of the pantry file and editing it in a spreadsheet.")]
pub struct Arguments {
    #[command(subcommand)]
    action: Action,
}

#[derive(Debug, Subcommand)]
enum Action {
    /// Put packs in: those of a load as `icefront pack` divides it, or those given by --food.
    Put(PutArguments),
    /// Take packs out: of one lot, or the oldest of a food.
    Take(TakeArguments),
    /// List what is left, with what to use first at the top.
    List(LookArguments),
    /// Show packs, mass, energy and value by food.
    Summary(LookArguments),
}

#[derive(Debug, Args)]
struct Where {
    /// Pantry file; `put` makes one if there is none.
    #[arg(long, value_name = "FILE", default_value = "pantry.csv")]
    file: PathBuf,
    /// Day, instead of the computer's.
    #[arg(long, value_name = "DATE", value_parser = day)]
    today: Option<Date>,
    #[command(flatten)]
    units: UnitsArgument,
}

#[derive(Debug, Args)]
struct PutArguments {
    /// Load sheet whose packs are put in.
    #[arg(value_name = "LOAD.toml", required_unless_present = "food")]
    load: Option<PathBuf>,
    #[command(flatten)]
    place: Where,
    /// Food of packs that come from no load sheet.
    #[arg(long, requires_all = ["packs", "dry"], conflicts_with = "load", value_parser = words)]
    food: Option<String>,
    /// How many packs.
    #[arg(long, value_name = "N", requires = "food", value_parser = clap::value_parser!(u32).range(1..=100_000))]
    packs: Option<u32>,
    /// Dried food in one pack.
    #[arg(long, value_name = "MASS", requires = "food", value_parser = AMOUNT.option())]
    dry: Option<f64>,
    /// Water that brings one back.
    #[arg(long, value_name = "VOLUME", requires = "food", value_parser = CONTAINER.option())]
    water: Option<f64>,
    /// Fat in the dried food; without it the food counts as fatty.
    #[arg(long, value_name = "SHARE", requires = "food", value_parser = SHARE.option())]
    fat: Option<f64>,
    /// The packs hold air: no absorber in them.
    #[arg(long, requires = "food")]
    air: bool,
    /// Temperature of the shelf.
    #[arg(long, value_name = "TEMPERATURE", requires = "food", default_value = "20 °C", allow_hyphen_values = true, value_parser = PACK_SHELF.option())]
    shelf: f64,
    /// Allergens, in your words.
    #[arg(long, value_name = "TEXT", requires = "food")]
    allergens: Option<String>,
    /// Anything else to remember.
    #[arg(long, value_name = "TEXT")]
    note: Option<String>,
    /// Put them in even if the same packs were already put in today.
    #[arg(long)]
    again: bool,
}

#[derive(Debug, Args)]
struct TakeArguments {
    /// Food, or the number of a lot.
    #[arg(value_name = "FOOD|LOT")]
    what: String,
    /// How many packs.
    #[arg(value_name = "N", default_value_t = 1, value_parser = clap::value_parser!(u32).range(1..=100_000))]
    packs: u32,
    #[command(flatten)]
    place: Where,
}

#[derive(Debug, Args)]
struct LookArguments {
    #[command(flatten)]
    place: Where,
    /// Print JSON instead of text.
    #[arg(long)]
    json: bool,
}

fn words(text: &str) -> Result<String, String> {
    let text = text.trim();
    if text.is_empty() { Err("nothing in it".into()) } else { Ok(text.to_string()) }
}

/// Reads or changes the pantry, and reports.
pub fn run(arguments: &Arguments, plain: bool) -> Result<(), Failure> {
    match &arguments.action {
        Action::Put(put) => output::print(&self::put(put)?),
        Action::Take(take) => output::print(&self::take(take)?),
        Action::List(LookArguments { place, json }) => {
            let ((lots, today), units) = (place.lots()?, place.units.units()?);
            let as_text = |look| pantry::text::list(&lots, today, units, look);
            output::answer(*json, plain, || json::text(&left(&lots, today)), as_text)
        }
        Action::Summary(LookArguments { place, json }) => {
            let ((lots, today), units) = (place.lots()?, place.units.units()?);
            let as_text = |look| pantry::text::summary(&lots, units, look);
            output::answer(*json, plain, || json::text(&sums(&lots, today)), as_text)
        }
    }
}

impl Where {
    fn date(&self) -> Date {
        self.today.unwrap_or_else(today)
    }

    fn lots(&self) -> Result<(Vec<Lot>, Date), Failure> {
        Ok((PantryFile::new(&self.file, &Disk).lots()?, self.date()))
    }
}

fn put(arguments: &PutArguments) -> Result<String, Failure> {
    let date = arguments.place.date();
    let puts = match (&arguments.food, arguments.packs, arguments.dry) {
        (Some(food), Some(packs), Some(dry_kg)) => vec![by_hand(arguments, food, packs, dry_kg, date)],
        _ => match &arguments.load {
            Some(load) => {
                let text = Text::read(load, &Disk)?;
                let sheet = sheet::read(&text, &Disk)?;
                let note = arguments.note.as_deref().unwrap_or_default();
                while_working("computing the run", || pantry::packs_of_load(&text.name(), &sheet, note, date))?
            }
            None => Vec::new(), // refused with the arguments
        },
    };
    let file = &arguments.place.file;
    let numbers = PantryFile::new(file, &Disk).add(|lots| pantry::entries(lots, &puts, arguments.again, file))?;
    Ok(pantry::text::put(&arguments.place.file, numbers.into_iter().zip(&puts), arguments.place.units.units()?))
}

/// Packs given on the command line.
fn by_hand(arguments: &PutArguments, food: &str, packs: u32, dry_kg: f64, date: Date) -> Put {
    let keeping = Keeping {
        fat: arguments.fat.map_or(Fattiness::Fatty, Fattiness::of),
        without_oxygen: !arguments.air,
        shelf_k: arguments.shelf,
    };
    Put {
        date,
        food: food.into(),
        packs,
        dry_g: 1e3 * dry_kg,
        water_ml: arguments.water.map(|cubic_metres| 1e6 * cubic_metres),
        energy_kj: None,
        fat_percent: arguments.fat.map(|share| 100.0 * share),
        without_oxygen: keeping.without_oxygen,
        shelf_c: pantry::celsius(keeping.shelf_k),
        eat_first: date_of(start_s(date) + eat_first_s(&keeping)),
        value: None,
        currency: String::new(),
        allergens: arguments.allergens.clone().unwrap_or_default(),
        note: arguments.note.clone().unwrap_or_default(),
    }
}

fn take(arguments: &TakeArguments) -> Result<String, Failure> {
    let file = &arguments.place.file;
    let date = arguments.place.date();
    let mut taken = Vec::new();
    PantryFile::new(file, &Disk).add(|lots| {
        taken = pantry::choose(lots, &arguments.what, arguments.packs, file)?;
        Ok(taken.iter().map(|(take, _)| Entry::Take { date, lot: take.lot, packs: take.packs }).collect())
    })?;
    Ok(pantry::text::taken(&taken, arguments.place.units.units()?))
}
