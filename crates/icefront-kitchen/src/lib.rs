#![doc = include_str!("../README.md")]
//!
//! # The modules
//!
//! One folder per question, each with its answer as serializable data and as text.
//!
//! | question | module |
//! | --- | --- |
//! | What is on the trays? | [`sheet`] (TOML text to a load; [`sheet::schema`] is the table of its keys), [`quantity`], [`catalogue`] (foods, dryers) |
//! | How long, how much, what to watch? | [`plan`], [`range`], [`report`]; many sheets: [`sweep`] |
//! | What if? | [`compare`], [`explain`], [`best`], [`prefreeze`] with [`weather`] |
//! | How is it going? | [`readings`], [`running`] (update, dry) |
//! | What came out, and where is it? | [`pack`], [`bill`], [`pantry`] |
//! | What did earlier batches teach? | [`history`], [`learn`] |
//! | How far can it be trusted? | [`evidence`] |
//!
//! Files are reached through the trait [`storage::Storage`] alone; days and times come in as data. Numbers become JSON by the
//! one convention of [`json`]; text is made of [`blocks`]. Errors: [`failure::Failure`], with place, value and allowed range of
//! whatever is wrong with a file ([`problem`]).

#![cfg_attr(not(test), warn(clippy::disallowed_methods))]

pub mod best;
pub mod bill;
pub mod blocks;
pub mod catalogue;
pub mod compare;
pub mod defaults;
pub mod evidence;
pub mod excerpt;
pub mod explain;
pub mod failure;
pub mod format;
pub mod formula;
pub mod history;
pub mod json;
pub mod kept;
pub mod learn;
pub mod pack;
pub mod pantry;
pub mod plan;
pub mod prefreeze;
pub mod problem;
pub mod quantity;
pub mod range;
pub mod readings;
pub mod refusal;
pub mod report;
pub mod running;
pub mod sheet;
pub mod shown;
pub mod storage;
pub mod style;
pub mod sweep;
pub mod table;
pub mod unknown;
pub mod usable;
pub mod weather;

pub use failure::Failure;
pub use readings::Readings;
pub use sheet::{Sheet, Text};
pub use storage::Storage;
pub use style::Look;
