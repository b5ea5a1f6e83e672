//! Why it takes so long.

use std::num::NonZeroUsize;

use icefront_cli::Disk;
use icefront_core::ranges::Draws;
use icefront_kitchen::plan::Run;
use icefront_kitchen::{Failure, Look, explain, json};
use pyo3::prelude::*;

use crate::answer::{Answer, Parts};
use crate::source::Source;

struct Explained {
    name: String,
    answer: explain::Answer,
}

impl Parts for Explained {
    fn text(&self, look: Look) -> String {
        explain::text(&self.name, &self.answer, false, look)
    }

    fn charts(&self) -> Result<Vec<(String, String, String)>, Failure> {
        let food = &self.answer.load.trays[self.answer.tray].food;
        Ok(vec![
            ("explain".into(), "Where the temperature goes".into(), explain::chart(&self.answer)?),
            ("usable".into(), "Shelf and pressure".into(), self.answer.usable.chart(food)?),
        ])
    }
}

/// Explains one tray, from 1 at the bottom; without a number the one that is dry last.
#[pyfunction(name = "explain")]
pub fn ask(
    py: Python<'_>,
    source: &Source,
    tray: Option<usize>,
    samples: usize,
    seed: u32,
    threads: Option<NonZeroUsize>,
) -> PyResult<Answer> {
    Answer::computed(py, || {
        let (text, sheet, _) = source.read()?;
        let count = sheet.load.trays.len();
        if let Some(tray) = tray.filter(|tray| !(1..=count).contains(tray)) {
            return Err(Failure::unknown("tray", tray.to_string(), format!("the sheet has trays 1 to {count}")));
        }
        let run = Run::of(&sheet, &Draws { count: samples, seed, threads })?;
        let answer = explain::explain(&text, &run, tray.map(|tray| tray - 1), &Disk)?;
        Ok(Answer::new(json::text(&explain::explanation(&answer))?, Explained { name: text.name(), answer }))
    })
}
