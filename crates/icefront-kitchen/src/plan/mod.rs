//! A planned batch: the answer as data, its words and pictures, and the run as a table over time.

pub mod answer;
pub mod care;
mod cautions;
pub mod charts;
pub mod course;
pub mod document;
pub mod flags;
pub mod headline;
pub mod history_csv;
pub mod last;
pub mod limits;
pub mod narrowing;
pub mod outcome;
pub mod run;
pub mod screen;
pub mod tables;
mod vague;
pub mod verdict;

pub use answer::{Answer, answer};
pub use cautions::cautions;
pub use charts::{Chart, chart_files, charts};
pub use document::{Document, typical};
pub use outcome::stopped;
pub use run::Run;
pub use tables::loading;
