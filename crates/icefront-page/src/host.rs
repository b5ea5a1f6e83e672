//! What a host of the page does for a browser: takes a path, and the pairs of a form where one is sent, and gives a status
//! and a text. A server does it over HTTP; a worker in the browser does it without a server. Both show the same page.

use icefront_kitchen::sheet;
use percent_encoding::percent_decode_str;

use crate::place::View;
use crate::{Action, Effort, Environment, Request, Settings, State, food, view};

/// A form as it was sent: names and values.
pub type Pairs = Vec<(String, String)>;

/// What is asked for.
#[derive(Debug)]
pub struct Visit(Kind);

#[derive(Debug)]
enum Kind {
    /// A sheet is looked at for the first time.
    First(Box<Request>),
    /// A sheet of the folder is opened.
    Open(String),
    /// A form is sent without a script: the whole page again.
    Plan(Box<Request>),
    /// A form is sent by the script: the parts that change.
    Live(Box<Request>),
    /// The plan as JSON.
    Json(Box<Request>),
    /// Words for the food of a tray.
    Foods { tray: usize, words: String },
    /// The style, the script, the icon.
    Asset(&'static str, &'static str),
}

/// What is answered.
#[derive(Clone, Debug, PartialEq)]
pub struct Reply {
    /// As in HTTP: 200, 400 for a form that no page sends, 404, 409 for what could not be done, 503 to try again.
    pub status: u16,
    /// The kind of the text.
    pub media: &'static str,
    /// HTML, parts of it, JSON, or a sentence.
    pub text: String,
    /// Where the sheet is found that was just saved.
    pub saved: Option<String>,
}

const HTML: &str = "text/html; charset=utf-8";
const PLAIN: &str = "text/plain; charset=utf-8";
const JSON: &str = "application/json";

impl Visit {
    /// Reads a path such as `/sheet/load.toml`, percent escapes included, and the form sent to it, if any.
    ///
    /// # Errors
    /// The reply to a path or a form that this page does not know.
    pub fn read(path: &str, form: Option<Pairs>) -> Result<Self, Reply> {
        let request = |pairs| Request::read(pairs).map(Box::new).map_err(|words| Reply::refused(400, words));
        let kind = match (path, form) {
            ("/" | "/demonstration", None) => Kind::First(Box::new(Request::new(sheet::demonstration().text))),
            ("/new", None) => Kind::First(Box::new(Request::new(sheet::TEMPLATE.to_string()))),
            ("/plan", Some(pairs)) => Kind::Plan(request(pairs)?),
            ("/live", Some(pairs)) => Kind::Live(request(pairs)?),
            ("/json", Some(pairs)) => Kind::Json(request(pairs)?),
            ("/foods", Some(pairs)) => {
                let value = |name: &str| pairs.iter().find(|(known, _)| known == name).map_or("", |(_, value)| value);
                Kind::Foods { tray: value("tray").parse().unwrap_or(0), words: value("words").into() }
            }
            ("/page.css", None) => Kind::Asset("text/css; charset=utf-8", crate::STYLE),
            ("/page.js", None) => Kind::Asset("text/javascript; charset=utf-8", crate::SCRIPT),
            ("/icon.svg", None) => Kind::Asset("image/svg+xml", crate::ICON),
            ("/page.webmanifest", None) => Kind::Asset("application/manifest+json", crate::MANIFEST),
            (path, None) => Kind::Open(sheet_name(path).ok_or_else(Reply::unknown)?),
            _ => return Err(Reply::unknown()),
        };
        Ok(Self(kind))
    }

    /// Whether it is to be answered with all samples; else a moment's worth is enough.
    pub fn is_whole(&self, settings: Settings) -> bool {
        let whole = |request: &Request| match request.action {
            // who saves waits for the file, not for the whole answer
            Action::Save | Action::Replace => false,
            // the run alone speaks of the answer
            Action::View(view) => view == View::Run,
            Action::Pantry(_) => false,
            _ => !request.dragging,
        };
        match &self.0 {
            Kind::Plan(request) | Kind::Live(request) => whole(request),
            Kind::Json(_) => true,
            // true from the first, unless somebody wants so many samples that it would not be seen for long
            Kind::First(_) | Kind::Open(_) => settings.draws <= Settings::USUAL.draws,
            Kind::Foods { .. } | Kind::Asset(..) => false,
        }
    }

