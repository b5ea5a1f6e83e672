//! What can be asked for, and who answers.

use std::sync::Arc;

use axum::extract::rejection::FormRejection;
use axum::extract::{DefaultBodyLimit, Form, Path, State};
use axum::http::{StatusCode, header};
use axum::response::{IntoResponse, Redirect, Response};
use axum::routing::{get, post};
use axum::{Router, middleware};

use crate::page::answer::{Effort, Settings};
use crate::page::asked::{Act, Asked};
use crate::page::files::{Folder, LARGEST_BYTES};
use crate::page::gate::{Gate, Leave, NoAnswer};
use crate::page::guard::{self, Guard};
use crate::page::pantry;
use crate::page::screen::Screen;
use crate::page::view::{self, Shown};
use icefront_kitchen::sheet;

/// The sheet that `icefront new` writes.
const NEW_SHEET: &str = icefront_kitchen::sheet::TEMPLATE;
/// Largest form, bytes: a sheet in the escapes of a form, and its fields.
const LARGEST_FORM_BYTES: usize = 4 * LARGEST_BYTES;
/// Seconds after which a page that was turned away may ask again.
const ASK_AGAIN_S: &str = "1";

/// What all requests share.
#[derive(Debug)]
pub struct Page {
    folder: Folder,
    first: Option<String>,
    settings: Settings,
    link: Option<String>,
    gate: Gate,
}

impl Page {
    /// A page of this folder that begins with this sheet.
    pub fn new(folder: Folder, first: Option<String>, settings: Settings, link: Option<String>) -> Self {
        Self { folder, first, settings, link, gate: Gate::new() }
    }
}

/// All that can be asked for, behind the guard.
pub fn routes(page: Page, guard: Guard) -> Router {
    Router::new()
        .route("/", get(begin))
        .route("/demonstration", get(demonstration))
        .route("/new", get(new_sheet))
        .route("/sheet/{name}", get(open))
        .route("/plan", post(plan))
        .route("/live", post(live))
        .route("/json", post(json))
        .route("/pantry", get(pantry).post(change_pantry))
        .route("/page.css", get(|| asset("text/css; charset=utf-8", include_str!("assets/page.css"))))
        .route("/page.js", get(|| asset("text/javascript; charset=utf-8", include_str!("assets/page.js"))))
        .fallback(|| async { (StatusCode::NOT_FOUND, "there is no such page here") })
        .layer(DefaultBodyLimit::max(LARGEST_FORM_BYTES))
        .layer(middleware::from_fn_with_state(Arc::new(guard), guard::check))
        .with_state(Arc::new(page))
}

type Shared = State<Arc<Page>>;
type Pairs = Result<Form<Vec<(String, String)>>, FormRejection>;

async fn asset(kind: &'static str, text: &'static str) -> impl IntoResponse {
    ([(header::CONTENT_TYPE, kind)], text)
}

async fn begin(State(page): Shared) -> Response {
    match page.first.clone() {
        Some(name) => open(State(page), Path(name)).await,
        None => demonstration(State(page)).await,
    }
}

async fn demonstration(State(page): Shared) -> Response {
    first_look(page, sheet::demonstration().text, String::new(), String::new()).await
}

async fn new_sheet(State(page): Shared) -> Response {
    first_look(page, NEW_SHEET.to_string(), String::new(), String::new()).await
}

async fn open(State(page): Shared, Path(name): Path<String>) -> Response {
    match page.folder.open(&name) {
        Ok(opened) => first_look(page, opened.text.text, name, opened.version).await,
        Err(failure) => (StatusCode::NOT_FOUND, view::refusal(&failure.to_string())).into_response(),
    }
}

/// A sheet as it is opened: an answer at once, with few draws; the script asks for the rest.
async fn first_look(page: Arc<Page>, sheet: String, file: String, version: String) -> Response {
    let asked = Asked { sheet, opened: file.clone(), file, version, ..Asked::default() };
    match look(&page, asked, false).await {
        Ok(screen) => view::page(&shown(&page, &screen)).into_response(),
        Err(refused) => refused,
    }
}

/// A form without a script: the whole page again, with all draws.
async fn plan(State(page): Shared, pairs: Pairs) -> Response {
    let screen = match asked(pairs) {
        // who saves waits for the file, not for the whole answer
        Ok(asked) => {
            let whole = !matches!(asked.act, Act::Save | Act::Replace);
            look(&page, asked, whole).await
        }
        Err(refused) => return *refused,
    };
    match screen {
        Ok(screen) if matches!(screen.saving, Some(Ok(()))) => {
            Redirect::to(&format!("/sheet/{}", view::in_link(&screen.file))).into_response()
        }
        Ok(screen) => {
            let status = if matches!(screen.saving, Some(Err(_))) { StatusCode::CONFLICT } else { StatusCode::OK };
            (status, view::page(&shown(&page, &screen))).into_response()
        }
        Err(refused) => refused,
    }
}

