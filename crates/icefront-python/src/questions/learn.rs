//! What finished batches teach about a machine.

use std::path::{Path, PathBuf};

use icefront_cli::Disk;
use icefront_core::learning::Errors;
use icefront_kitchen::{Failure, Look, Text, history, json, learn};
use pyo3::prelude::*;

use crate::answer::{Answer, Parts};
use crate::questions::storage;

struct Learned {
    history: PathBuf,
    file: Text,
    out: PathBuf,
    answer: learn::Answer,
}

impl Parts for Learned {
    fn text(&self, look: Look) -> String {
        learn::text::text(&self.answer, &self.out, look)
    }

    fn charts(&self) -> Result<Vec<(String, String, String)>, Failure> {
        let finished = learn::text::finished(&self.answer);
        if finished.is_empty() {
            return Ok(Vec::new());
        }
        let svg = icefront_plot::accuracy_chart_svg(&finished)?;
        Ok(vec![("learned".into(), "End of each batch, predicted and noted".into(), svg)])
    }

    /// The learned dryer file.
    fn table(&self) -> Result<Option<String>, Failure> {
        Ok(Some(learn::with_learned(&self.file, &self.answer.learned, &self.history)))
    }
}

/// Learns about a dryer from a history, a file or the text of one. Nothing is written.
#[pyfunction(name = "learn")]
pub fn ask(py: Python<'_>, history: (PathBuf, Option<String>), dryer: &str, without: Vec<String>) -> PyResult<Answer> {
    Answer::computed(py, || {
        let (path, text) = history;
        let file = learn::entered(&learn::dryer_file(dryer, Path::new(""), &Disk)?);
        let batches = history::without(history::read(&path, &*storage(&path, text.as_deref()))?, &without)?;
        let answer = learn::answer(&batches, &path, &file, &Errors::default())?;
        let out = PathBuf::from(learn::usual_name(dryer));
        let json = json::text(&learn::answer::lesson(&answer, &out))?;
        Ok(Answer::new(json, Learned { history: path, file, out, answer }))
    })
}
