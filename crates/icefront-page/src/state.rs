//! The state of the page after an action: the sheet, its form, its answer, and what the action brought about.

use icefront_kitchen::Failure;
use icefront_kitchen::pantry::Lot;
use icefront_kitchen::weather::clock::{Clock, Date, HOUR_S};

use crate::answer::{Answer, Effort, Wanted, answer};
use crate::editor::{Editor, MOST_TRAYS};
use crate::folder::{self, Folder, Listing};
use crate::food::{self, Meaning};
use crate::form::{self, Form};
use crate::names::{SHEET_ENDING, or_usual};
use crate::pantry::{self, Done, LastChange};
use crate::place::View;
use crate::questions::{self, Context, Report, Updated};
use crate::readings::{self, Noted};
use crate::remedy::{Bench, Remedy, Warned};
use crate::request::PantryStep;
use crate::{Action, Environment, Request, Settings};

/// Why a reading is not entered beside a sheet that cannot be planned.
const CORRECT_FIRST: &str = "correct the sheet first: a reading is checked against its trays";
/// When the machine starts unless it is said, as for `icefront bill`.
const USUAL_START: Clock = Clock(18.0 * HOUR_S);

/// What is shown.
#[derive(Debug)]
pub struct State {
    /// What was sent: the name of the file, and the fields of the questions.
    pub request: Request,
    /// Version that was opened; empty if it came from no file.
    pub version: String,
    /// The sheet.
    pub text: String,
    /// The sheet before this action, where that changed it.
    pub before: Option<String>,
    /// Its form; `None` if it is not TOML.
    pub form: Option<Form>,
    /// Whether the form has other fields than the one that was sent.
    pub other_fields: bool,
    /// The view in sight.
    pub view: View,
    /// The tray that is open.
    pub open: Option<usize>,
    /// What is to be gone to, by its id.
    pub focus: Option<String>,
    /// What the food of the open tray is taken for.
    pub meaning: Meaning,
    /// When the machine starts, by the clock.
    pub start: Clock,
    /// What is in the folder.
    pub listing: Listing,
    /// The answer, or what is wrong with the sheet.
    pub outcome: Result<Answer, Failure>,
    /// The most pressing findings, of a whole answer.
    pub warned: Vec<Warned>,
    /// What a thinner layer does for the open tray.
    pub thinner: Option<Remedy>,
    /// What the readings of the run say.
    pub updated: Option<Updated>,
    /// The command of the last question, and its answer.
    pub report: Option<(&'static str, Result<Report, Failure>)>,
    /// Lines of the file of readings.
    pub readings: Vec<Noted>,
    /// What is left in the pantry, where that is shown.
    pub lots: Option<Result<Vec<Lot>, Failure>>,
    /// What was done to the pantry.
    pub done: Option<Result<Done, Failure>>,
    /// What came of saving.
    pub saving: Option<Result<(), Failure>>,
    /// The version of somebody else's file that is in the way.
    pub theirs: Option<String>,
    /// Samples and seed.
    pub settings: Settings,
    /// The day.
    pub today: Date,
}

impl State {
    /// Does what a form requests, and answers the sheet that comes of it.
    pub fn after(mut request: Request, page: &Environment<'_>, effort: Effort) -> Self {
        let Environment { folder, settings, today, .. } = *page;
        if request.action == Action::Undo {
            request.sheet = std::mem::take(&mut request.before);
            request.fields.clear();
        }
        if request.action == Action::Begin && request.file.is_empty() {
            request.file = free_name(folder, today);
        }
        let sent = request.sheet.clone();
        let Edited { editor, mut other_fields, open, focus } = edited(&request);
        let text = editor.as_ref().map_or_else(|| request.sheet.clone(), Editor::to_string);
        other_fields |= matches!(request.action, Action::Show | Action::Undo);
        let (saving, version, theirs) = save(&request, &text, folder);
        if matches!(saving, Some(Ok(()))) {
            request.opened = request.file.clone();
        }
        let name = or_usual(&request.file).to_string();
        let mut noted = readings::noted(folder, &request.file);
        let anchor = request.anchor.take();
        // samples speak of the trays in their order
        let same_trays = !matches!(request.action, Action::Tray(_) | Action::Set { .. } | Action::Undo | Action::Show);
        let wanted = Wanted { effort, settings, tray: open, anchor: anchor.as_ref().filter(|_| same_trays) };
        let outcome = folder
            .check(&name, &text)
            .and_then(|sheet| if sheet.load.trays.len() > MOST_TRAYS { Err(too_many(&name)) } else { Ok(sheet) })
            .and_then(|sheet| answer(sheet, &wanted));

        let entered = entered(&request, folder, &outcome, saving.as_ref(), &name, today);
        if entered.is_some() {
            noted = readings::noted(folder, &request.file);
        }
        let start = readings::started(&noted).or_else(|| Clock::read(&request.start).ok()).unwrap_or(USUAL_START);
        let file = folder.text(&name, &text);
        let whole = outcome.as_ref().ok().filter(|answer| answer.whole);
        let context = whole.map(|answer| Context { request: &request, text: &file, answer, start, environment: page });
        let reads = whole.is_some_and(|answer| readings::exist(folder, &request.file, &answer.sheet.load));
        let updated = context.filter(|_| reads).map(|context| questions::updated(&context));
        let report = report(&request.action, entered, context.as_ref(), updated.as_ref());
        let updated = updated.and_then(Result::ok);
        let bench = whole.zip(editor.as_ref()).map(|(answer, editor)| Bench { editor, folder, name: &name, answer });
        let warned = bench.as_ref().map(Bench::warned).unwrap_or_default();
        let thinner = bench.as_ref().zip(open).and_then(|(bench, tray)| bench.thinner(tray));

        let view = match &request.action {
            Action::View(view) => *view,
            Action::Question(question) => questions::view_of(question),
            Action::AddReading | Action::RemoveReading | Action::Begin => View::Run,
            Action::Pantry(_) => View::Pack,
            _ => request.view,
        };
        let done = pantry_step(&request, page, &name, &outcome);
        // a dryer that was just learned can be chosen
        other_fields |= matches!(&report, Some(("learn", Ok(_))));
        let listing = folder.list();
        let food = open.zip(editor.as_ref()).map(|(tray, editor)| editor.food(tray)).unwrap_or_default();
        let own = editor.as_ref().is_some_and(|editor| form::own_foods(editor).contains(&food));
        Self {
            before: (text != sent && !sent.is_empty() && !request.dragging).then_some(sent),
            form: editor.as_ref().map(|sheet| Form::of(sheet, &listing.dryers)),
            meaning: if own || request.dragging { Meaning::default() } else { food::meaning(&food) },
            lots: (view == View::Pack && !request.dragging).then(|| pantry::lots(page)),
            request,
            version,
            text,
            other_fields,
            view,
            open,
            focus,
            start,
            listing,
            outcome,
            warned,
            thinner,
            updated,
            report,
            readings: noted,
            done,
            saving,
            theirs,
            settings,
            today,
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

    /// Whether the run was started.
    pub fn runs(&self) -> bool {
        self.readings.iter().any(|line| line.starts)
    }
}

/// A sheet after what a form did to it.
struct Edited {
    /// The sheet; `None` if it is not TOML.
    editor: Option<Editor>,
    /// Whether its form has other fields now.
    other_fields: bool,
    /// The tray that is open.
    open: Option<usize>,
    /// What is to be gone to.
    focus: Option<String>,
}

fn edited(request: &Request) -> Edited {
    let Some(mut editor) = Editor::parse(&request.sheet) else {
        return Edited { editor: None, other_fields: false, open: None, focus: None };
    };
    let mut other_fields = form::put(&mut editor, &request.fields);
    let (mut open, mut focus) = (request.open, None);
    match &request.action {
        Action::Tray(step) => {
            editor.step(*step);
            let follows = step.follows(editor.trays());
            open = (!matches!(step, crate::editor::TrayStep::Remove(_))).then_some(follows);
            focus = Some(format!("row.{follows}"));
        }
        Action::Set { place, value } => editor.set(place, value),
        Action::Open(tray) => {
            focus = tray.or(open).map(|tray| format!("row.{tray}"));
            open = *tray;
        }
        _ => {}
    }
    other_fields |= matches!(request.action, Action::Tray(_) | Action::Set { .. } | Action::Open(_));
    let open = open.filter(|tray| *tray < editor.trays());
    Edited { editor: Some(editor), other_fields, open, focus }
}

fn too_many(name: &str) -> Failure {
    Failure::unfit(name, format!("this page plans up to {MOST_TRAYS} trays"))
}

/// A name for a batch of this day that no file has.
fn free_name(folder: &Folder, today: Date) -> String {
    let taken = |name: &String| folder.version(name).is_some();
    let numbered = |n: usize| match n {
        1 => format!("batch {today}{SHEET_ENDING}"),
        n => format!("batch {today} ({n}){SHEET_ENDING}"),
    };
    (1..100).map(numbered).find(|name| !taken(name)).unwrap_or_default()
}

/// What came of entering a reading or taking one back; `None` where that was not requested.
fn entered(
    request: &Request,
    folder: &Folder,
    outcome: &Result<Answer, Failure>,
    saving: Option<&Result<(), Failure>>,
    name: &str,
    today: Date,
) -> Option<Result<(), Failure>> {
    let load = || match outcome {
        Ok(answer) => Ok(&answer.sheet.load),
        Err(_) => Err(Failure::unfit(name, CORRECT_FIRST)),
    };
    match request.action {
        Action::AddReading => Some(load().and_then(|load| readings::add(folder, load, request))),
        Action::RemoveReading => Some(readings::take_back(folder, &request.file)),
        Action::Begin if matches!(saving, Some(Err(_))) => None,
        Action::Begin => {
            let time = Clock::read(&request.start).unwrap_or(USUAL_START).to_string();
            let today = today.to_string();
            let day = request.field_or("run.day", &today);
            Some(load().and_then(|load| readings::begin(folder, load, &request.file, day, &time)))
        }
        _ => None,
    }
}

/// The answer to the question of this action.
fn report(
    action: &Action,
    entered: Option<Result<(), Failure>>,
    context: Option<&Context<'_>>,
    updated: Option<&Result<Updated, Failure>>,
) -> Option<(&'static str, Result<Report, Failure>)> {
    match (action, entered) {
        (_, Some(Err(failure))) => Some(("read", Err(failure))),
        (Action::AddReading, Some(Ok(()))) if updated.is_none() && context.is_some() => {
            Some(("read", Ok(Report::note("Start entered", readings::STARTED))))
        }
        (Action::AddReading | Action::RemoveReading | Action::Question("update"), _) if updated.is_some() => {
            let context = context?;
            let report = match updated? {
                Ok(updated) => Ok(questions::update(context, updated)),
                // said in full by the question itself
                Err(_) => return Some(("update", questions::answer("update", context)?)),
            };
            Some(("update", report))
        }
        (Action::Question(question), _) => Some((question, questions::answer(question, context?)?)),
        _ => None,
    }
}

fn pantry_step(
    request: &Request,
    page: &Environment<'_>,
    name: &str,
    outcome: &Result<Answer, Failure>,
) -> Option<Result<Done, Failure>> {
    let Action::Pantry(step) = request.action else { return None };
    Some(match (step, outcome) {
        (PantryStep::Put, Ok(answer)) => pantry::put(page, name, &answer.sheet),
        (PantryStep::Put, Err(_)) => {
            Err(Failure::unfit(name, "correct the sheet first: its packs follow from its trays"))
        }
        (PantryStep::Take(lot), _) => pantry::take(page, lot),
        (PantryStep::Undo, _) => {
            let before = request.field("pantry.before").parse().unwrap_or(0);
            pantry::take_back(page, &LastChange { before, version: request.field("pantry.version").into() })
        }
    })
}

/// Saves if that is requested: the outcome, the version the page then holds, and somebody else's version in the way.
fn save(request: &Request, text: &str, folder: &Folder) -> (Option<Result<(), Failure>>, String, Option<String>) {
    let over = match request.action {
        // the run of a sheet that is in its file already is begun beside that
        Action::Begin if request.file == request.opened && folder::version(text) == request.version => {
            return (None, request.version.clone(), None);
        }
        // under another name than that of the opened file, its version means nothing: the name must be free
        Action::Save | Action::Begin if request.file != request.opened => "",
        Action::Save | Action::Begin => &request.version,
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
