//! Words and units that the parts of a comparison share.

use icefront_core::decide::compare::{Variant, Verdict};
use icefront_core::decide::trouble::Trouble;

/// Chances worth a word.
const WORTH_TELLING: f64 = 0.01;

/// Troubles of a load with their chances, the likeliest first.
pub fn troubles(variant: &Variant) -> Vec<(Trouble, f64)> {
    let mut all: Vec<(Trouble, f64)> = Trouble::ALL
        .into_iter()
        .map(|trouble| (trouble, variant.chance(trouble)))
        .filter(|(_, chance)| *chance >= WORTH_TELLING)
        .collect();
    all.sort_by(|a, b| b.0.is_grave().cmp(&a.0.is_grave()).then(b.1.total_cmp(&a.1)));
    all
}

/// One or two words.
pub fn short(trouble: Trouble) -> &'static str {
    match trouble {
        Trouble::NotFrozen => "not frozen",
        Trouble::Melts => "melts",
        Trouble::Collapses => "collapses",
        Trouble::IceLeft => "ice left",
        Trouble::NotDry => "not dry",
        Trouble::NoRoomForIce => "no room for ice",
        Trouble::TooHigh => "too high",
    }
}

/// The word a verdict goes by, for a quantity that grows or shrinks.
pub fn verdict<'w>(verdict: Verdict, higher: &'w str, lower: &'w str) -> &'w str {
    match verdict {
        Verdict::Higher => higher,
        Verdict::Lower => lower,
        Verdict::NoDifference => "same",
        Verdict::CantTell => "unclear",
    }
}

/// kg/s as kg a day.
pub fn per_day(kg_per_s: f64) -> f64 {
    kg_per_s * 86_400.0
}

/// kg/J as kg per kWh.
pub fn per_kwh(kg_per_j: f64) -> f64 {
    kg_per_j * 3.6e6
}
