//! How long, how much, what to watch out for.

use std::num::NonZeroUsize;

use icefront_core::ranges::Draws;
use icefront_kitchen::plan::screen::Screen;
use icefront_kitchen::plan::{self, Run, history_csv};
use icefront_kitchen::{Failure, Look, Sheet, json};
use pyo3::prelude::*;

use crate::answer::{Answer, Parts};
use crate::source::Source;

struct Planned {
    /// How a command names the load.
    again: String,
    sheet: Sheet,
    run: Run,
    assumed: Vec<String>,
}

impl Parts for Planned {
    fn text(&self, look: Look) -> String {
        let Self { again, sheet, run, assumed } = self;
        Screen { source: again, sheet, run, start: None, assumed }.text(look)
    }

    fn charts(&self) -> Result<Vec<(String, String, String)>, Failure> {
        let charts = plan::charts(&self.run)?;
        Ok(charts.into_iter().map(|chart| (chart.file, chart.title, chart.svg)).collect())
    }

    fn table(&self) -> Result<Option<String>, Failure> {
        let csv = history_csv::csv(&self.run.result).map_err(std::io::Error::from)?;
        Ok(Some(String::from_utf8_lossy(&csv).into_owned()))
    }
}

/// Plans a load.
#[pyfunction(name = "plan")]
pub fn ask(
    py: Python<'_>,
    source: &Source,
    samples: usize,
    seed: u32,
    threads: Option<NonZeroUsize>,
    limits: bool,
) -> PyResult<Answer> {
    Answer::computed(py, || {
        let (text, sheet, assumed) = source.read()?;
        let run = Run::of(&sheet, &Draws { count: samples, seed, threads })?;
        let near = if limits { run.limits(&sheet)? } else { None };
        let json = json::text(&plan::answer(&run, near.as_ref()))?;
        Ok(Answer::new(json, Planned { again: source.again(&text), sheet, run, assumed }))
    })
}
