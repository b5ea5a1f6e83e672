//! Words that the reports on a run that has begun share.

use icefront_core::learning::{Misfit, Suspect};

use crate::blocks::{List, Words};
use crate::{Readings, format};

/// What is said where too few draws count.
pub const NONE_CREDIBLE: &str = "No run of the model agrees with both the sheet and these readings, so none is promised: check the \
                        readings (units, trays, times) and the sheet, and go by what you see and weigh.";

/// What was read.
pub fn read(readings: &Readings) -> Words {
    let last = format::hours(readings.until_s);
    let count = match readings.used.len() {
        0 => format!("nothing was read up to {last}"),
        some => format!("{}, the last at {last}", format::count(some, "reading")),
    };
    Words::new("", format!("{}: {count}.", readings.path.display()))
}

/// What was set aside, if anything.
pub fn set_aside(readings: &Readings) -> Option<List> {
    let items: Vec<String> =
        readings.set_aside.iter().map(|s| format!("Line {}: {}.", s.line, s.reason.trim_end_matches('.'))).collect();
    (!items.is_empty()).then_some(List { label: "set aside", items })
}

/// Whether the readings fit, and what may be the matter.
pub fn fit(misfit: &Misfit) -> Words {
    let chance = if misfit.chance < 0.001 { "less than 0.1 %".into() } else { format::percent_1(misfit.chance) };
    if misfit.fits {
        let text = format!("the readings fit what was entered (chance of readings as far off: {chance}).");
        return Words::new("fit", text);
    }
    let causes = causes(misfit);
    let causes = if causes.is_empty() {
        "no single cause explains it: look at units, trays and times in the readings".into()
    } else {
        causes.join("; ")
    };
    Words::new(
        "misfit",
        format!(
            "if all is as entered, readings as far off as these come with a chance of {chance} (less than 1 % counts as \
             misfit), so do not trust the numbers below. Likely: {causes}."
        ),
    )
}

/// Likely causes in words.
pub fn causes(misfit: &Misfit) -> Vec<String> {
    let words = |c: &icefront_core::learning::Cause| {
        let what = match (c.suspect, c.more) {
            (Suspect::TrayHeavier { tray }, true) => format!("tray {} heavier than entered", tray + 1),
            (Suspect::TrayHeavier { tray }, false) => format!("tray {} lighter than entered", tray + 1),
            (Suspect::AirLeak, true) => "an air leak (door seal, drain, hose) or a pump that needs oil".into(),
            (Suspect::AirLeak, false) => "less air leaking in than entered".into(),
            (Suspect::WarmRoom, true) => "a room warmer than entered".into(),
            (Suspect::WarmRoom, false) => "a room colder than entered".into(),
            (Suspect::WeakHeaters, true) => "heaters weaker than entered, or not all working".into(),
            (Suspect::WeakHeaters, false) => "heaters stronger than entered".into(),
            (Suspect::WeakRefrigeration, true) => "less cold than entered (dusty cooler, failing compressor)".into(),
            (Suspect::WeakRefrigeration, false) => "more cold than entered".into(),
        };
        format!("{what} (explains {:.0} % of it)", 100.0 * c.explains.min(0.99))
    };
    misfit.causes.iter().take(3).map(words).collect()
}

/// What to mind when a tray is to be weighed, and always.
const MIND: &str = include_str!("mind.txt");

/// The cautions.
pub fn mind() -> List {
    List::of_lines("mind", MIND)
}
