//! Shares of the resistances over the run, as one picture.

use crate::format::in_hours;
use icefront_core::decide::falls::{ByStep, Step};
use icefront_plot::{PlotError, ResistanceCourse};

use crate::explain::reasons::Answer;
use crate::explain::words;
use crate::plan::flags;

/// Steps drawn on their own; the others are drawn together, so that no two have the same colour.
const DRAWN: usize = 6;

/// SVG text.
pub fn chart(answer: &Answer) -> Result<String, PlotError> {
    let falls = &answer.falls;
    let share = |steps: &[Step]| -> Vec<f64> {
        let of = |now: &ByStep| steps.iter().map(|step| now[*step]).sum::<f64>() / now.sum();
        falls.falls_k.iter().map(of).collect()
    };
    let mut largest = Step::ALL;
    largest.sort_by(|a, b| falls.share[*b].total_cmp(&falls.share[*a]));
    let (drawn, rest) = largest.split_at(DRAWN);
    let mut drawn = drawn.to_vec();
    drawn.sort_by_key(|step| *step as usize);
    let drawn = drawn.into_iter().map(|step| (words::step(step).to_string(), share(&[step])));
    icefront_plot::resistance_chart_svg(&ResistanceCourse {
        tray: flags::named(&answer.result.trays[answer.tray]),
        time_h: falls.time_s.iter().map(|s| in_hours(*s)).collect(),
        shares: drawn.chain([("all the rest".to_string(), share(rest))]).collect(),
    })
}
