//! The paths of the page over HTTP. What answers each is `icefront_page::host`'s.

use std::sync::{Arc, LazyLock};
use std::time::{Duration, Instant};

use axum::extract::rejection::FormRejection;
use axum::extract::{DefaultBodyLimit, Form, State};
use axum::http::{StatusCode, Uri, header};
use axum::response::{IntoResponse, Redirect, Response};
use axum::routing::{get, post};
use axum::{Router, middleware};

use icefront_page::host::{Pairs, Reply, Visit};
use icefront_page::{Effort, Environment, Folder, LARGEST_BYTES, Settings, view};

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
        Environment { folder: &self.folder, settings: self.settings, today: today(), link: self.link.as_deref() }
    }
}

/// All paths, behind the guard.
pub fn routes(page: Page, guard: Guard) -> Router {
    Router::new()
        .route("/", get(begin))
        .route("/demonstration", get(show))
        .route("/new", get(show))
        .route("/sheet/{name}", get(show))
        .route("/plan", post(plan))
        .route("/live", post(send))
        .route("/json", post(send))
        .route("/foods", post(send))
        .route("/page.css", get(show))
        .route("/page.js", get(show))
        .route("/icon.svg", get(show))
        .route("/page.webmanifest", get(show))
        .fallback(|| async { (StatusCode::NOT_FOUND, "there is no such page here") })
        .layer(DefaultBodyLimit::max(LARGEST_FORM_BYTES))
        .layer(middleware::from_fn_with_state(Arc::new(guard), guard::check))
        .with_state(Arc::new(page))
}

type Shared = State<Arc<Page>>;
type Sent = Result<Form<Pairs>, FormRejection>;

async fn begin(State(page): Shared) -> Response {
    let path = page.first.as_deref().map_or_else(|| "/".to_string(), view::link_of);
    response(reply(&page, &path, None).await)
}

async fn show(State(page): Shared, path: Uri) -> Response {
    response(reply(&page, path.path(), None).await)
}

async fn send(State(page): Shared, path: Uri, sent: Sent) -> Response {
    match sent {
        Ok(Form(pairs)) => response(reply(&page, path.path(), Some(pairs)).await),
        Err(refused) => refused.into_response(),
    }
}

/// A form without a script: after saving, the sheet is shown under its own link.
async fn plan(State(page): Shared, path: Uri, sent: Sent) -> Response {
    let Form(pairs) = match sent {
        Ok(form) => form,
        Err(refused) => return refused.into_response(),
    };
    let reply = reply(&page, path.path(), Some(pairs)).await;
    match &reply.saved {
        Some(link) => Redirect::to(link).into_response(),
        None => response(reply),
    }
}

fn response(reply: Reply) -> Response {
    let status = StatusCode::from_u16(reply.status).unwrap_or(StatusCode::INTERNAL_SERVER_ERROR);
    let mut response = (status, [(header::CONTENT_TYPE, reply.media)], reply.text).into_response();
    if status == StatusCode::SERVICE_UNAVAILABLE {
        response.headers_mut().insert(header::RETRY_AFTER, header::HeaderValue::from_static(TRY_AGAIN_S));
    }
    response
}

/// Waits for a core, then does what is asked for.
async fn reply(page: &Arc<Page>, path: &str, form: Option<Pairs>) -> Reply {
    let visit = match Visit::read(path, form) {
        Ok(visit) => visit,
        Err(refusal) => return refusal,
    };
    let (of_page, whole) = (Arc::clone(page), visit.is_whole(page.settings));
    let work = move |leave: &Leave| {
        let quick = Effort::Quick { waiting: leave.waiting(), clock };
        let effort = if leave.is_whole() { Effort::Whole } else { quick };
        visit.reply(&of_page.environment(), effort)
    };
    page.gate.aside(whole, work).await.unwrap_or_else(|why| match why {
        NoAnswer::Busy => Reply::busy(),
        NoAnswer::BrokeOff => Reply::broken_off(),
    })
}

/// Time since the first request.
fn clock() -> Duration {
    static START: LazyLock<Instant> = LazyLock::new(Instant::now);
    START.elapsed()
}
