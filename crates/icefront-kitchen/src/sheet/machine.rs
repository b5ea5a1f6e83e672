//! The dryer or the rig that a sheet names.

use std::path::Path;

use icefront_core::machine::Dryer;

use crate::failure::Failure;
use crate::problem::spelling_help;
use crate::sheet::learned::Known;
use crate::sheet::section::Section;
use crate::sheet::text::{Reading, Text};
use crate::sheet::{Change, dryer, rig};
use crate::storage::Storage;

/// The dryer or rig a sheet names, with the file it was read from and that file's rough quantities.
pub(super) struct Machine {
    /// For the model.
    pub(super) dryer: Dryer,
    /// Its file, if it has one.
    pub(super) text: Option<Text>,
    /// That file's rough quantities.
    pub(super) rough: Vec<String>,
    /// What batches taught about it.
    pub(super) learned: Option<Known>,
}

impl Machine {
    /// Of a dryer file.
    pub(super) fn read(text: Text, changes: &[Change]) -> Result<Self, Failure> {
        let reading = Reading { changes, ..Reading::TYPICAL };
        let dryer::DryerFile { cabinet, rough, learned } = dryer::read_text(&text, &reading)?;
        Ok(Self { dryer: Dryer::Cabinet(Box::new(cabinet)), text: Some(text), rough, learned })
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
            let rig = sheet.section("rig").and_then(|table| rig::read(&table)).map(Dryer::Prescribed);
            return Ok(rig.map(|dryer| Self { dryer, text: None, rough: Vec::new(), learned: None }));
        }
        let names: Vec<&str> = dryer::BUILT_IN.iter().map(|(name, _)| *name).collect();
        let help = "such as dryer = \"0.60 m2\"; `icefront dryers` lists them";
        let Some(name) = sheet.required("dryer", sheet.text("dryer"), help) else { return Ok(None) };
        let Some(text) = dryer::file(name, folder, files)? else {
            let help = format!("{}; or the path of a dryer file ending in .toml", spelling_help(name, &names));
            sheet.note("dryer", format!("no dryer is named `{name}`"), "not a built-in dryer", Some(help));
            return Ok(None);
        };
        Self::read(text, changes).map(Some)
    }
}
