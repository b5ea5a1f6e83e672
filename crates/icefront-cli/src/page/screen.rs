//! One screen: the sheet after what was asked, and its answer.

use icefront_plot::PlotError;

use crate::page::answer::{Answer, Effort, Settings, answer};
use crate::page::asked::{Act, Asked};
use crate::page::draft::{Draft, MOST_TRAYS};
use crate::page::fields::{self, Field, TrayFields};
use crate::page::files::{self, Folder, Listing, Over};
use crate::page::readings::{self, Entered};
use crate::page::tools::{self, Asking, Told, Tool, Wishes};
use icefront_kitchen::failure::Failure;
use icefront_kitchen::plan::charts::Chart;
use icefront_kitchen::sheet::Sheet;

/// What is shown.
#[derive(Debug)]
pub struct Screen {
    /// Name of the sheet's file, or the name it would be saved under.
    pub file: String,
    /// Version that was opened; empty where it came from no file.
    pub version: String,
    /// Name of the file it was opened from; empty where it came from none.
    pub opened: String,
    /// The sheet.
    pub text: String,
    /// Its form; `None` where it is not TOML.
    pub form: Option<Form>,
    /// Whether the form has other fields than the one that was sent.
    pub other_fields: bool,
    /// What is in the folder.
    pub listing: Listing,
    /// The answer, or what is wrong with the sheet.
    pub outcome: Result<Answer, Failure>,
    /// Its charts, where nothing is being dragged.
    pub charts: Option<Result<Vec<Chart>, PlotError>>,
    /// What more was asked for.
    pub more: Option<Result<Told, Failure>>,
    /// The fields that ask for more.
    pub wishes: Wishes,
    /// Readings of the run.
    pub read: Reading,
    /// What came of saving.
    pub saving: Option<Result<(), Failure>>,
    /// The version of another's file that is in the way.
    pub theirs: Option<String>,
}

/// Readings so far, and the one in the fields.
#[derive(Debug)]
pub struct Reading {
    /// What the fields hold.
    pub entered: Entered,
    /// Lines of the file.
    pub lines: Vec<String>,
}

/// Fields of a sheet.
#[derive(Debug)]
pub struct Form {
    /// Of the whole load.
    pub load: Vec<Field>,
    /// Of each tray.
    pub trays: Vec<TrayFields>,
    /// Foods to suggest.
    pub foods: Vec<String>,
}

impl Screen {
    /// Does what was asked and answers the sheet that comes of it.
    pub fn of(asked: Asked, folder: &Folder, effort: Effort, settings: Settings) -> Self {
        let mut draft = Draft::parse(&asked.sheet);
        let mut other_fields = false;
        if let Some(draft) = &mut draft {
            other_fields = fields::put(draft, &asked.fields);
            if let Act::Tray(step) = asked.act {
                draft.step(step);
                other_fields = true;
            }
        }
        let text = draft.as_ref().map_or_else(|| asked.sheet.clone(), Draft::to_string);
        other_fields |= asked.act == Act::Show;
        let (saving, version, theirs) = save(&asked, &text, folder);
        let outcome = folder
            .check(name(&asked.file), &text)
            .and_then(|sheet| if sheet.load.trays.len() > MOST_TRAYS { Err(too_many(&asked.file)) } else { Ok(sheet) })
            .and_then(|sheet| answer(sheet, effort, settings));
        let wishes = Wishes::of(&asked);
        let entered = Entered::of(&asked);
        let noted = match (asked.act, &outcome) {
            (Act::Read, Ok(answer)) => readings::add(folder, &asked.file, &answer.sheet.load, &entered),
            (Act::Read, Err(_)) => Err(Failure::Unfit { path: name(&asked.file).into(), reason: MEND_FIRST.into() }),
            (Act::Unread, _) => readings::take_back(folder, &asked.file),
            _ => Ok(()),
        };
        let tool = match (asked.act, &outcome) {
            (Act::More(tool), _) => Some(tool),
            (Act::Read | Act::Unread, Ok(answer)) if readings::are_there(folder, &asked.file, &answer.sheet.load) => {
                Some(Tool::Update)
            }
            _ => None,
        };
        let more = match (tool, noted, &outcome) {
            (_, Err(failure), _) => Some(Err(failure)),
            (None, Ok(()), _) if asked.act == Act::Read => Some(Ok(Told::words("Start entered", readings::STARTED))),
            (Some(tool), Ok(()), Ok(answer)) if answer.whole => {
                let text = folder.text(name(&asked.file), &text);
                Some(tools::ask(tool, &wishes, &Asking { file: &asked.file, text: &text, folder, answer, settings }))
            }
            _ => None,
        };
        // a dryer that was just learned can be chosen
        other_fields |= tool == Some(Tool::Learn) && matches!(more, Some(Ok(_)));
        let listing = folder.list();
        let read = Reading { entered, lines: readings::lines(folder, &asked.file) };
        let answered = outcome.as_ref().ok().filter(|_| !asked.dragging);
        let charts = answered.map(|a| icefront_kitchen::plan::charts(&a.sheet.load, &a.result, a.range.as_ref()));
        let form = draft.map(|draft| form(&draft, &listing));
        Self {
            file: asked.file,
            version,
            opened: asked.opened,
            text,
            form,
            other_fields,
            listing,
            outcome,
            charts,
            more,
            wishes,
            read,
            saving,
            theirs,
        }
    }

