//! `icefront log` and `icefront learn` as text.

use std::path::Path;

use icefront_core::learning::BatchFit;
use icefront_core::result::Flag;
use icefront_plot::FinishedBatch;

use crate::blocks::{Column, Part, Table, Words, in_order};
use crate::history::Batch;
use crate::learn::Answer;
use crate::learn::answer::{Checked, Off, finish_h};
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

/// What `icefront log --turned-out` has done.
pub fn outcome_noted(history: &Path, batch: &str, added: usize, look: Look) -> String {
    let what = format!(
        "Noted in {}: how {} of batch `{batch}` turned out. `icefront learn` compares it with what was predicted.",
        history.display(),
        format::count(added, "tray")
    );
    in_order(&[&Words::new("", what)], look)
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
    let parts: [&dyn Part; 8] = [
        &Words::new("", head),
        &summary(answer),
        &turned_out(answer),
        &(!answer.accuracy.is_empty()).then(|| accuracy(answer)),
        &batch_table(answer),
        &unknowns(answer),
        &(!answer.others.is_empty()).then(|| Words::new("", others)),
        &Words::new("", MIND),
    ];
    in_order(&parts, look)
}

const MIND: &str = "Learned numbers show how this machine behaved with these foods. They do not guarantee the next \
                    batch. Check the thickest spot of every tray before sealing.";

/// What the batches say, in sentences: before and after.
fn summary(answer: &Answer) -> Option<Words> {
    let end = answer.accuracy.iter().find(|off| off.what == "end of the run")?;
    let ends: Vec<[f64; 3]> = answer.learned.batches.iter().filter(|b| b.fits).filter_map(finish_h).collect();
    let factor: f64 =
        ends.iter().map(|[noted, entered, _]| libm::log(noted / entered)).sum::<f64>() / ends.len().max(1) as f64;
    let share = (100.0 * (libm::exp(factor) - 1.0)).round();
    let pace = match share {
        s if !s.is_finite() => return None,
        s if s.abs() < 2.0 => "Your batches end about when the dryer as entered says".to_string(),
        s if s > 0.0 => format!("Your batches take about {s:.0} % longer than the dryer as entered says"),
        s => format!("Your batches are done about {:.0} % sooner than the dryer as entered says", -s),
    };
    Some(Words::new(
        "",
        format!(
            "{pace}. Predictions of the end were off by {:.1} h on average; with what the other batches taught, by \
             {:.1} h. Half-way, the predicted water in a tray is off by about {:.0} %.",
            end.as_entered,
            end.from_others,
            100.0 * answer.learned.model.moisture_ratio
        ),
    ))
}

/// What was predicted of texture and dryness, and how it turned out.
fn turned_out(answer: &Answer) -> Option<Table> {
    let row = |o: &Checked| {
        let predicted = o.predicted.map_or("keeps its shape", |flag| flag_words(flag));
        vec![format!("{}, tray {}, {}", o.batch, o.tray + 1, o.food), predicted.into(), o.turned_out.word().into()]
    };
    let rows: Vec<Vec<String>> = answer.outcomes.iter().map(row).collect();
    let columns = [Column::words("", 34), Column::words("predicted", 22), Column::words("turned out", 12)];
    (!rows.is_empty()).then(|| {
        Table::new("how it turned out", columns, rows)
            .note("Shrunk or sticky food that was predicted to keep its shape: lower the shelf temperature next time.")
    })
}

fn flag_words(flag: Flag) -> &'static str {
    match flag {
        Flag::Softens => "may soften",
        Flag::Shrinks => "shrinks",
        Flag::Collapses => "collapses",
        _ => "keeps its shape",
    }
}

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
    .note("Each batch is predicted from the others. Batches that do not fit are left out here.")
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
            "DO NOT FIT: {}. If the other batches are right, the chance of such readings is below 1 %. They count for \
             little. Look for a wrong weight, unit or food, a leak, or a changed machine.",
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
    .note(
        "Single numbers stay uncertain because a batch shows several at once. The file keeps how they go together. \
           To leave out a batch, use --without NAME.",
    )
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
