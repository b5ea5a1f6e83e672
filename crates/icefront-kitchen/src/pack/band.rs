//! After the run, as values: how much dried food there is, how it is packed, what it costs. Reports are made from these.

use icefront_core::food::Band;
use icefront_core::ranges::Quantiles;

/// A number with the range that draws give it; without draws the number alone.
pub fn band(typical: f64, drawn: impl IntoIterator<Item = f64>) -> Band {
    let range = Quantiles::of(drawn);
    // NaN where nothing was drawn: min and max then keep the number
    Band::new(range.low.min(typical), typical, range.high.max(typical))
}
