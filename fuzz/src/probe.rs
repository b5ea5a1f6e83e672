//! The commands with their files given as text and their answers as values: for programs that try many inputs in one
//! process. Each function takes the same path as the command of its name and writes nothing;
//! its error is the message that a user sees.

use std::net::SocketAddr;
use std::num::NonZeroUsize;
use std::path::Path;

use axum::body::{Body, to_bytes};
use axum::http::{Request, header};
use hyper::service::Service;
use hyper_util::service::TowerToHyperService;
use icefront_core::learning::{Effort, Errors};
use icefront_core::ranges::Draws;
use icefront_core::result::BatchResult;
use serde_json::Value;

use icefront_cli::Disk;
use icefront_kitchen::plan::Run;
use icefront_kitchen::plan::document::Document;
use icefront_kitchen::sheet::{self, Sheet, Text};
use icefront_kitchen::{Failure, Look, Readings, running};
use icefront_page::{Folder, Settings};

/// Seed of all draws.
const SEED: u32 = 1;
/// Address that the in-process page believes to have.
const PAGE_ADDRESS: SocketAddr = SocketAddr::new(std::net::IpAddr::V4(std::net::Ipv4Addr::LOCALHOST), 8080);
/// Largest answer that is taken from the page, bytes.
const LARGEST_ANSWER_BYTES: usize = 64 << 20;

/// The answer of `icefront plan`.
#[derive(Debug)]
pub struct Plan {
    /// The run that stands for the answer.
    pub result: BatchResult,
    /// As `--json` prints it.
    pub json: Value,
    /// As it is printed for people.
    pub text: String,
}

/// `icefront plan`, in this dryer if one is given; `draws` of 0 plans the typical numbers alone.
///
/// # Errors
/// What is wrong with the files, or why the load cannot be planned.
pub fn plan(load: &str, dryer: Option<&str>, draws: usize) -> Result<Plan, String> {
    plan_sheet(&read(load, dryer).map_err(said)?, draws).map_err(said)
}

fn plan_sheet(sheet: &Sheet, draws: usize) -> Result<Plan, Failure> {
    let run = Run::of(sheet, &Draws { count: draws, seed: SEED, threads: Some(NonZeroUsize::MIN) })?;
    let near = if draws == 0 { None } else { run.limits(sheet)? };
    let json = icefront_kitchen::json::value(&icefront_kitchen::plan::answer(&run, near.as_ref()))?;
    let text = Document::new("load.toml", sheet, &run, near.as_ref()).text(Look::Plain);
    Ok(Plan { result: run.result, json, text })
}

/// What a command prints: as JSON and for people.
#[derive(Debug)]
pub struct Printed {
    /// As `--json` prints it.
    pub json: String,
    /// As it is printed for people.
    pub text: String,
}

/// `icefront update` and then `icefront dry` with the same readings.
///
/// # Errors
/// What is wrong with the files, or why they cannot be weighed. The second part has its own error.
pub fn update(
    load: &str,
    dryer: Option<&str>,
    readings: &str,
    draws: usize,
) -> Result<(Printed, Result<Printed, String>), String> {
    let sheet = read(load, dryer).map_err(said)?;
    let typical = icefront_core::plan(&sheet.load).map_err(|refusal| refusal.to_string())?;
    let errors = Errors::default();
    let readings = Readings::of(named("readings.csv", readings), &sheet.load, &typical, &errors).map_err(said)?;
    let effort = Effort { draws, seed: SEED, threads: Some(NonZeroUsize::MIN), ..Effort::default() };
    let answer = running::update(&sheet, &typical, &readings, &errors, &effort).map_err(said)?;
    let updated = Printed {
        json: icefront_kitchen::json::text(&running::answer::update(&sheet, &readings, &answer))
            .map_err(|e| e.to_string())?,
        text: icefront_kitchen::running::update_text::text(&sheet, &typical, &readings, &answer, Look::Plain),
    };
    let dry = running::dryness(&sheet, &typical, &readings, &errors, &effort).map_err(said).and_then(|answer| {
        let json =
            icefront_kitchen::json::text(&running::answer::dry(&readings, &answer)).map_err(|e| e.to_string())?;
        Ok(Printed {
            json,
            text: icefront_kitchen::running::dry_text::text(&sheet, &typical, &readings, &answer, Look::Plain),
        })
    });
    Ok((updated, dry))
}

/// Whether readings can be read for a load.
///
/// # Errors
/// What is wrong with the files.
pub fn readings(load: &str, readings: &str) -> Result<(), String> {
    let sheet = read(load, None).map_err(said)?;
    let typical = icefront_core::plan(&sheet.load).map_err(|refusal| refusal.to_string())?;
    Readings::of(named("readings.csv", readings), &sheet.load, &typical, &Errors::default()).map(drop).map_err(said)
}

/// The kitchen page without a socket.
#[derive(Debug)]
pub struct Kitchen {
    runtime: tokio::runtime::Runtime,
    routes: axum::Router,
}

/// What the page answers.
#[derive(Debug)]
pub struct Answered {
    /// Status code.
    pub status: u16,
    /// Body.
    pub body: String,
}

impl Kitchen {
    /// The page that `icefront page` serves in this folder.
    ///
    /// # Errors
    /// If no runtime can be made.
    pub fn new(folder: &Path, draws: usize) -> std::io::Result<Self> {
        let runtime = tokio::runtime::Builder::new_current_thread().enable_all().build()?;
        let settings = Settings { draws, seed: SEED };
        Ok(Self { runtime, routes: icefront_cli::page_routes(Folder::new(folder, Disk), settings, PAGE_ADDRESS) })
    }

    /// Sends a form to one of its paths.
    ///
    /// # Errors
    /// If the request cannot be made or the answer cannot be read.
    pub fn post(&self, path: &str, form: &str) -> Result<Answered, String> {
        let request = Request::post(path)
            .header(header::ORIGIN, format!("http://{PAGE_ADDRESS}"))
            .header(header::CONTENT_TYPE, "application/x-www-form-urlencoded")
            .header(header::HOST, PAGE_ADDRESS.to_string())
            .body(Body::from(form.to_string()));
        self.ask(request)
    }

    /// Opens one of its paths.
    ///
    /// # Errors
    /// As [`Kitchen::post`].
    pub fn get(&self, path: &str) -> Result<Answered, String> {
        self.ask(Request::get(path).header(header::HOST, PAGE_ADDRESS.to_string()).body(Body::empty()))
    }

    fn ask(&self, request: Result<Request<Body>, axum::http::Error>) -> Result<Answered, String> {
        let request = request.map_err(|e| e.to_string())?;
        let service = TowerToHyperService::new(self.routes.clone());
        self.runtime.block_on(async {
            let response = service.call(request).await.map_err(|e| e.to_string())?;
            let status = response.status().as_u16();
            let body = to_bytes(response.into_body(), LARGEST_ANSWER_BYTES).await.map_err(|e| e.to_string())?;
            let body = String::from_utf8(body.into()).map_err(|e| e.to_string())?;
            Ok(Answered { status, body })
        })
    }
}

fn read(load: &str, dryer: Option<&str>) -> Result<Sheet, Failure> {
    let load = named("load.toml", load);
    match dryer {
        Some(dryer) => sheet::read_in_dryer(&load, &named("dryer.toml", dryer)),
        None => sheet::read(&load, &Disk),
    }
}

fn named(path: &str, text: &str) -> Text {
    Text { path: path.into(), text: text.into() }
}

fn said(failure: Failure) -> String {
    failure.to_string()
}
