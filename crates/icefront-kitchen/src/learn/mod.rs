//! What a history teaches about one dryer: answer first, then a dryer file with it.

pub mod answer;
pub mod file;
pub mod text;

pub use file::{dryer_file, entered, usual_name, with_learned};

use icefront_core::learning::{Errors, Learned, Logged, Quantity, learn};
use icefront_core::ranges::Point;

use crate::failure::Failure;
use crate::history::Batch;
use crate::sheet::{self, Sheet, Text, dryer};

/// A kind of reading, and how far predictions of it were off on average.
#[derive(Clone, Debug, PartialEq)]
pub struct Accuracy {
    /// Kind.
    pub kind: Kind,
    /// Readings compared.
    pub count: usize,
    /// Mean distance with the dryer as entered, SI.
    pub before: f64,
    /// Mean distance when each batch is predicted from all others, SI.
    pub after: f64,
}

/// Kinds of readings that are compared together.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Kind {
    /// End of the run, s.
    Finish,
    /// Start of the pump, s.
    PumpStart,
    /// Weight or water lost, kg.
    Weight,
    /// Energy, J.
    Energy,
    /// Temperatures, K.
    Temperature,
    /// Pressure, Pa.
    Pressure,
    /// Pressure rise, Pa/s.
    Rise,
}

impl Kind {
    const ALL: [Self; 7] =
        [Self::Finish, Self::PumpStart, Self::Weight, Self::Energy, Self::Temperature, Self::Pressure, Self::Rise];

    fn of(quantity: Quantity) -> Self {
        match quantity {
            Quantity::Finished => Self::Finish,
            Quantity::PumpStarted => Self::PumpStart,
            Quantity::Weight { .. } | Quantity::WaterLost { .. } => Self::Weight,
            Quantity::Energy => Self::Energy,
            Quantity::Product { .. } | Quantity::Shelf { .. } => Self::Temperature,
            Quantity::Pressure => Self::Pressure,
            Quantity::PressureRise => Self::Rise,
        }
    }
}

/// The answer.
#[derive(Clone, Debug)]
pub struct Answer {
    /// Name of the dryer.
    pub dryer: String,
    /// What was learned.
    pub learned: Learned,
    /// How far predictions were off, before and after.
    pub accuracy: Vec<Accuracy>,
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
        let reason = format!("it holds no reading of a batch in dryer `{dryer}`");
        return Err(Failure::Unfit { path: path.to_path_buf(), reason });
    }
    let learned = learn(&logged, errors, None)?;
    let accuracy = accuracy(&learned);
    Ok(Answer { dryer, learned, accuracy, others: others.iter().map(|b| b.name.clone()).collect() })
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

fn accuracy(learned: &Learned) -> Vec<Accuracy> {
    let all = learned.batches.iter().filter(|b| b.fits).flat_map(|b| {
        let predicted = b.before.iter().zip(&b.left_out);
        b.readings
            .iter()
            .zip(predicted)
            .map(|(r, (before, after))| (Kind::of(r.quantity), (r.value - before).abs(), (r.value - after).abs()))
    });
    let all: Vec<(Kind, f64, f64)> = all.collect();
    let of = |kind: Kind| {
        let those: Vec<&(Kind, f64, f64)> = all.iter().filter(|(k, ..)| *k == kind).collect();
        let count = those.len();
        let mean = |x: fn(&(Kind, f64, f64)) -> f64| those.iter().map(|d| x(d)).sum::<f64>() / count as f64;
        (count > 0).then(|| Accuracy { kind, count, before: mean(|d| d.1), after: mean(|d| d.2) })
    };
    Kind::ALL.into_iter().filter_map(of).collect()
}
