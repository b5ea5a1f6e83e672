//! The state of the page after an action: the sheet, its form, its answer, and the report of a question.

use icefront_kitchen::plan::charts::Chart;
use icefront_kitchen::{Failure, Sheet, plan};
use icefront_plot::PlotError;

use crate::answer::{Answer, Effort, answer};
use crate::editor::{Editor, MOST_TRAYS};
use crate::folder::{self, Folder, Listing};
use crate::form::{self, Form};
use crate::names::or_usual;
use crate::questions::{self, Context, Report};
use crate::{Action, Environment, Request, Settings, readings};

/// Why a reading is not entered beside a sheet that cannot be planned.
const CORRECT_FIRST: &str = "correct the sheet first: a reading is checked against its trays";

/// What is shown.
#[derive(Debug)]
pub struct State {
    /// What was sent: the name of the file, and the fields of the questions.
    pub request: Request,
    /// Version that was opened; empty if it came from no file.
    pub version: String,
    /// The sheet.
    pub text: String,
    /// Its form; `None` if it is not TOML.
    pub form: Option<Form>,
    /// Foods to suggest.
    pub foods: Vec<String>,
    /// Whether the form has other fields than the one that was sent.
    pub other_fields: bool,
    /// What is in the folder.
    pub listing: Listing,
    /// The answer, or what is wrong with the sheet.
    pub outcome: Result<Answer, Failure>,
    /// Its charts, unless something is being dragged.
    pub charts: Option<Result<Vec<Chart>, PlotError>>,
    /// The answer to the question of this action.
    pub report: Option<Result<Report, Failure>>,
    /// Lines of the file of readings.
    pub readings: Vec<String>,
    /// What came of saving.
    pub saving: Option<Result<(), Failure>>,
    /// The version of somebody else's file that is in the way.
    pub theirs: Option<String>,
    /// Draws and seed.
    pub settings: Settings,
}

impl State {
    /// Does what a form requests, and answers the sheet that comes of it.
    pub fn after(mut request: Request, page: &Environment<'_>, effort: Effort) -> Self {
        let Environment { folder, settings, .. } = *page;
        let (editor, mut other_fields) = edited(&request);
        let text = editor.as_ref().map_or_else(|| request.sheet.clone(), Editor::to_string);
        other_fields |= request.action == Action::Show;
        let (saving, version, theirs) = save(&request, &text, folder);
        if matches!(saving, Some(Ok(()))) {
            request.opened = request.file.clone();
        }
        let name = or_usual(&request.file);
        let outcome = folder
            .check(name, &text)
            .and_then(|sheet| if sheet.load.trays.len() > MOST_TRAYS { Err(too_many(name)) } else { Ok(sheet) })
            .and_then(|sheet| answer(sheet, effort, settings));
        let noted = match (request.action, &outcome) {
            (Action::AddReading, Ok(answer)) => readings::add(folder, &answer.sheet.load, &request),
            (Action::AddReading, Err(_)) => Err(Failure::unfit(name, CORRECT_FIRST)),
            (Action::RemoveReading, _) => readings::take_back(folder, &request.file),
            _ => Ok(()),
        };
        let question = match (request.action, &outcome) {
            (Action::Question(question), _) => Some(question),
            (Action::AddReading | Action::RemoveReading, Ok(answer))
                if readings::exist(folder, &request.file, &answer.sheet.load) =>
            {
                Some("update")
            }
            _ => None,
        };
        let report = match (question, noted, &outcome) {
            (_, Err(failure), _) => Some(Err(failure)),
            (None, Ok(()), _) if request.action == Action::AddReading => {
                Some(Ok(Report::note("Start entered", readings::STARTED)))
            }
            (Some(question), Ok(()), Ok(answer)) if answer.whole => {
                let text = folder.text(name, &text);
                questions::answer(question, &Context { request: &request, text: &text, answer, environment: page })
            }
            _ => None,
        };
        // a dryer that was just learned can be chosen
        other_fields |= question == Some("learn") && matches!(report, Some(Ok(_)));
        let listing = folder.list();
        let readings = readings::lines(folder, &request.file);
        let answered = outcome.as_ref().ok().filter(|_| !request.dragging);
        let charts = answered.map(|a| plan::charts(&a.run.load, &a.run.result, a.run.range.as_ref()));
        let form = editor.as_ref().map(|sheet| Form::of(sheet, &listing.dryers));
        Self {
            foods: editor.as_ref().map(form::foods).unwrap_or_default(),
            request,
            version,
            text,
            form,
            other_fields,
            listing,
            outcome,
            charts,
            report,
            readings,
            saving,
            theirs,
            settings,
        }
    }

    /// The sheet's name in messages.
    pub fn name(&self) -> &str {
        or_usual(&self.request.file)
    }

    /// Whether the sheet differs from its file.
    pub fn changed(&self) -> bool {
        self.request.file != self.request.opened || folder::version(&self.text) != self.version
    }
}

/// The sheet of a form with its fields put in, checked, and its name.
pub fn sheet_of(request: &Request, folder: &Folder) -> Result<(String, Sheet), Failure> {
    let (editor, _) = edited(request);
    let text = editor.map_or_else(|| request.sheet.clone(), |editor| editor.to_string());
    let name = or_usual(&request.file).to_string();
    folder.check(&name, &text).map(|sheet| (name, sheet))
}

/// The sheet of a form after its fields and its step, `None` if it is not TOML; and whether its form has other fields now.
fn edited(request: &Request) -> (Option<Editor>, bool) {
    let Some(mut editor) = Editor::parse(&request.sheet) else { return (None, false) };
    let mut other_fields = form::put(&mut editor, &request.fields);
    if let Action::Tray(step) = request.action {
        editor.step(step);
        other_fields = true;
    }
    (Some(editor), other_fields)
}

fn too_many(name: &str) -> Failure {
    Failure::unfit(name, format!("this page plans up to {MOST_TRAYS} trays"))
}

/// Saves if that is requested: the outcome, the version the page then holds, and somebody else's version in the way.
fn save(request: &Request, text: &str, folder: &Folder) -> (Option<Result<(), Failure>>, String, Option<String>) {
    let over = match request.action {
        // under another name than that of the opened file, its version means nothing: the name must be free
        Action::Save if request.file != request.opened => "",
        Action::Save => &request.version,
        Action::Replace => &request.theirs,
        _ => return (None, request.version.clone(), None),
    };
    match folder.save(&request.file, text, Some(over).filter(|over| !over.is_empty())) {
        Ok(version) => (Some(Ok(())), version, None),
        Err(failure) => {
            let in_the_way = matches!(failure, Failure::Changed { .. } | Failure::Exists { .. });
            let theirs = if in_the_way { folder.version(&request.file) } else { None };
            (Some(Err(failure)), request.version.clone(), theirs)
        }
    }
}
