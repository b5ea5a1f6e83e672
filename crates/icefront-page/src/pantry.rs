//! The pantry on the page: the file `pantry.csv` of the folder, as `icefront store` keeps it.

use std::path::Path;

use icefront_kitchen::format::UnitSystem;
use icefront_kitchen::pantry::{Entry, Lot, PantryFile, Take, entries, packs_of_load, text};
use icefront_kitchen::storage::{self, LARGEST_TABLE};
use icefront_kitchen::{Failure, Sheet};

use crate::Environment;
use crate::folder::version;
use crate::names::PANTRY;

/// What was done to it, and how to take that back.
#[derive(Clone, Debug, PartialEq)]
pub struct Done {
    /// In words.
    pub words: String,
    /// The last change.
    pub last: Option<LastChange>,
}

/// Lines that were added last: what stood before them, and the version with them.
#[derive(Clone, Debug, PartialEq)]
pub struct LastChange {
    /// Bytes before them.
    pub before: usize,
    /// The file with them.
    pub version: String,
}

/// Lots with packs left, by what to eat first.
pub fn lots(page: &Environment<'_>) -> Result<Vec<Lot>, Failure> {
    let lots = PantryFile::new(&page.folder.place(PANTRY)?, page.folder.files()).lots()?;
    Ok(lots.into_iter().filter(|lot| lot.left > 0).collect())
}

/// Puts the packs of a load in.
pub fn put(page: &Environment<'_>, source: &str, sheet: &Sheet) -> Result<Done, Failure> {
    let (name, path) = (Path::new(PANTRY), page.folder.place(PANTRY)?);
    let puts = packs_of_load(source, sheet, "", page.today)?;
    let before = content(page)?.len();
    let numbers = PantryFile::new(&path, page.folder.files()).add(|lots| entries(lots, &puts, false, name))?;
    done(page, before, text::put(name, numbers.into_iter().zip(&puts), sheet.load.units))
}

/// Takes one pack of a lot out.
pub fn take(page: &Environment<'_>, lot: u32) -> Result<Done, Failure> {
    let path = page.folder.place(PANTRY)?;
    let (date, mut taken) = (page.today, Vec::new());
    let before = content(page)?.len();
    PantryFile::new(&path, page.folder.files()).add(|lots| {
        let found = lots.iter().find(|known| known.number == lot && known.left > 0);
        let found = found.ok_or_else(|| Failure::unfit(PANTRY, format!("no pack of lot {lot} is left")))?;
        taken = vec![(Take { lot, packs: 1 }, found.clone())];
        Ok(vec![Entry::Take { date, lot, packs: 1 }])
    })?;
    done(page, before, text::taken(&taken, UnitSystem::Metric))
}

/// Takes the last change back, if nothing came after it.
pub fn take_back(page: &Environment<'_>, last: &LastChange) -> Result<Done, Failure> {
    let path = page.folder.place(PANTRY)?;
    page.folder.files().update(&path, &mut |old| {
        let text = String::from_utf8(old.unwrap_or_default()).unwrap_or_default();
        match text.get(..last.before) {
            Some(kept) if version(&text) == last.version && kept.ends_with('\n') => Ok(kept.as_bytes().to_vec()),
            _ => Err(Failure::unfit(PANTRY, "it was changed since; take it back there by hand")),
        }
    })?;
    Ok(Done { words: "The last change is taken back.".into(), last: None })
}

fn done(page: &Environment<'_>, before: usize, words: String) -> Result<Done, Failure> {
    // the first change begins the file, which then stays, with its header alone
    let text = content(page)?;
    let header = text.find('\n').map_or(0, |end| end + 1);
    Ok(Done { words, last: Some(LastChange { before: before.max(header), version: version(&text) }) })
}

fn content(page: &Environment<'_>) -> Result<String, Failure> {
    let path = page.folder.place(PANTRY)?;
    if page.folder.files().entry(&path) == storage::Entry::Missing {
        return Ok(String::new());
    }
    Ok(String::from_utf8(page.folder.files().read(&path, LARGEST_TABLE)?).unwrap_or_default())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{Folder, Settings};
    use icefront_kitchen::storage::Memory;
    use icefront_kitchen::weather::clock::Date;

    #[test]
    fn what_is_put_in_comes_out_and_each_step_can_be_taken_back() {
        let folder = Folder::new(Path::new(""), Memory::default());
        let settings = Settings { draws: 8, seed: 1 };
        let page = Environment { folder: &folder, settings, today: Date::constant(2026, 1, 15), link: None };
        let sheet = icefront_kitchen::sheet::read(&icefront_kitchen::sheet::demonstration(), folder.files()).unwrap();
        let in_all = || lots(&page).unwrap().iter().map(|lot| lot.left).sum::<u32>();
        let first = put(&page, "a.toml", &sheet).unwrap();
        let packs = in_all();
        assert!(packs > 5, "{packs}");
        let lot = lots(&page).unwrap()[0].number;
        let taken = take(&page, lot).unwrap();
        assert_eq!(in_all(), packs - 1, "{}", taken.words);
        let late = take_back(&page, first.last.as_ref().unwrap());
        assert!(late.unwrap_err().to_string().contains("changed since"), "only the last change");
        take_back(&page, taken.last.as_ref().unwrap()).unwrap();
        assert_eq!(in_all(), packs);
        take_back(&page, first.last.as_ref().unwrap()).unwrap();
        assert_eq!(in_all(), 0);
        assert!(take(&page, lot).is_err());
    }
}
