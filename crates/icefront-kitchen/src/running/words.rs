//! Words that the reports on a run that has begun share.

use icefront_core::learning::{Misfit, Suspect};

use crate::blocks::{List, Words};
use crate::running::doubtful::Doubtful;
use crate::{Readings, format};

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

/// Readings that were left out, if any.
pub fn check(doubtful: &[Doubtful]) -> Option<List> {
    let items: Vec<String> = doubtful.iter().map(|d| format!("Line {}: {}", d.line, d.sentence)).collect();
    (!items.is_empty()).then_some(List { label: "check this reading", items })
}

/// Said where too few samples agree with the readings.
pub fn uncertain(is_so: bool) -> Option<Words> {
    is_so.then(|| Words::new("uncertain", UNCERTAIN.trim_end()))
}

const UNCERTAIN: &str = include_str!("uncertain.txt");

/// Whether the readings fit, and what may be the matter; nothing where they do.
pub fn fit(misfit: &Misfit) -> Option<Words> {
    if misfit.fits {
        return None;
    }
    let causes = causes(misfit);
    let causes = if causes.is_empty() {
        "No single cause explains it: check units, trays and times in the readings".into()
    } else {
        format!("Likely: {}", causes.join("; "))
    };
    let chance = if misfit.chance < 0.001 { "1 in 1000".into() } else { format!("1 in {:.0}", 1.0 / misfit.chance) };
    let text = format!(
        "These readings are far from what this load should show (chance: less than {chance}), so they count for less. \
         {causes}."
    );
    Some(Words::new("misfit", text))
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
        format!("{what} (explains {:.0} %)", 100.0 * c.explains.min(0.99))
    };
    misfit.causes.iter().take(3).map(words).collect()
}

/// What to mind when a tray is to be weighed, and always.
const MIND: &str = include_str!("mind.txt");

/// The cautions.
pub fn mind() -> List {
    List::of_lines("cautions", MIND)
}
