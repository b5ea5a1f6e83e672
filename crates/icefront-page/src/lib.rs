//! The kitchen page as pure functions: a form's action and the files of a folder in, HTML out. No socket, no clock.
//!
//! ```text
//! request -> editor + form (fields -> sheet) -> the sheet reader -> answer -> questions -> state -> view
//! ```
//! The sheet is the only truth: a form is made from a sheet and the schema of its keys, and what the form sends back is put
//! into that sheet, read by the reader that `icefront plan` uses, and answered by what `icefront plan` computes. Nothing is
//! kept between two requests but the files of the folder, which may be a disk's or in memory. [`host`] has all that a
//! host needs; the server around it is `icefront page`, in `icefront-cli`.
//!
//! ```
//! use std::path::Path;
//!
//! use icefront_kitchen::{sheet, storage::Memory, weather::clock::Date};
//! use icefront_page::{Effort, Environment, Folder, Request, Settings, State, view};
//!
//! let folder = Folder::new(Path::new(""), Memory::default());
//! let today = Date::constant(2026, 1, 15);
//! let page = Environment { folder: &folder, settings: Settings { draws: 8, seed: 1 }, today, link: None };
//! let request = Request { sheet: sheet::demonstration().text, ..Request::default() };
//! let state = State::after(request, &page, Effort::Whole);
//! assert!(view::page(&state, None).into_string().contains("Ready "));
//! ```

#![cfg_attr(not(test), warn(clippy::disallowed_methods))]

mod anchor;
mod answer;
mod editor;
mod environment;
mod folder;
mod food;
mod form;
pub mod host;
mod names;
mod pantry;
mod place;
mod places;
mod questions;
mod readings;
mod remedy;
mod request;
mod state;
pub mod view;

pub use answer::{Answer, Effort};
pub use environment::{Environment, Settings};
pub use folder::{Folder, LARGEST_BYTES, Listing, Opened};
pub use place::View;
pub use request::{Action, PantryStep, Request};
pub use state::State;

/// The style sheet, at `/page.css`.
pub const STYLE: &str = include_str!("assets/page.css");
/// The icon, at `/icon.svg`.
pub const ICON: &str = include_str!("assets/icon.svg");
/// What a phone needs to put the page on its home screen, at `/page.webmanifest`.
pub const MANIFEST: &str = include_str!("assets/page.webmanifest");
/// The script, at `/page.js`; the page works without it.
pub const SCRIPT: &str = concat!(
    "\"use strict\";\n(() => {\n",
    include_str!("assets/script/host.js"),
    include_str!("assets/script/kept.js"),
    include_str!("assets/script/live.js"),
    include_str!("assets/script/save.js"),
    include_str!("assets/script/controls.js"),
    include_str!("assets/script/views.js"),
    include_str!("assets/script/main.js"),
    "})();\n"
);
