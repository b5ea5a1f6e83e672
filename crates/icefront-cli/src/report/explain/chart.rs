//! Shares of the resistances over the run, as one picture.

use icefront_core::decide::falls::Step;
use icefront_core::units::Duration;
use icefront_plot::{PlotError, ResistanceCourse};

use super::words;
use crate::explain::Answer;
use crate::report::flags;

/// Shares that never reach this are left out of the picture.
const WORTH_DRAWING: f64 = 0.005;

/// SVG text.
pub fn chart(answer: &Answer) -> Result<String, PlotError> {
    let falls = &answer.falls;
    let share = |step: Step| -> Vec<f64> {
        falls.falls_k.iter().map(|now| now[step as usize] / now.iter().sum::<f64>()).collect()
    };
    let shares = Step::ALL.into_iter().map(|step| (words::step(step).to_string(), share(step)));
    icefront_plot::resistance_chart_svg(&ResistanceCourse {
        tray: flags::named(&answer.result.trays[answer.tray]),
        time_h: falls.time_s.iter().map(|s| Duration::from_seconds(*s).hours()).collect(),
        shares: shares.filter(|(_, shares)| shares.iter().any(|s| *s >= WORTH_DRAWING)).collect(),
    })
}