/// A form sent by the script: the parts of the page that change. Nothing is saved this way.
async fn live(State(page): Shared, pairs: Pairs) -> Response {
    let asked = match asked(pairs) {
        Ok(asked) if matches!(asked.act, Act::Save | Act::Replace) => return bad_request("saving goes by /plan"),
        Ok(asked) => asked,
        Err(refused) => return *refused,
    };
    let dragging = asked.dragging;
    match look(&page, asked, !dragging).await {
        Ok(screen) => view::parts(&shown(&page, &screen), dragging).into_response(),
        Err(refused) => refused,
    }
}

/// The same as `icefront plan --json` for this sheet.
async fn json(State(page): Shared, pairs: Pairs) -> Response {
    let asked = match asked(pairs) {
        Ok(asked) => Asked { act: Act::Answer, ..asked },
        Err(refused) => return *refused,
    };
    match look(&page, asked, true).await {
        Ok(Screen { outcome: Ok(answer), .. }) if answer.whole => match answer.json() {
            Ok(text) => ([(header::CONTENT_TYPE, "application/json")], text).into_response(),
            Err(error) => (StatusCode::INTERNAL_SERVER_ERROR, error.to_string()).into_response(),
        },
        Ok(Screen { outcome: Ok(_), .. }) => turned_away(),
        Ok(Screen { outcome: Err(failure), .. }) => bad_request(&failure.to_string()),
        Err(refused) => refused,
    }
}

async fn pantry(State(page): Shared) -> Response {
    aside(&page, |page| view::pantry(&pantry::look(&page.folder), None).into_response()).await
}

/// Puts packs in or takes some out, and shows what is then there.
async fn change_pantry(State(page): Shared, pairs: Pairs) -> Response {
    let Form(pairs) = match pairs {
        Ok(pairs) => pairs,
        Err(refused) => return refused.into_response(),
    };
    let field =
        |name: &str| pairs.iter().rev().find(|(known, _)| known == name).map_or("", |(_, value)| value.as_str());
    let take = field("do") == "take";
    let (what, packs) = (field("what").to_string(), field("packs").trim().parse::<u32>());
    let asked = Asked::read(pairs.into_iter().filter(|(name, _)| name != "do").collect());
    aside(&page, move |page| {
        let folder = &page.folder;
        let done = match (take, packs, asked) {
            (true, Ok(packs @ 1..), _) => pantry::take(folder, &what, packs),
            (true, ..) => return bad_request("how many packs? a whole number from 1 on"),
            (false, _, Ok(asked)) => {
                asked.into_sheet(folder).and_then(|(name, sheet)| pantry::put(folder, &name, &sheet))
            }
            (false, _, Err(words)) => return bad_request(&words),
        };
        let status = if done.is_ok() { StatusCode::OK } else { StatusCode::CONFLICT };
        (status, view::pantry(&pantry::look(folder), Some(&done))).into_response()
    })
    .await
}

fn asked(pairs: Pairs) -> Result<Asked, Box<Response>> {
    let Form(pairs) = pairs.map_err(|refused| Box::new(refused.into_response()))?;
    Asked::read(pairs).map_err(|words| Box::new(bad_request(&words)))
}

fn bad_request(words: &str) -> Response {
    (StatusCode::BAD_REQUEST, words.to_string()).into_response()
}

fn turned_away() -> Response {
    let words = "many ask at once; ask again in a moment";
    (StatusCode::SERVICE_UNAVAILABLE, [(header::RETRY_AFTER, ASK_AGAIN_S)], words).into_response()
}

/// Waits for a core, then does something that computes or touches the disk.
async fn aside(page: &Arc<Page>, work: impl FnOnce(&Page) -> Response + Send + 'static) -> Response {
    let of_page = Arc::clone(page);
    page.gate.aside(false, move |_| work(&of_page)).await.unwrap_or_else(no_answer)
}

/// Waits for a core, then does what was asked and answers the sheet that comes of it.
async fn look(page: &Arc<Page>, asked: Asked, whole: bool) -> Result<Screen, Response> {
    let of_page = Arc::clone(page);
    let work = move |leave: &Leave| {
        let Page { folder, settings, .. } = &*of_page;
        let quick = Effort::Quick { waiting: leave.waiting() };
        let effort = if leave.is_whole() { Effort::Whole(settings.draws) } else { quick };
        Screen::of(asked, folder, effort, *settings)
    };
    page.gate.aside(whole, work).await.map_err(no_answer)
}

fn no_answer(why: NoAnswer) -> Response {
    match why {
        NoAnswer::Busy => turned_away(),
        NoAnswer::BrokeOff => (StatusCode::INTERNAL_SERVER_ERROR, "the computation broke off").into_response(),
    }
}

fn shown<'a>(page: &'a Page, screen: &'a Screen) -> Shown<'a> {
    Shown { screen, settings: page.settings, link: page.link.as_deref() }
}
