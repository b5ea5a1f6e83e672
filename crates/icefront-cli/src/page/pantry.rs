//! The pantry on the page: the file `pantry.csv` of the folder, as `icefront store` keeps it.

use std::path::Path;

use super::files::Folder;
use crate::failure::Failure;
use crate::look::Look;
use crate::pantry::{Entry, PantryFile, choose, entries, packs_of_load};
use crate::report;
use crate::sheet::Sheet;
use crate::today::today;

/// The file, as `icefront store` calls it unless told otherwise.
pub const NAME: &str = "pantry.csv";

/// What is in it: the report's own words, as HTML.
#[derive(Debug)]
pub struct Shelf {
    /// Lots by what to eat first.
    pub list: String,
    /// Sums by food.
    pub summary: String,
}

/// Looks at what is in it.
pub fn look(folder: &Folder) -> Result<Shelf, Failure> {
    let lots = file(folder)?.lots()?;
    let today = today();
    let look = Look::Page;
    Ok(Shelf { list: report::after::list(&lots, today, look), summary: report::after::summary(&lots, today, look) })
}

/// Puts the packs of a load in; gives what was done, in words.
pub fn put(folder: &Folder, source: &str, sheet: &Sheet) -> Result<String, Failure> {
    let puts = packs_of_load(source, sheet, "", today())?;
    let numbers = file(folder)?.add(|lots| entries(lots, &puts, false, Path::new(NAME)))?;
    Ok(report::after::put(Path::new(NAME), numbers.into_iter().zip(&puts)))
}

/// Takes packs of a food or lot out; gives what was done, in words.
pub fn take(folder: &Folder, what: &str, packs: u32) -> Result<String, Failure> {
    let pantry = file(folder)?;
    // one that is not there is not begun by taking out
    pantry.lots()?;
    let mut taken = Vec::new();
    pantry.add(|lots| {
        taken = choose(lots, what, packs, Path::new(NAME))?;
        let date = today();
        Ok(taken.iter().map(|(take, _)| Entry::Take { date, lot: take.lot, packs: take.packs }).collect())
    })?;
    Ok(report::after::taken(&taken))
}

/// The file, which is no link to another.
fn file(folder: &Folder) -> Result<PantryFile, Failure> {
    folder.place(NAME).map(|path| PantryFile::new(&path))
}
