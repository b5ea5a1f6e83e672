//! Tests of the program as a cook runs it, one module per command, in one binary so that they link once.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, reason = "a helper that fails is a test that fails")]

mod common;
#[path = "common/program.rs"]
mod program;
mod running;
#[path = "common/spoken.rs"]
mod spoken;

mod answers;
mod bad_input;
mod best;
mod bill;
mod book;
mod cli;
mod compare;
mod examples;
mod explain;
mod files;
mod habits;
mod learn;
mod ledger;
mod limits;
mod log;
mod pack;
mod page;
mod page_browser;
mod prefreeze;
mod report;
mod round_trip;
mod same_numbers;
mod screen;
mod shell;
mod store;
mod sweep;
mod terminal;
mod units;
mod update;
mod weather;
mod wording;
