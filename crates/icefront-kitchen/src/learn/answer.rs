//! The answer of `icefront learn`, as data.

use std::path::Path;

use icefront_core::learning::{BatchFit, Quantity};
use icefront_core::result::Flag;
use icefront_core::units::Duration;
use serde::Serialize;

use crate::history::outcome::TurnedOut;
use crate::learn::Answer;
use crate::unknown;

/// What the batches of a dryer taught.
#[derive(Clone, Debug, Serialize)]
pub struct Lesson<'a> {
    /// Name of the dryer.
    pub dryer: &'a str,
    /// The learned dryer file.
    pub written_to: String,
    /// The batches of this dryer.
    pub batches: Vec<Past<'a>>,
    /// How far off predictions are, by kind of reading; batches that do not fit are left out.
    pub accuracy: &'a [Off],
    /// What is now believed of each unknown.
    pub learned: Vec<Unknown<'a>>,
    /// Error of the model: what a right run may be off at half a tray's water, share of it.
    pub model_error: f64,
    /// How trays turned out, beside what was predicted.
    pub outcomes: &'a [Checked],
    /// Batches of other dryers, not used.
    pub other_dryers: &'a [String],
}

/// One batch.
#[derive(Clone, Debug, Serialize)]
pub struct Past<'a> {
    /// Its name.
    pub batch: &'a str,
    /// Whether it fits the others.
    pub fits: bool,
    /// Chance of readings as far off if the other batches are right, 0 to 1.
    pub chance: f64,
    /// How much it counts.
    pub weight: f64,
    /// When it ended, as noted.
    pub ended_h: Option<f64>,
    /// The same with the dryer as entered.
    pub as_entered_h: Option<f64>,
    /// The same from all other batches.
    pub from_others_h: Option<f64>,
}

/// Mean distance of predictions.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Off {
    /// Kind of reading.
    pub what: &'static str,
    /// Unit of the two distances.
    pub unit: &'static str,
    /// Readings compared.
    pub readings: usize,
    /// With the dryer as entered.
    pub as_entered: f64,
    /// From all other batches.
    pub from_others: f64,
}

/// A prediction of texture and how the food turned out.
#[derive(Clone, Debug, Serialize)]
pub struct Checked {
    /// Batch.
    pub batch: String,
    /// Tray from the bottom, from 0.
    pub tray: usize,
    /// Its food.
    pub food: String,
    /// What was predicted of its texture; `null`: it keeps its shape.
    pub predicted: Option<Flag>,
    /// How it turned out.
    pub turned_out: TurnedOut,
}

/// One unknown.
#[derive(Clone, Debug, Serialize)]
pub struct Unknown<'a> {
    /// Its name.
    pub name: &'a str,
    /// Share of such machines or foods in which it is lower.
    pub rank: f64,
    /// Share of its range that is left.
    pub range_left: f64,
}

/// The answer as data; `out` is the learned dryer file.
pub fn lesson<'a>(answer: &'a Answer, out: &Path) -> Lesson<'a> {
    let belief = &answer.learned.belief;
    let unknowns = answer.learned.names.iter().zip(belief.middle.iter().zip(belief.deviations()));
    let past = |b: &'a BatchFit| {
        let [ended_h, as_entered_h, from_others_h] = finish_h(b).map_or([None; 3], |hours| hours.map(Some));
        Past { batch: &b.name, fits: b.fits, chance: b.chance, weight: b.weight, ended_h, as_entered_h, from_others_h }
    };
    Lesson {
        dryer: &answer.dryer,
        written_to: out.display().to_string(),
        batches: answer.learned.batches.iter().map(past).collect(),
        accuracy: &answer.accuracy,
        learned: unknowns
            .map(|(name, (middle, range_left))| Unknown { name, rank: unknown::rank(*middle), range_left })
            .collect(),
        model_error: answer.learned.model.moisture_ratio,
        outcomes: &answer.outcomes,
        other_dryers: &answer.others,
    }
}

/// When a batch ended, h: as noted, by the dryer as entered, and from all other batches.
pub fn finish_h(batch: &BatchFit) -> Option<[f64; 3]> {
    let at = batch.readings.iter().position(|r| r.quantity == Quantity::Finished)?;
    let all = [batch.readings[at].value, *batch.before.get(at)?, *batch.left_out.get(at)?];
    Some(all.map(|s| Duration::from_seconds(s).hours()))
}
