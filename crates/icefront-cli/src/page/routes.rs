//! The paths of the page, and what answers each.

use std::sync::{Arc, LazyLock};
use std::time::{Duration, Instant};

use axum::extract::rejection::FormRejection;
use axum::extract::{DefaultBodyLimit, Form, Path, State};
use axum::http::{StatusCode, header};
use axum::response::{IntoResponse, Redirect, Response};
use axum::routing::{get, post};
use axum::{Router, middleware};
use maud::Markup;

use icefront_kitchen::sheet;
use icefront_page::{
    Action, Effort, Environment, Folder, LARGEST_BYTES, Request, SCRIPT, STYLE, Settings, State as Shown,
};
use icefront_page::{pantry, sheet_of, view};

use crate::page::gate::{Gate, Leave, NoAnswer};
use crate::page::guard::{self, Guard};
use crate::today::today;

/// Largest form, bytes: a sheet in the escapes of a form, and its fields.
const LARGEST_FORM_BYTES: usize = 4 * LARGEST_BYTES;
/// Seconds after which a page that was turned away may try again.
const TRY_AGAIN_S: &str = "1";

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

    fn environment(&self) -> Environment<'_> {
        Environment { folder: &self.folder, settings: self.settings, today: today() }
    }

    fn html(&self, state: &Shown) -> Markup {
        view::page(state, self.link.as_deref())
    }
}

/// All paths, behind the guard.
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
        .route("/page.css", get(|| asset("text/css; charset=utf-8", STYLE)))
        .route("/page.js", get(|| asset("text/javascript; charset=utf-8", SCRIPT)))
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
    first_look(page, sheet::TEMPLATE.to_string(), String::new(), String::new()).await
}

async fn open(State(page): Shared, Path(name): Path<String>) -> Response {
    match page.folder.open(&name) {
        Ok(opened) => first_look(page, opened.text.text, name, opened.version).await,
        Err(failure) => (StatusCode::NOT_FOUND, view::refusal(&failure.to_string())).into_response(),
    }
}

/// A sheet as it is opened: an answer at once, with few draws; the script asks for the rest.
async fn first_look(page: Arc<Page>, sheet: String, file: String, version: String) -> Response {
    let shown = state(&page, Request::open(sheet, file, version), false).await;
    shown.map(|shown| page.html(&shown)).into_response()
}

/// A form without a script: the whole page again, with all draws.
async fn plan(State(page): Shared, pairs: Pairs) -> Result<Response, Response> {
    let request = request(pairs).map_err(|refused| *refused)?;
    // who saves waits for the file, not for the whole answer
    let whole = !matches!(request.action, Action::Save | Action::Replace);
    let shown = state(&page, request, whole).await?;
    let status = match shown.saving {
        Some(Ok(())) => {
            let link = format!("/sheet/{}", view::in_link(&shown.request.file));
            return Ok(Redirect::to(&link).into_response());
        }
        Some(Err(_)) => StatusCode::CONFLICT,
        None => StatusCode::OK,
    };
    Ok((status, page.html(&shown)).into_response())
}

/// A form sent by the script: the parts of the page that change. Nothing is saved this way.
async fn live(State(page): Shared, pairs: Pairs) -> Result<Response, Response> {
    let request = request(pairs).map_err(|refused| *refused)?;
    if matches!(request.action, Action::Save | Action::Replace) {
        return Err(bad_request("saving goes by /plan"));
    }
    let dragging = request.dragging;
    let shown = state(&page, request, !dragging).await?;
    Ok(view::parts(&shown, dragging).into_response())
}

/// The same as `icefront plan --json` for this sheet.
async fn json(State(page): Shared, pairs: Pairs) -> Result<Response, Response> {
    let request = request(pairs).map_err(|refused| *refused)?;
    let shown = state(&page, Request { action: Action::Answer, ..request }, true).await?;
    let answer = shown.outcome.map_err(|failure| bad_request(&failure.to_string()))?;
    if !answer.whole {
        return Err(turned_away());
    }
    let failed = |error: serde_json::Error| (StatusCode::INTERNAL_SERVER_ERROR, error.to_string()).into_response();
    Ok(([(header::CONTENT_TYPE, "application/json")], answer.json().map_err(failed)?).into_response())
}

async fn pantry(State(page): Shared) -> Response {
    aside(&page, |page| view::pantry(&pantry::show(&page.environment()), None).into_response()).await
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
    let request = Request::read(pairs.into_iter().filter(|(name, _)| name != "do").collect());
    aside(&page, move |page| {
        let page = page.environment();
        let done = match (take, packs, request) {
            (true, Ok(packs @ 1..), _) => pantry::take(&page, &what, packs),
            (true, ..) => return bad_request("how many packs? a whole number from 1 on"),
            (false, _, Ok(request)) => {
                sheet_of(&request, page.folder).and_then(|(name, sheet)| pantry::put(&page, &name, &sheet))
            }
            (false, _, Err(words)) => return bad_request(&words),
        };
        let status = if done.is_ok() { StatusCode::OK } else { StatusCode::CONFLICT };
        (status, view::pantry(&pantry::show(&page), Some(&done))).into_response()
    })
    .await
}

fn request(pairs: Pairs) -> Result<Request, Box<Response>> {
    let Form(pairs) = pairs.map_err(|refused| Box::new(refused.into_response()))?;
    Request::read(pairs).map_err(|words| Box::new(bad_request(&words)))
}

fn bad_request(words: &str) -> Response {
    (StatusCode::BAD_REQUEST, words.to_string()).into_response()
}

fn turned_away() -> Response {
    let words = "there are many requests at once; try again in a moment";
    (StatusCode::SERVICE_UNAVAILABLE, [(header::RETRY_AFTER, TRY_AGAIN_S)], words).into_response()
}

/// Waits for a core, then does something that computes or touches the disk.
async fn aside(page: &Arc<Page>, work: impl FnOnce(&Page) -> Response + Send + 'static) -> Response {
    let of_page = Arc::clone(page);
    page.gate.aside(false, move |_| work(&of_page)).await.unwrap_or_else(no_answer)
}

/// Waits for a core, then does what a form requests and answers the sheet that comes of it.
async fn state(page: &Arc<Page>, request: Request, whole: bool) -> Result<Shown, Response> {
    let of_page = Arc::clone(page);
    let work = move |leave: &Leave| {
        let quick = Effort::Quick { waiting: leave.waiting(), clock };
        let effort = if leave.is_whole() { Effort::Whole } else { quick };
        Shown::after(request, &of_page.environment(), effort)
    };
    page.gate.aside(whole, work).await.map_err(no_answer)
}

/// Time since the first request.
fn clock() -> Duration {
    static START: LazyLock<Instant> = LazyLock::new(Instant::now);
    START.elapsed()
}

fn no_answer(why: NoAnswer) -> Response {
    match why {
        NoAnswer::Busy => turned_away(),
        NoAnswer::BrokeOff => (StatusCode::INTERNAL_SERVER_ERROR, "the computation broke off").into_response(),
    }
}
