//! A number of the typical run, and the range that draws give it.

use icefront_core::ranges::Quantiles;
use serde::Serialize;

/// A number of the typical run within what the samples give. Without samples all three are alike.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct RunBand {
    /// One sample in ten lies below, or the typical run where that is lower.
    pub low: f64,
    /// The run with the middle of every number.
    pub typical_run: f64,
    /// One sample in ten lies above, or the typical run where that is higher.
    pub high: f64,
}

impl RunBand {
    /// Of the typical run and draws of the same.
    pub fn new(typical_run: f64, drawn: impl IntoIterator<Item = f64>) -> Self {
        let range = Quantiles::of(drawn);
        // NaN where nothing was drawn: min and max then keep the number
        Self { low: range.low.min(typical_run), typical_run, high: range.high.max(typical_run) }
    }

    /// As much more.
    #[must_use]
    pub fn plus(self, more: f64) -> Self {
        Self { low: self.low + more, typical_run: self.typical_run + more, high: self.high + more }
    }
}
