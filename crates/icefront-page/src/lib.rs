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
//! assert!(view::page(&state, None).into_string().contains("Food ready"));
//! ```

mod answer;
mod editor;
mod environment;
mod folder;
mod form;
pub mod host;
mod names;
pub mod pantry;
mod places;
mod questions;
mod readings;
mod request;
mod state;
pub mod view;

pub use answer::{Answer, Effort};
pub use environment::{Environment, Settings};
pub use folder::{Folder, LARGEST_BYTES, Listing, Opened};
pub use request::{Action, Request};
pub use state::{State, sheet_of};

/// The style sheet, at `/page.css`.
pub const STYLE: &str = include_str!("assets/page.css");
/// The script, at `/page.js`; the page works without it.
pub const SCRIPT: &str = concat!(
    "\"use strict\";\n(() => {\n",
    include_str!("assets/script/host.js"),
    include_str!("assets/script/page.js"),
    "})();\n"
);
