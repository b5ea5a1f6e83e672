//! What a chart of a run carries from the answer: its sentences, word for word, and its units.

use icefront_core::units::UnitSystem;

/// The answer that the charts of a run belong to.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Headline {
    /// When the food is ready, with its range.
    pub ready: String,
    /// The electricity and its cost, with their range.
    pub electricity: String,
    /// Units of axes and remarks.
    pub units: UnitSystem,
}
