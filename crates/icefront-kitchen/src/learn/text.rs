//! `icefront log` and `icefront learn` as text.

use std::path::Path;

use icefront_core::learning::BatchFit;
use icefront_plot::FinishedBatch;

use crate::blocks::{Column, Part, Table, Words, in_order};
use crate::history::Batch;
use crate::learn::Answer;
use crate::learn::answer::{Off, finish_h};
use crate::running::words::set_aside;
use crate::{Look, Readings, format, unknown};

/// No more from the middle than this, in standard deviations, is not worth a number.
const AS_USUAL: f64 = 0.25;
/// Unknowns listed, the most moved or narrowed first.
const LISTED: usize = 8;

/// What `icefront log` has done.
pub fn logged(history: &Path, batch: &Batch, readings: &Readings, look: Look) -> String {
    let what = format!(
        "Batch `{}` is in {}: {}, {}, dryer {}. `icefront learn {} --dryer \"{}\"` learns from it.",
        batch.name,
        history.display(),
        format::count(batch.trays.len(), "tray"),
        format::count(batch.readings.len(), "reading"),
        batch.dryer,
        history.display(),
        batch.dryer
    );
    in_order(&[&Words::new("", what), &set_aside(readings)], look)
}

/// What was learned.
pub fn text(answer: &Answer, out: &Path, look: Look) -> String {
    let count = answer.learned.batches.len();
    let batches = if count == 1 { "1 batch".into() } else { format!("{count} batches") };
    let head = format!(
        "Dryer {}: learned from {batches}, written to {}. Write dryer = \"{}\" in a load sheet to plan with it.",
        answer.dryer,
        out.display(),
        out.display()
    );
    let others = format!("Batches of other dryers, not used: {}.", answer.others.join(", "));
    let parts: [&dyn Part; 6] = [
        &Words::new("", head),
        &(!answer.accuracy.is_empty()).then(|| accuracy(answer)),
        &batch_table(answer),
        &unknowns(answer),
        &(!answer.others.is_empty()).then(|| Words::new("", others)),
        &Words::new("", MIND),
    ];
    in_order(&parts, look)
}

const MIND: &str = "Learned numbers say how this machine behaved with these foods. They are no guarantee for the next batch, \
                    and none for dryness: check the thickest spot of every tray before sealing.";

fn accuracy(answer: &Answer) -> Table {
    let row = |Off { what, unit, readings, as_entered, from_others }: &Off| {
        let number = |x: f64| format!("{x:.2}");
        vec![format!("{what}, {unit}"), readings.to_string(), number(*as_entered), number(*from_others)]
    };
    Table::of_numbers(
        "how far off",
        Column::words("", 28),
        ["readings", "as entered", "from all others"],
        answer.accuracy.iter().map(row),
    )
    .about(", on average")
    .note("Each batch is predicted from all others, never from itself; batches that do not fit are left out here.")
}

/// Batches that fit and whose end was noted, for the chart.
pub fn finished(answer: &Answer) -> Vec<FinishedBatch> {
    let fitting = answer.learned.batches.iter().filter(|b| b.fits).filter_map(finish_h);
    let finite = fitting.filter(|hours| hours.iter().all(|h| h.is_finite()));
    finite
        .map(|[noted_h, as_entered_h, from_others_h]| FinishedBatch { noted_h, as_entered_h, from_others_h })
        .collect()
}

fn batch_table(answer: &Answer) -> Table {
    let row = |batch: &BatchFit| {
        let chance = if batch.chance < 0.001 { "<0.1 %".into() } else { format::percent_1(batch.chance) };
        let hours = finish_h(batch).map_or([(); 3].map(|()| "-".into()), |hours| hours.map(|h| format!("{h:.1}")));
        [vec![batch.name.clone(), format!("{:.2}", batch.weight.min(1.0)), chance], hours.to_vec()].concat()
    };
    let odd: Vec<&str> = answer.learned.batches.iter().filter(|b| !b.fits).map(|b| b.name.as_str()).collect();
    let odd = if odd.is_empty() {
        "All batches fit each other.".to_string()
    } else {
        format!(
            "DO NOT FIT: {}. Chance below 1 % of readings as far off, if the other batches are right. They count for little: \
             look for a wrong weight, unit or food, a leak, or a machine that has changed.",
            odd.join(", ")
        )
    };
    Table::of_numbers(
        "batches",
        Column::words("", 24),
        ["counts", "chance", "ended, h", "as entered", "from others"],
        answer.learned.batches.iter().map(row),
    )
    .note(odd)
}

fn unknowns(answer: &Answer) -> Table {
    let belief = &answer.learned.belief;
    let mut all: Vec<(f64, f64, &String)> = answer
        .learned
        .names
        .iter()
        .zip(belief.middle.iter().zip(belief.deviations()))
        .map(|(name, (middle, left))| (*middle, left, name))
        .collect();
    let worth = |(middle, left, _): &(f64, f64, &String)| middle.abs() + (1.0 - left);
    all.sort_by(|a, b| worth(b).total_cmp(&worth(a)).then_with(|| a.2.cmp(b.2)));
    let row = |(middle, left, name): (f64, f64, &String)| {
        vec![unknown::words(name), place(middle), format::percent((100.0 * left).round() / 100.0)]
    };
    Table::of_numbers(
        "learned",
        Column::words("", 46),
        ["of such", "range left"],
        all.into_iter().take(LISTED).map(row),
    )
    .note("Ranges of single numbers stay wide: batches tell combinations of them. The file keeps those.")
}

/// `above 84 %`: of all such machines or foods.
fn place(middle: f64) -> String {
    let rank = unknown::rank(middle);
    if middle.abs() < AS_USUAL {
        "as usual".into()
    } else if rank >= 0.5 {
        format!("above {:.0} %", 100.0 * rank)
    } else {
        format!("below {:.0} %", 100.0 * (1.0 - rank))
    }
}
