//! Readings so far refine the end and the bill.

use std::num::NonZeroUsize;
use std::path::PathBuf;

use icefront_core::learning::{Effort, Errors};
use icefront_core::result::BatchResult;
use icefront_kitchen::running::{self, chart, update_text};
use icefront_kitchen::{Failure, Look, Readings, Sheet, json};
use pyo3::prelude::*;

use crate::answer::{Answer, Parts};
use crate::questions::storage;
use crate::source::Source;

struct Updated {
    sheet: Sheet,
    typical: BatchResult,
    readings: Readings,
    answer: running::Answer,
}

impl Parts for Updated {
    fn text(&self, look: Look) -> String {
        update_text::text(&self.sheet, &self.typical, &self.readings, &self.answer, look)
    }

    fn charts(&self) -> Result<Vec<(String, String, String)>, Failure> {
        let svg = chart::chart(&self.sheet, &self.typical, &self.readings, &self.answer)?;
        Ok(vec![("update".into(), "Readings and prediction".into(), svg)])
    }
}

/// Updates a plan by readings, from a file or from the text of one.
#[pyfunction(name = "update")]
pub fn ask(
    py: Python<'_>,
    source: &Source,
    readings: (PathBuf, Option<String>),
    samples: usize,
    seed: u32,
    threads: Option<NonZeroUsize>,
) -> PyResult<Answer> {
    Answer::computed(py, || {
        let (_, sheet, _) = source.read()?;
        let typical = icefront_core::plan(&sheet.load)?;
        let errors = Errors::default();
        let files = storage(&readings.0, readings.1.as_deref());
        let readings = Readings::read(&readings.0, &*files, &sheet.load, &typical, &errors)?;
        let effort = Effort { draws: samples, seed, threads, ..Effort::default() };
        let answer = running::update(&sheet, &typical, &readings, &errors, &effort)?;
        let json = json::text(&running::answer::update(&sheet, &readings, &answer))?;
        Ok(Answer::new(json, Updated { sheet, typical, readings, answer }))
    })
}
