//! One hour of a weather file.

use std::ops::Range;

use crate::weather::column::Hour;

/// One hour of a file.
#[derive(Clone, Debug, PartialEq)]
pub struct Row {
    /// s after 1970-01-01 00:00; years of a typical year mean nothing.
    pub time_s: f64,
    /// Its line.
    pub span: Range<usize>,
    /// The weather in it.
    pub hour: Hour,
}