    /// Does it.
    pub fn reply(self, page: &Environment<'_>, effort: Effort) -> Reply {
        match self.0 {
            Kind::First(request) => Reply::html(200, view::page(&State::after(*request, page, effort), page.link)),
            Kind::Open(name) => match page.folder.open(&name) {
                Ok(opened) => {
                    let request = Request::open(opened.text.text, name, opened.version);
                    Reply::html(200, view::page(&State::after(request, page, effort), page.link))
                }
                Err(failure) => Reply::html(404, view::refusal(&failure.to_string())),
            },
            Kind::Plan(request) => {
                let state = State::after(*request, page, effort);
                after_saving(&state, view::page(&state, page.link))
            }
            Kind::Live(request) => {
                let state = State::after(*request, page, effort);
                after_saving(&state, view::parts(&state, page.link))
            }
            Kind::Json(request) => json(*request, page, effort),
            Kind::Foods { tray, words } => Reply::html(200, view::taken(&food::meaning(&words), tray)),
            Kind::Asset(media, text) => Reply { media, ..Reply::refused(200, text) },
        }
    }
}

/// The name in `/sheet/my%20stew.toml`.
fn sheet_name(path: &str) -> Option<String> {
    let name = path.strip_prefix("/sheet/").filter(|name| !name.is_empty() && !name.contains('/'))?;
    Some(percent_decode_str(name).decode_utf8().ok()?.into_owned())
}

fn after_saving(state: &State, html: maud::Markup) -> Reply {
    let failed = matches!(state.saving, Some(Err(_))) || matches!(state.done, Some(Err(_)));
    let status = if failed { 409 } else { 200 };
    let saved = matches!(state.saving, Some(Ok(()))).then(|| view::link_of(&state.request.file));
    Reply { saved, ..Reply::html(status, html) }
}

/// The same as `icefront plan --json` for this sheet.
fn json(request: Request, page: &Environment<'_>, effort: Effort) -> Reply {
    match State::after(Request { action: Action::Answer, ..request }, page, effort).outcome {
        Err(failure) => Reply::refused(400, failure.to_string()),
        Ok(answer) if !answer.whole => Reply::busy(),
        Ok(answer) => match answer.json() {
            Ok(text) => Reply { media: JSON, ..Reply::refused(200, text) },
            Err(error) => Reply::refused(500, error.to_string()),
        },
    }
}

impl Reply {
    fn html(status: u16, html: maud::Markup) -> Self {
        Self { status, media: HTML, text: html.into_string(), saved: None }
    }

    fn refused(status: u16, words: impl Into<String>) -> Self {
        Self { status, media: PLAIN, text: words.into(), saved: None }
    }

    fn unknown() -> Self {
        Self::refused(404, "there is no such page here")
    }

    /// The computation came to no end.
    pub fn broken_off() -> Self {
        Self::refused(500, "the computation broke off")
    }

    /// Too much is asked for at once.
    pub fn busy() -> Self {
        Self::refused(503, "there are many requests at once; try again in a moment")
    }
}

#[cfg(test)]
mod tests {
    use std::path::Path;

    use icefront_kitchen::{storage::Memory, weather::clock::Date};

    use super::*;
    use crate::Folder;

    fn reply(folder: &Folder, path: &str, form: Option<&[(&str, &str)]>) -> Reply {
        let settings = Settings { draws: 8, seed: 1 };
        let page = Environment { folder, settings, today: Date::constant(2026, 1, 15), link: None };
        let pairs = form.map(|form| form.iter().map(|(n, v)| (n.to_string(), v.to_string())).collect());
        Visit::read(path, pairs).map_or_else(|refusal| refusal, |visit| visit.reply(&page, Effort::Whole))
    }

    #[test]
    fn a_sheet_is_saved_and_opened_without_a_server() {
        let folder = Folder::new(Path::new(""), Memory::default());
        let sheet = sheet::demonstration().text;
        let saved = reply(&folder, "/live", Some(&[("sheet", &sheet), ("file", "my stew.toml"), ("do", "save")]));
        assert_eq!((saved.status, saved.saved.as_deref()), (200, Some("/sheet/my%20stew.toml")));
        assert_eq!(reply(&folder, "/sheet/my%20stew.toml", None).status, 200);
        let again =
            reply(&folder, "/live", Some(&[("sheet", "icefront = 1"), ("file", "my stew.toml"), ("do", "save")]));
        assert_eq!((again.status, again.saved), (409, None));
        assert!(again.text.contains("already exists"), "{}", again.text);
    }

    #[test]
    fn unknown_paths_and_forms_are_refused() {
        let folder = Folder::new(Path::new(""), Memory::default());
        for (path, form, status) in [
            ("/nothing", None, 404),
            ("/sheet/", None, 404),
            ("/sheet/a/b.toml", None, 404),
            ("/sheet/%ff.toml", None, 404),
            ("/sheet/none.toml", None, 404),
            ("/plan", None, 404),
            ("/", Some(&[][..]), 404),
            ("/live", Some(&[("do", "explode")][..]), 400),
            ("/live", Some(&[("do", "take.x")][..]), 400),
        ] {
            assert_eq!(reply(&folder, path, form).status, status, "{path}");
        }
    }
}
