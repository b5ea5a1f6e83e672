//! The pantry on the page: the file `pantry.csv` of the folder, as `icefront store` keeps it.

use std::path::Path;

use icefront_kitchen::format::UnitSystem;
use icefront_kitchen::pantry::{Entry, PantryFile, choose, entries, packs_of_load, text};
use icefront_kitchen::{Failure, Look, Sheet};

use crate::Environment;
use crate::names::PANTRY;

/// What is in it, in the words of the report, as HTML.
#[derive(Debug)]
pub struct Shelf {
    /// Lots by what to eat first.
    pub list: String,
    /// Sums by food.
    pub summary: String,
}

/// Shows what is in it.
pub fn show(page: &Environment<'_>) -> Result<Shelf, Failure> {
    let lots = PantryFile::new(&page.folder.place(PANTRY)?, page.folder.files()).lots()?;
    let (today, look, units) = (page.today, Look::Page, UnitSystem::Metric);
    Ok(Shelf { list: text::list(&lots, today, units, look), summary: text::summary(&lots, units, look) })
}

/// Puts the packs of a load in; says what was done.
pub fn put(page: &Environment<'_>, source: &str, sheet: &Sheet) -> Result<String, Failure> {
    let (name, path) = (Path::new(PANTRY), page.folder.place(PANTRY)?);
    let puts = packs_of_load(source, sheet, "", page.today)?;
    let pantry = PantryFile::new(&path, page.folder.files());
    let numbers = pantry.add(|lots| entries(lots, &puts, false, name))?;
    Ok(text::put(name, numbers.into_iter().zip(&puts), sheet.load.units))
}

/// Takes packs of a food or lot out; says what was done.
pub fn take(page: &Environment<'_>, what: &str, packs: u32) -> Result<String, Failure> {
    let path = page.folder.place(PANTRY)?;
    let pantry = PantryFile::new(&path, page.folder.files());
    let (date, mut taken) = (page.today, Vec::new());
    pantry.add(|lots| {
        taken = choose(lots, what, packs, Path::new(PANTRY))?;
        Ok(taken.iter().map(|(take, _)| Entry::Take { date, lot: take.lot, packs: take.packs }).collect())
    })?;
    Ok(text::taken(&taken, UnitSystem::Metric))
}
