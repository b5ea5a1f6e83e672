//! A better arrangement, told to people (`text`) and to programs (`json`).

use icefront_core::decide::compare::Variant;
use icefront_core::load::Tray;

use crate::best::search::Answer;

/// Trays from the bottom: place in the sheet, as told and as arranged.
pub fn rows(answer: &Answer) -> impl Iterator<Item = (usize, &Tray, &Tray)> {
    let (told, found): (&Variant, &Variant) = (&answer.told, &answer.found);
    answer.arranged.order.iter().zip(&found.load.trays).map(|(&i, tray)| (i, &told.load.trays[i], tray))
}
