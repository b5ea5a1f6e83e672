//! Questions during and after a run: what the readings say, whether it is dry, and what a finished batch teaches, in the
//! files that `icefront log` and `icefront learn` use too.

use std::path::Path;

use icefront_core::learning::{Effort, Errors};
use icefront_kitchen::{Failure, Look, Readings, history, learn, running};

use crate::editor::Editor;
use crate::folder::short;
use crate::names::HISTORY;
use crate::questions::{Context, Report};
use crate::readings;

/// Draws of each round that readings are weighed against, at least.
const LEAST_DRAWS: usize = 64;

/// The readings kept beside the sheet, checked, and the name of their file.
fn readings(context: &Context<'_>) -> Result<(Readings, String), Failure> {
    let (name, text) = readings::text(context.environment.folder, &context.request.file)?;
    let answer = context.answer;
    Ok((Readings::of(text, &answer.sheet.load, &answer.run.result, &Errors::default())?, name))
}

fn effort(context: &Context<'_>) -> Effort {
    let settings = context.environment.settings;
    Effort { draws: settings.draws.max(LEAST_DRAWS), seed: settings.seed, ..Effort::default() }
}

/// What the readings so far say.
#[derive(Debug)]
pub struct Updated {
    /// Them.
    pub readings: Readings,
    /// What they say.
    pub answer: running::Answer,
    /// The name of their file.
    name: String,
}

/// Weighs the answer by the readings.
pub fn updated(context: &Context<'_>) -> Result<Updated, Failure> {
    let (readings, name) = readings(context)?;
    let (sheet, typical) = (&context.answer.sheet, &context.answer.run.result);
    let answer = running::update(sheet, typical, &readings, &Errors::default(), &effort(context))?;
    Ok(Updated { readings, answer, name })
}

/// `icefront update`
pub fn update(context: &Context<'_>, updated: &Updated) -> Report {
    let (sheet, typical) = (&context.answer.sheet, &context.answer.run.result);
    let text = running::update_text::text(sheet, typical, &updated.readings, &updated.answer, Look::Page);
    Report::new("With the readings so far", ["update", context.name(), "--readings", &updated.name], text)
}

/// `icefront dry`
pub fn dry(context: &Context<'_>) -> Result<Report, Failure> {
    let (read, name) = readings(context)?;
    let (sheet, typical) = (&context.answer.sheet, &context.answer.run.result);
    let answer = running::dryness(sheet, typical, &read, &Errors::default(), &effort(context))?;
    let text = running::dry_text::text(sheet, typical, &read, &answer, Look::Page);
    Ok(Report::new("Is it dry?", ["dry", context.name(), "--readings", &name], text))
}

/// `icefront log`: adds the batch of this sheet, with the readings beside it, to the history.
pub fn log(context: &Context<'_>) -> Result<Report, Failure> {
    let (folder, answer) = (context.environment.folder, context.answer);
    let (read, name) = readings(context)?;
    let (batch, read) = history::finished(context.text, &answer.sheet, &answer.run.result, read, None)?;
    history::append(&folder.place(HISTORY)?, &batch, folder.files()).map_err(|failure| short(failure, HISTORY))?;
    let text = learn::text::logged(Path::new(HISTORY), &batch, &read, Look::Page);
    Ok(Report::new("In the history", ["log", context.name(), "--readings", &name], text))
}

/// `icefront learn`: writes what the history teaches about the dryer of this sheet as a dryer file; one that exists is
/// replaced only where that was requested.
pub fn learn(context: &Context<'_>) -> Result<Report, Failure> {
    let folder = context.environment.folder;
    let replace = context.request.is_on("learn.force");
    let dryer = Editor::parse(&context.text.text).map_or(String::new(), |sheet| sheet.shown("dryer"));
    let dryer = dryer.trim();
    folder.check_dryer(dryer)?;
    let file = learn::entered(&learn::dryer_file(dryer, folder.path(), folder.files())?);
    let out = learn::usual_name(dryer);
    let over = folder.version(&out);
    if over.is_some() && !replace {
        return Err(Failure::Exists { path: out.into() });
    }
    let batches = history::read(&folder.place(HISTORY)?, folder.files()).map_err(|failure| short(failure, HISTORY))?;
    let answer = learn::answer(&batches, Path::new(HISTORY), &file, &Errors::default())?;
    folder.save(&out, &learn::with_learned(&file, &answer.learned, Path::new(HISTORY)), over.as_deref())?;
    let force = replace.then_some("--force");
    let arguments = ["learn", HISTORY, "--dryer", dryer].into_iter().chain(force);
    Ok(Report::new("What was learned", arguments, learn::text::text(&answer, Path::new(&out), Look::Page)))
}
