//! `icefront store`: the pantry of packs: put in, take out, list by what to eat first, sums by food.

use std::path::{Path, PathBuf};

use clap::{Args, Subcommand};
use icefront_core::aftercare::{Fattiness, Keeping, eat_first_s};
use icefront_core::ranges::Draws;
use icefront_core::units::Temperature;

use super::dried::{self, day, today};
use crate::after::bill::{self, Question};
use crate::after::packing::{FoodPacks, pack};
use crate::after::{batch, bill::Bill};
use crate::failure::Failure;
use crate::look::Look;
use crate::pantry::{Entry, Lot, PantryFile, Put, Take, take_oldest};
use crate::problem::nearest;
use crate::progress::while_working;
use crate::sheet::limits::{self, Limit};
use crate::weather::clock::Date;
use crate::{output, report, sheet};

/// Raw arguments.
#[derive(Debug, Args)]
#[command(after_help = "The columns of the pantry file and what spreadsheets may do to it: docs/after.md.")]
pub struct Arguments {
    #[command(subcommand)]
    action: Action,
}

#[derive(Debug, Subcommand)]
enum Action {
    /// Put packs in: those of a load as `icefront pack` divides it, or those told by --food.
    Put(PutArguments),
    /// Take packs out, of one lot or of the lots of a food that are to be eaten first.
    Take(TakeArguments),
    /// What is left, by what to eat first.
    List(LookArguments),
    /// Packs, mass, energy and value by food.
    Summary(LookArguments),
}

#[derive(Debug, Args)]
struct Where {
    /// Pantry file; `put` begins one.
    #[arg(long, value_name = "FILE", default_value = "pantry.csv")]
    file: PathBuf,
    /// Day, instead of the computer's.
    #[arg(long, value_name = "DATE", value_parser = day)]
    today: Option<Date>,
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
    #[arg(long, value_name = "MASS", requires = "food", value_parser = mass)]
    dry: Option<f64>,
    /// Water that brings one back.
    #[arg(long, value_name = "VOLUME", requires = "food", value_parser = volume)]
    water: Option<f64>,
    /// Fat in the dried food; without it the food counts as fatty.
    #[arg(long, value_name = "SHARE", requires = "food", value_parser = share)]
    fat: Option<f64>,
    /// The packs hold air: no absorber in them.
    #[arg(long, requires = "food")]
    air: bool,
    /// Shelf they stand on.
    #[arg(long, value_name = "TEMPERATURE", requires = "food", default_value = "20 C", allow_hyphen_values = true, value_parser = shelf)]
    shelf: f64,
    /// Allergens, in your words.
    #[arg(long, value_name = "TEXT", requires = "food")]
    allergens: Option<String>,
    /// Anything else to remember.
    #[arg(long, value_name = "TEXT")]
    note: Option<String>,
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

fn quantity(text: &str, limit: &Limit) -> Result<f64, String> {
    limit.read_text(text).map_err(|e| format!("{e}; allowed: {}", limit.words))
}

fn mass(text: &str) -> Result<f64, String> {
    quantity(text, &limits::AMOUNT)
}

fn volume(text: &str) -> Result<f64, String> {
    quantity(text, &limits::CONTAINER)
}

fn share(text: &str) -> Result<f64, String> {
    quantity(text, &limits::SHARE)
}

fn shelf(text: &str) -> Result<f64, String> {
    quantity(text, &limits::PACK_SHELF)
}

fn words(text: &str) -> Result<String, String> {
    let text = text.trim();
    if text.is_empty() { Err("nothing in it".into()) } else { Ok(text.to_string()) }
}

/// Reads or changes the pantry, and reports.
pub fn run(arguments: &Arguments, plain: bool) -> Result<(), Failure> {
    let look = Look::of(plain, &std::io::stdout());
    let told = match &arguments.action {
        Action::Put(put) => self::put(put)?,
        Action::Take(take) => self::take(take)?,
        Action::List(asked) => look_at(asked, look, report::after::list, report::after::list_json)?,
        Action::Summary(asked) => look_at(asked, look, report::after::summary, report::after::summary_json)?,
    };
    output::print(&told)
}

fn look_at(
    asked: &LookArguments,
    look: Look,
    text: fn(&[Lot], Date, Look) -> String,
    json: fn(&[Lot], Date) -> serde_json::Value,
) -> Result<String, Failure> {
    let lots = PantryFile::new(&asked.place.file).lots()?;
    let today = today(asked.place.today);
    if asked.json {
        Ok(report::after::json(&json(&lots, today)).map_err(std::io::Error::from)?)
    } else {
        Ok(text(&lots, today, look))
    }
}

fn put(arguments: &PutArguments) -> Result<String, Failure> {
    let date = today(arguments.place.today);
    let puts = match (&arguments.food, arguments.packs, arguments.dry) {
        (Some(food), Some(packs), Some(dry_kg)) => vec![by_hand(arguments, food, packs, dry_kg, date)],
        _ => match &arguments.load {
            Some(load) => of_load(load, arguments.note.as_deref().unwrap_or_default(), date)?,
            None => Vec::new(), // refused with the arguments
        },
    };
    let entries = puts.iter().cloned().map(Entry::Put).collect();
    let numbers = PantryFile::new(&arguments.place.file).add(|_| Ok(entries))?;
    Ok(report::after::put(&arguments.place.file, numbers.into_iter().zip(&puts)))
}

/// Packs told on the command line.
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
        shelf_c: celsius(keeping.shelf_k),
        eat_first: Date::of(date.start_s() + eat_first_s(&keeping)),
        value: None,
        currency: String::new(),
        allergens: arguments.allergens.clone().unwrap_or_default(),
        note: arguments.note.clone().unwrap_or_default(),
    }
}

