//! What goes into a pantry and what comes out: packs of a dried load, and the lots that are to be eaten first.

use std::path::Path;

use icefront_core::ranges::Draws;
use icefront_core::units::Temperature;

use crate::bill::{self, Bill, Question};
use crate::pack::batch::{self, DryMatter};
use crate::pack::packing::{FoodPacks, pack};
use crate::pantry::entry::{Entry, Put};
use crate::pantry::lots::{Lot, Take, take_oldest};
use crate::problem::nearest;
use crate::weather::clock::Date;
use crate::{Failure, Sheet, format};

/// Packs of a load, with their value where the sheet has prices.
pub fn packs_of_load(source: &str, sheet: &Sheet, note: &str, date: Date) -> Result<Vec<Put>, Failure> {
    let draws = &Draws { count: 0, seed: 1, threads: None };
    let (packing, bill) = if bill::check(sheet).is_ok() {
        let (bill, packing) = bill::bill(&Question { sheet, draws, start_s: 0.0 })?;
        (packing, Some(bill))
    } else {
        (pack(sheet, &batch::run(sheet, draws, DryMatter::Drawn, |_| ())?), None)
    };
    if let Some(wet) = packing.foods.iter().find(|f| !f.dry_enough) {
        return Err(Failure::unfit(
            source,
            format!("{} would not be dry enough to keep; see `icefront pack`", wet.food),
        ));
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
        energy_kj: Some(food.pack_energy_kj.round()),
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

/// Packs as entries, unless some of them are in the pantry already: put in on the same day, and alike in all that a line
/// holds. `again`: put in all the same.
///
/// # Errors
/// Which lot is alike.
pub fn entries(lots: &[Lot], puts: &[Put], again: bool, file: &Path) -> Result<Vec<Entry>, Failure> {
    let alike = lots.iter().find(|lot| puts.iter().any(|put| put.as_written() == lot.put));
    match alike.filter(|_| !again) {
        Some(lot) => {
            let packs = format::count(lot.put.packs as usize, "pack");
            let there = format!("lot {}: {packs} of {}, put in on {}", lot.number, lot.put.food, lot.put.date);
            Err(Failure::AlreadyPut { path: file.to_path_buf(), there })
        }
        None => Ok(puts.iter().cloned().map(Entry::Put).collect()),
    }
}

/// To a tenth.
fn rounded(value: f64) -> f64 {
    (10.0 * value).round() / 10.0
}

/// To a tenth of a degree.
pub fn celsius(kelvin: f64) -> f64 {
    // a tenth of a degree is more than anyone can tell
    (10.0 * Temperature::from_kelvin(kelvin).celsius()).round() / 10.0
}

/// What to take, each with its lot.
pub fn choose(lots: &[Lot], what: &str, packs: u32, file: &Path) -> Result<Vec<(Take, Lot)>, Failure> {
    if lots.is_empty() {
        return Err(Failure::unfit(file, "the pantry is empty; `icefront store put` adds packs"));
    }
    let what = what.trim();
    let number: Option<u32> = what.parse().ok();
    let of = |lot: &&Lot| Some(lot.number) == number || lot.put.food.to_lowercase() == what.to_lowercase();
    let matching: Vec<&Lot> = lots.iter().filter(of).collect();
    if matching.is_empty() {
        let near = nearest(what, lots.iter().map(|lot| lot.put.food.as_str()));
        let help =
            near.map_or_else(|| "`icefront store list` shows what is there".into(), |n| format!("did you mean `{n}`?"));
        return Err(Failure::unknown("food or lot", what, help));
    }
    let left: u32 = matching.iter().map(|lot| lot.left).sum();
    let too_few = || Failure::unfit(file, format!("only {} of `{what}` left", format::count(left as usize, "pack")));
    let takes = take_oldest(matching.iter().copied(), packs).ok_or_else(too_few)?;
    Ok(takes
        .into_iter()
        .filter_map(|take| Some((take, (*matching.iter().find(|lot| lot.number == take.lot)?).clone())))
        .collect())
}
