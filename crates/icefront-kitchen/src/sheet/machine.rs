//! The dryer or the rig that a sheet names.

use std::path::Path;

use icefront_core::machine::Dryer;

use crate::problem::spelling_help;
use crate::quantity::KeyPath;
use crate::sheet::change::Change;
use crate::sheet::entries::Entries;
use crate::sheet::learned::Known;
use crate::sheet::section::Section;
use crate::sheet::{dryer, rig};
use crate::{Failure, Storage, Text};

/// The dryer or rig a sheet names, with what was read of its file.
pub(super) struct Machine {
    /// For the model.
    pub(super) dryer: Dryer,
    /// Its file, if it has one.
    pub(super) entries: Option<Entries>,
    /// That file's uncertain quantities.
    pub(super) given: Vec<KeyPath>,
    /// What batches taught about it.
    pub(super) learned: Option<Known>,
}

/// The rig of a sheet.
pub(super) fn rig(sheet: &Section<'_>) -> Option<Dryer> {
    sheet.section("rig").and_then(|table| rig::read(&table)).map(Dryer::Prescribed)
}

impl Machine {
    /// Of a dryer file.
    pub(super) fn read(text: &Text, changes: &[Change]) -> Result<Self, Failure> {
        let file = dryer::read_changed(text, changes)?;
        let (cabinet, learned) = file.made;
        let dryer = Dryer::Cabinet(Box::new(cabinet));
        Ok(Self { dryer, entries: Some(file.entries), given: file.given, learned })
    }

    /// The dryer or rig; the error is a dryer file that cannot be used.
    pub(super) fn named(
        sheet: &Section<'_>,
        folder: &Path,
        changes: &[Change],
        files: &dyn Storage,
    ) -> Result<Option<Self>, Failure> {
        if sheet.has("rig") {
            sheet.refuse(&["dryer"], "a `[rig]`", "give one of them");
            return Ok(rig(sheet).map(|dryer| Self { dryer, entries: None, given: Vec::new(), learned: None }));
        }
        let names: Vec<&str> = dryer::BUILT_IN.iter().map(|(name, _)| *name).collect();
        let help = "such as dryer = \"0.60 m2\"; `icefront dryers` lists them";
        let Some(name) = sheet.required("dryer", sheet.text("dryer"), help) else { return Ok(None) };
        let Some(text) = dryer::file(name, folder, files)? else {
            let help = format!("{}; or the path of a dryer file ending in .toml", spelling_help(name, &names));
            sheet.note("dryer", format!("no dryer is named `{name}`"), "not a built-in dryer", help);
            return Ok(None);
        };
        Self::read(&text, changes).map(Some)
    }
}
