//! The tables: foods, dryers, evidence.

use icefront_kitchen::catalogue;
use icefront_kitchen::evidence::{self, Table};
use icefront_kitchen::problem::spelling_help;
use icefront_kitchen::sheet::dryer as dryer_file;
use icefront_kitchen::{Failure, Look, json};
use pyo3::prelude::*;

use crate::answer::{Answer, Parts};
use crate::failure::raised;

/// A table that is all in its JSON.
struct Bare;

impl Parts for Bare {
    fn text(&self, _: Look) -> String {
        String::new()
    }
}

impl Parts for Table {
    fn text(&self, look: Look) -> String {
        evidence::text(self, look)
    }

    fn charts(&self) -> Result<Vec<(String, String, String)>, Failure> {
        let svg = icefront_plot::evidence_chart_svg(&self.measured_points())?;
        Ok(vec![("evidence".into(), "Predicted over measured drying times".into(), svg)])
    }
}

/// Foods that some words could mean, the best first; all foods without words.
#[pyfunction]
pub fn foods(py: Python<'_>, words: &str) -> PyResult<Answer> {
    Answer::computed(py, || Ok(Answer::new(json::text(&catalogue::foods(words)?)?, Bare)))
}

/// The built-in dryers.
#[pyfunction]
pub fn dryers(py: Python<'_>) -> PyResult<Answer> {
    Answer::computed(py, || Ok(Answer::new(json::text(&catalogue::dryers()?)?, Bare)))
}

/// The file of a built-in dryer.
#[pyfunction]
pub fn dryer(py: Python<'_>, name: &str) -> PyResult<String> {
    let names: Vec<&str> = dryer_file::BUILT_IN.iter().map(|(name, _)| *name).collect();
    let found = dryer_file::built_in(name).map(|text| text.text);
    found.ok_or_else(|| raised(py, &Failure::unknown("dryer", name, spelling_help(name, &names))))
}

/// Predictions beside what was published.
#[pyfunction(name = "evidence")]
pub fn published(py: Python<'_>) -> PyResult<Answer> {
    Answer::computed(py, || {
        let table = Table::embedded()?;
        Ok(Answer::new(evidence::json(&table)?, table))
    })
}
