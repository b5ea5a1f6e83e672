//! The pantry on the page: the file `pantry.csv` of the folder, as `icefront store` keeps it.

use std::path::Path;

use crate::page::files::Folder;
use crate::today::today;
use icefront_kitchen::failure::Failure;
use icefront_kitchen::pantry::{Entry, PantryFile, choose, entries, packs_of_load};
use icefront_kitchen::sheet::Sheet;
use icefront_kitchen::style::Look;

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
    let lots = PantryFile::new(&folder.place(NAME)?, folder.files()).lots()?;
    let today = today();
    let look = Look::Page;
    Ok(Shelf {
        list: icefront_kitchen::pantry::text::list(&lots, today, look),
        summary: icefront_kitchen::pantry::text::summary(&lots, today, look),
    })
}

/// Puts the packs of a load in; gives what was done, in words.
pub fn put(folder: &Folder, source: &str, sheet: &Sheet) -> Result<String, Failure> {
    let puts = packs_of_load(source, sheet, "", today())?;
    let numbers = PantryFile::new(&folder.place(NAME)?, folder.files())
        .add(|lots| entries(lots, &puts, false, Path::new(NAME)))?;
    Ok(icefront_kitchen::pantry::text::put(Path::new(NAME), numbers.into_iter().zip(&puts)))
}

/// Takes packs of a food or lot out; gives what was done, in words.
pub fn take(folder: &Folder, what: &str, packs: u32) -> Result<String, Failure> {
    let path = folder.place(NAME)?;
    let pantry = PantryFile::new(&path, folder.files());
    // one that is not there is not begun by taking out
    pantry.lots()?;
    let mut taken = Vec::new();
    pantry.add(|lots| {
        taken = choose(lots, what, packs, Path::new(NAME))?;
        let date = today();
        Ok(taken.iter().map(|(take, _)| Entry::Take { date, lot: take.lot, packs: take.packs }).collect())
    })?;
    Ok(icefront_kitchen::pantry::text::taken(&taken))
}
