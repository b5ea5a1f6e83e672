//! One hour of a weather file, and what can be wrong with it.

use std::ops::Range;

use crate::problem::Problem;
use crate::weather::column::Hour;

/// One hour of a file.
#[derive(Clone, Debug, PartialEq)]
pub struct Row {
    /// s after 1970-01-01 00:00; years of a typical year mean nothing.
    pub time_s: f64,
    /// Its line.
    pub span: Range<usize>,
    /// What it tells of the weather.
    pub hour: Hour,
}

/// A problem at a place of the file.
pub fn problem(
    span: Range<usize>,
    title: impl Into<String>,
    label: impl Into<String>,
    help: Option<String>,
) -> Problem {
    Problem { span, title: title.into(), label: label.into(), help }
}
