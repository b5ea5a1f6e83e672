//! What a history teaches about one dryer: answer first, then a dryer file with it.

pub mod answer;
pub mod file;
pub mod text;

pub use file::{dryer_file, entered, usual_name, with_learned};

use icefront_core::learning::{Errors, Learned, Logged, Quantity, learn};
use icefront_core::ranges::Point;
use icefront_core::result::Flag;

use crate::Failure;
use crate::history::Batch;
use crate::learn::answer::{Checked, Off};
use crate::sheet::{self, Sheet, Text, dryer};

/// The answer.
#[derive(Clone, Debug)]
pub struct Answer {
    /// Name of the dryer.
    pub dryer: String,
    /// What was learned.
    pub learned: Learned,
    /// How far predictions were off, before and after.
    pub accuracy: Vec<Off>,
    /// How trays turned out, beside what was predicted.
    pub outcomes: Vec<Checked>,
    /// Batches of other dryers, left alone.
    pub others: Vec<String>,
}

/// Learns about the dryer of a file from the batches that ran in it.
pub fn answer(history: &[Batch], path: &std::path::Path, file: &Text, errors: &Errors) -> Result<Answer, Failure> {
    let dryer = dryer::read(file)?.name;
    let (own, others): (Vec<&Batch>, Vec<&Batch>) = history.iter().partition(|b| b.dryer == dryer);
    let sheets: Result<Vec<Sheet>, Failure> = own
        .iter()
        .map(|batch| {
            let place = format!("{}, sheet of batch {}", path.display(), batch.name);
            sheet::read_in_dryer(&Text { path: place.into(), text: batch.sheet.clone() }, file)
        })
        .collect();
    let sheets = sheets?;
    let logged: Vec<Logged<'_>> = own.iter().zip(&sheets).map(|(batch, sheet)| logged(batch, sheet)).collect();
    if logged.iter().all(|b| b.readings.is_empty()) {
        return Err(Failure::unfit(path, format!("it holds no reading of a batch in dryer `{dryer}`")));
    }
    let learned = learn(&logged, errors, None)?;
    let accuracy = accuracy(&learned);
    let outcomes = outcomes(&own, &sheets)?;
    Ok(Answer { dryer, learned, accuracy, outcomes, others: others.iter().map(|b| b.name.clone()).collect() })
}

fn logged<'a>(batch: &'a Batch, sheet: &'a Sheet) -> Logged<'a> {
    Logged {
        name: batch.name.clone(),
        sheet: &batch.sheet,
        own: sheet.own_unknowns().len(),
        shared: sheet.shared_names(),
        build: Box::new(move |point: &Point| sheet.at(point)),
        readings: batch.readings.clone(),
    }
}

/// What was predicted of the texture of trays whose outcome was noted.
fn outcomes(batches: &[&Batch], sheets: &[Sheet]) -> Result<Vec<Checked>, Failure> {
    let mut all = Vec::new();
    for (batch, sheet) in batches.iter().zip(sheets).filter(|(batch, _)| !batch.outcomes.is_empty()) {
        let run = icefront_core::plan(&sheet.load)?;
        for outcome in &batch.outcomes {
            let Some(tray) = run.trays.get(outcome.tray) else { continue };
            let texture = [Flag::Collapses, Flag::Shrinks, Flag::Softens];
            all.push(Checked {
                batch: batch.name.clone(),
                tray: outcome.tray,
                food: batch.trays.get(outcome.tray).map_or(String::new(), |t| t.food.clone()),
                predicted: texture.into_iter().find(|flag| tray.flags.contains(flag)),
                turned_out: outcome.turned_out,
            });
        }
    }
    Ok(all)
}

/// Kinds of readings that are compared together, each by one of its quantities.
const KINDS: [Quantity; 8] = [
    Quantity::Finished,
    Quantity::PumpStarted,
    Quantity::Weight { tray: 0 },
    Quantity::Energy,
    Quantity::Product { tray: 0 },
    Quantity::Pressure,
    Quantity::PressureRise,
    Quantity::Drained,
];

/// The kind of a quantity in words, its unit, and the size of that in SI.
fn scale(quantity: Quantity) -> (&'static str, &'static str, f64) {
    match quantity {
        Quantity::Finished => ("end of the run", "h", 3_600.0),
        Quantity::PumpStarted => ("start of the pump", "h", 3_600.0),
        Quantity::Weight { .. } | Quantity::WaterLost { .. } => ("weights", "g", 1e-3),
        Quantity::Drained => ("water drained", "g", 1e-3),
        Quantity::Energy => ("electricity", "kWh", 3.6e6),
        Quantity::Product { .. } | Quantity::Shelf { .. } => ("temperatures", "K", 1.0),
        Quantity::Pressure => ("pressure", "Pa", 1.0),
        Quantity::PressureRise => ("pressure rise", "Pa/min", 1.0 / 60.0),
    }
}

fn accuracy(learned: &Learned) -> Vec<Off> {
    let all = learned.batches.iter().filter(|b| b.fits).flat_map(|b| {
        let predicted = b.before.iter().zip(&b.left_out);
        b.readings
            .iter()
            .zip(predicted)
            .map(|(r, (before, after))| (scale(r.quantity).0, (r.value - before).abs(), (r.value - after).abs()))
    });
    let all: Vec<(&str, f64, f64)> = all.collect();
    let of = |kind: Quantity| {
        let (what, unit, size) = scale(kind);
        let those: Vec<&(&str, f64, f64)> = all.iter().filter(|(w, ..)| *w == what).collect();
        let readings = those.len();
        let mean = |x: fn(&(&str, f64, f64)) -> f64| those.iter().map(|d| x(d)).sum::<f64>() / readings as f64 / size;
        (readings > 0).then(|| Off { what, unit, readings, as_entered: mean(|d| d.1), from_others: mean(|d| d.2) })
    };
    KINDS.into_iter().filter_map(of).collect()
}
