//! `icefront log` and `icefront learn` told to people and to programs.

use std::path::Path;

use icefront_core::learning::{BatchFit, Quantity};
use icefront_core::units::Duration;
use icefront_plot::FinishedBatch;
use serde::Serialize;

use crate::blocks::{Column, Part, Table, Words, in_order};
use crate::history::Batch;
use crate::learn::{Accuracy, Answer, Kind};
use crate::readings::Readings;
use crate::running::words::set_aside;
use crate::style::Look;
use crate::{format, unknown};

/// No more from the middle than this, in standard deviations, is not worth a number.
const AS_USUAL: f64 = 0.25;
/// Unknowns told, the most moved or narrowed first.
const TOLD: usize = 8;

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

/// What was learned, told to people.
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

/// Unit and size of it for a kind.
fn shown(kind: Kind) -> (&'static str, &'static str, f64) {
    match kind {
        Kind::Finish => ("end of the run", "h", 3_600.0),
        Kind::PumpStart => ("start of the pump", "h", 3_600.0),
        Kind::Weight => ("weights", "g", 1e-3),
        Kind::Energy => ("electricity", "kWh", 3.6e6),
        Kind::Temperature => ("temperatures", "K", 1.0),
        Kind::Pressure => ("pressure", "Pa", 1.0),
        Kind::Rise => ("pressure rise", "Pa/min", 1.0 / 60.0),
    }
}

fn accuracy(answer: &Answer) -> Table {
    let row = |Accuracy { kind, count, before, after }: &Accuracy| {
        let (what, unit, size) = shown(*kind);
        let number = |x: f64| format!("{:.2}", x / size);
        vec![format!("{what}, {unit}"), count.to_string(), number(*before), number(*after)]
    };
    Table {
        label: "how far off",
        about: ", on average".into(),
        columns: vec![
            Column::words("", 28),
            Column::number("readings"),
            Column::number("as entered"),
            Column::number("from all others"),
        ],
        rows: answer.accuracy.iter().map(row).collect(),
        notes: vec![
            "Each batch is predicted from all others, never from itself; batches that do not fit are left out here."
                .into(),
        ],
    }
}

fn finish_h(batch: &BatchFit) -> Option<[f64; 3]> {
    let at = batch.readings.iter().position(|r| r.quantity == Quantity::Finished)?;
    let all = [batch.readings[at].value, *batch.before.get(at)?, *batch.left_out.get(at)?];
    Some(all.map(|s| Duration::from_seconds(s).hours()))
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
    Table {
        label: "batches",
        about: String::new(),
        columns: vec![
            Column::words("", 24),
            Column::number("counts"),
            Column::number("chance"),
            Column::number("ended, h"),
            Column::number("as entered"),
            Column::number("from others"),
        ],
        rows: answer.learned.batches.iter().map(row).collect(),
        notes: vec![odd],
    }
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
    Table {
        label: "learned",
        about: String::new(),
        columns: vec![Column::words("", 46), Column::number("of such"), Column::number("range left")],
        rows: all.into_iter().take(TOLD).map(row).collect(),
        notes: vec![
            "Ranges of single numbers stay wide: batches tell combinations of them. The file keeps those.".into(),
        ],
    }
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

#[derive(Serialize)]
struct Report<'a> {
    dryer: &'a str,
    written_to: String,
    batches: Vec<BatchTold<'a>>,
    accuracy: Vec<AccuracyTold>,
    learned: Vec<UnknownTold<'a>>,
    other_dryers: &'a [String],
}

#[derive(Serialize)]
struct BatchTold<'a> {
    batch: &'a str,
    fits: bool,
    chance: f64,
    weight: f64,
    ended_h: Option<f64>,
    as_entered_h: Option<f64>,
    from_others_h: Option<f64>,
}

#[derive(Serialize)]
struct AccuracyTold {
    what: &'static str,
    unit: &'static str,
    readings: usize,
    as_entered: f64,
    from_others: f64,
}

#[derive(Serialize)]
struct UnknownTold<'a> {
    name: &'a str,
    rank: f64,
    range_left: f64,
}

/// What was learned, as JSON.
pub fn json(answer: &Answer, out: &Path) -> Result<String, serde_json::Error> {
    let belief = &answer.learned.belief;
    let unknowns = answer.learned.names.iter().zip(belief.middle.iter().zip(belief.deviations()));
    let report = Report {
        dryer: &answer.dryer,
        written_to: out.display().to_string(),
        batches: answer
            .learned
            .batches
            .iter()
            .map(|b| {
                let hours = finish_h(b);
                BatchTold {
                    batch: &b.name,
                    fits: b.fits,
                    chance: b.chance,
                    weight: b.weight,
                    ended_h: hours.map(|h| h[0]),
                    as_entered_h: hours.map(|h| h[1]),
                    from_others_h: hours.map(|h| h[2]),
                }
            })
            .collect(),
        accuracy: answer
            .accuracy
            .iter()
            .map(|a| {
                let (what, unit, size) = shown(a.kind);
                let (as_entered, from_others) = (a.before / size, a.after / size);
                AccuracyTold { what, unit, readings: a.count, as_entered, from_others }
            })
            .collect(),
        learned: unknowns
            .map(|(name, (middle, left))| UnknownTold { name, rank: unknown::rank(*middle), range_left: left })
            .collect(),
        other_dryers: &answer.others,
    };
    crate::json::text(&report)
}
