//! A finished batch: into the history, and what the history teaches, as `icefront log` and `icefront learn` do it, in the
//! same files of the folder: `history.csv`, and the learned dryer beside it.

use std::path::Path;

use icefront_core::learning::Errors;

use crate::page::files::{Over, short};
use crate::page::tools::{Asking, Told};
use crate::page::{draft, readings};
use icefront_kitchen::failure::Failure;
use icefront_kitchen::history::{self, USUAL_NAME};
use icefront_kitchen::learn;
use icefront_kitchen::readings::Readings;
use icefront_kitchen::style::Look;

/// Adds the batch of this sheet, with the readings beside it, to the history.
pub fn log(asking: &Asking<'_>) -> Result<Told, Failure> {
    let (name, text) = readings::text(asking.folder, asking.file)?;
    let answer = asking.answer;
    let read = Readings::of(text, &answer.sheet.load, &answer.result, &Errors::default())?;
    let (batch, read) = history::finished(asking.text, &answer.sheet, &answer.result, read, None)?;
    let file = asking.folder.place(USUAL_NAME)?;
    history::append(&file, &batch, asking.folder.files()).map_err(|failure| short(failure, USUAL_NAME))?;
    let report = icefront_kitchen::learn::text::logged(Path::new(USUAL_NAME), &batch, &read, Look::Page);
    Ok(Told::new("In the history", &["log", asking.name(), "--readings", &name], report))
}

/// Learns from the history what the dryer of this sheet is like, and writes that as a dryer file; one that is there is
/// replaced only where that was asked for.
pub fn learn(replace: bool, asking: &Asking<'_>) -> Result<Told, Failure> {
    let folder = asking.folder;
    let dryer = draft::Draft::parse(&asking.text.text).map_or(String::new(), |draft| draft.shown("dryer"));
    let dryer = dryer.trim();
    folder.check_dryer(dryer)?;
    let file = learn::entered(&learn::dryer_file(dryer, folder.path(), folder.files())?);
    let out = learn::usual_name(dryer);
    let over = match folder.version(&out) {
        Some(_) if !replace => return Err(Failure::Exists { path: out.into() }),
        Some(version) => Over::Version(version),
        None => Over::Nothing,
    };
    let history = folder.place(USUAL_NAME)?;
    let batches = history::read(&history, folder.files()).map_err(|failure| short(failure, USUAL_NAME))?;
    let told = learn::answer(&batches, Path::new(USUAL_NAME), &file, &Errors::default())?;
    folder.save(&out, &learn::with_learned(&file, &told.learned), &over)?;
    let force: &[&str] = if replace { &["--force"] } else { &[] };
    let arguments = [&["learn", USUAL_NAME, "--dryer", dryer], force].concat();
    Ok(Told::new(
        "What was learned",
        &arguments,
        icefront_kitchen::learn::text::text(&told, Path::new(&out), Look::Page),
    ))
}
