//! Answers about a run that has begun: what the readings say (`update`), and whether the food is dry (`dryness`). Text,
//! JSON and pages are made from these answers.

pub mod answer;
pub mod chart;
pub mod doubtful;
pub mod dry_text;
pub mod dryness;
pub mod interruptions;
pub mod left;
pub mod next;
pub mod update;
pub mod update_text;
pub mod weigh;
pub mod words;

pub use dryness::{Dryness, dryness};
pub use update::{Answer, Change, update};