fn celsius(kelvin: f64) -> f64 {
    // a tenth of a degree is more than anyone can tell
    (10.0 * Temperature::from_kelvin(kelvin).celsius()).round() / 10.0
}

/// Packs of a load, with their value where it tells prices.
fn of_load(load: &Path, note: &str, date: Date) -> Result<Vec<Put>, Failure> {
    let (source, sheet) = dried::read(&sheet::Text::read(load)?)?;
    let draws = &Draws { count: 0, seed: 1, threads: None };
    let (packing, bill) = while_working("computing the run", || -> Result<_, Failure> {
        if bill::check(&sheet).is_ok() {
            let (bill, packing) = bill::bill(&Question { sheet: &sheet, draws, start_s: 0.0 })?;
            return Ok((packing, Some(bill)));
        }
        Ok((pack(&sheet, &batch::run(&sheet, draws, |_| ())?), None))
    })?;
    if let Some(wet) = packing.foods.iter().find(|f| !f.dry_enough) {
        let reason = format!("{} would not be dry enough to keep; see `icefront pack`", wet.food);
        return Err(Failure::Unfit { path: source.into(), reason });
    }
    Ok(packing.foods.iter().enumerate().map(|(i, food)| of_food(food, i, bill.as_ref(), date, note)).collect())
}

fn of_food(food: &FoodPacks, index: usize, bill: Option<&Bill>, date: Date, note: &str) -> Put {
    let billed = bill.and_then(|bill| Some((bill.foods.get(index)?, &bill.currency)));
    let raw = if food.raw { "RAW: cook through before eating" } else { "" };
    Put {
        date,
        food: food.food.clone(),
        packs: food.packs.count.try_into().unwrap_or(u32::MAX),
        dry_g: rounded(1e3 * food.packs.dried_kg),
        water_ml: Some(rounded(1e3 * food.packs.water_to_add_kg)),
        energy_kj: Some((food.pack_energy_j / 1e3).round()),
        fat_percent: Some(rounded(100.0 * food.fat_per_dry)),
        without_oxygen: food.keeping.without_oxygen,
        shelf_c: celsius(food.keeping.shelf_k),
        eat_first: food.eat_first(date),
        value: billed.map(|(food, _)| food.total() / food.packs as f64),
        currency: billed.map_or_else(String::new, |(_, currency)| currency.clone()),
        allergens: food.allergens.clone().unwrap_or_default(),
        note: [raw, note].into_iter().filter(|part| !part.is_empty()).collect::<Vec<_>>().join("; "),
    }
}

/// To a tenth.
fn rounded(value: f64) -> f64 {
    (10.0 * value).round() / 10.0
}

fn take(arguments: &TakeArguments) -> Result<String, Failure> {
    let file = &arguments.place.file;
    if !file.exists() {
        PantryFile::new(file).lots()?;
    }
    let date = today(arguments.place.today);
    let mut taken = Vec::new();
    PantryFile::new(file).add(|lots| {
        taken = chosen(lots, &arguments.what, arguments.packs, file)?;
        Ok(taken.iter().map(|(take, _)| Entry::Take { date, lot: take.lot, packs: take.packs }).collect())
    })?;
    Ok(report::after::taken(&taken))
}

/// What to take, each with its lot.
fn chosen(lots: &[Lot], what: &str, packs: u32, file: &Path) -> Result<Vec<(Take, Lot)>, Failure> {
    let what = what.trim();
    let number: Option<u32> = what.parse().ok();
    let of = |lot: &&Lot| Some(lot.number) == number || lot.put.food.to_lowercase() == what.to_lowercase();
    let asked: Vec<&Lot> = lots.iter().filter(of).collect();
    if asked.is_empty() {
        let near = nearest(what, lots.iter().map(|lot| lot.put.food.as_str()));
        let help =
            near.map_or_else(|| "`icefront store list` tells what is there".into(), |n| format!("nearest: `{n}`"));
        return Err(Failure::UnknownName { what: "food or lot", asked: what.into(), help });
    }
    let left: u32 = asked.iter().map(|lot| lot.left).sum();
    let takes = take_oldest(asked.iter().copied(), packs).ok_or_else(|| Failure::Unfit {
        path: file.to_path_buf(),
        reason: format!("it has {left} of `{what}` left, so {packs} cannot be taken"),
    })?;
    Ok(takes
        .into_iter()
        .filter_map(|take| Some((take, (*asked.iter().find(|lot| lot.number == take.lot)?).clone())))
        .collect())
}