    /// The name the sheet goes by.
    pub fn name(&self) -> &str {
        name(&self.file)
    }

    /// Whether the sheet is not as it is in its file.
    pub fn changed(&self) -> bool {
        self.file != self.opened || files::version(&self.text) != self.version
    }
}

impl Asked {
    /// The sheet with its fields put in, checked, and the name it goes by.
    pub fn into_sheet(self, folder: &Folder) -> Result<(String, Sheet), Failure> {
        let mut draft = Draft::parse(&self.sheet);
        if let Some(draft) = &mut draft {
            fields::put(draft, &self.fields);
        }
        let text = draft.map_or(self.sheet, |draft| draft.to_string());
        let name = name(&self.file).to_string();
        folder.check(&name, &text).map(|sheet| (name, sheet))
    }
}

/// The name a sheet goes by in messages.
pub fn name(file: &str) -> &str {
    if file.is_empty() { "load.toml" } else { file }
}

fn too_many(file: &str) -> Failure {
    Failure::Unfit { path: name(file).into(), reason: format!("this page plans up to {MOST_TRAYS} trays") }
}

fn form(draft: &Draft, listing: &Listing) -> Form {
    Form {
        load: fields::of_load(draft, &listing.dryers),
        trays: (0..draft.trays().min(MOST_TRAYS)).map(|tray| fields::of_tray(draft, tray)).collect(),
        foods: fields::foods(draft),
    }
}

/// Why a reading is not entered beside a sheet that cannot be planned.
const MEND_FIRST: &str = "correct the sheet first: a reading is checked against its trays";

/// Saves where that was asked: what came of it, the version the page then holds, and another's version in the way.
fn save(asked: &Asked, text: &str, folder: &Folder) -> (Option<Result<(), Failure>>, String, Option<String>) {
    let held = |version: &str| if version.is_empty() { Over::Nothing } else { Over::Version(version.into()) };
    let over = match asked.act {
        // under another name than that of the file that was opened, the version says nothing: the name must be free
        Act::Save if asked.file != asked.opened => Over::Nothing,
        Act::Save => held(&asked.version),
        Act::Replace => held(&asked.theirs),
        Act::Answer | Act::Show | Act::Tray(_) | Act::More(_) | Act::Read | Act::Unread => {
            return (None, asked.version.clone(), None);
        }
    };
    match folder.save(&asked.file, text, &over) {
        Ok(version) => (Some(Ok(())), version, None),
        Err(failure) => {
            let theirs = match failure {
                Failure::Changed { .. } | Failure::Exists { .. } => folder.version(&asked.file),
                _ => None,
            };
            (Some(Err(failure)), asked.version.clone(), theirs)
        }
    }
}
