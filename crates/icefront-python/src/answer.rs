//! An answer: its JSON at once; words, charts and table when they are wanted.

use icefront_kitchen::{Failure, Look};
use pyo3::prelude::*;

use crate::failure::raised;

/// What stands beside the JSON of an answer.
pub trait Parts: Send + Sync {
    /// Its words.
    fn text(&self, look: Look) -> String;

    /// Its charts: file name, title, SVG.
    fn charts(&self) -> Result<Vec<(String, String, String)>, Failure> {
        Ok(Vec::new())
    }

    /// A table or a file that belongs to it.
    fn table(&self) -> Result<Option<String>, Failure> {
        Ok(None)
    }
}

/// An answer of the library.
#[pyclass(frozen, module = "icefront._native")]
pub struct Answer {
    /// By the convention of docs/json.md.
    json: String,
    parts: Box<dyn Parts>,
}

impl Answer {
    /// From its two halves.
    pub fn new(json: String, parts: impl Parts + 'static) -> Self {
        Self { json, parts: Box::new(parts) }
    }

    /// Computes an answer with the interpreter lock released.
    pub fn computed(py: Python<'_>, compute: impl FnOnce() -> Result<Self, Failure> + Send) -> PyResult<Self> {
        py.detach(compute).map_err(|failure| raised(py, &failure))
    }
}

#[pymethods]
impl Answer {
    /// The answer as JSON text.
    fn json(&self) -> &str {
        &self.json
    }

    /// The answer in words, as text or as HTML.
    fn text(&self, py: Python<'_>, html: bool) -> String {
        py.detach(|| self.parts.text(if html { Look::Page } else { Look::Bare }))
    }

    /// Its charts: file name, title, SVG.
    fn charts(&self, py: Python<'_>) -> PyResult<Vec<(String, String, String)>> {
        py.detach(|| self.parts.charts()).map_err(|failure| raised(py, &failure))
    }

    /// The table or file that belongs to it.
    fn table(&self, py: Python<'_>) -> PyResult<Option<String>> {
        py.detach(|| self.parts.table()).map_err(|failure| raised(py, &failure))
    }
}
