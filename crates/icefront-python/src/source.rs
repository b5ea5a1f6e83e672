//! What a load is read from: a file, the text of a sheet, a sheet as JSON, or trays in words.

use std::path::PathBuf;

use icefront_cli::Disk;
use icefront_kitchen::sheet::spoken::{self, Wishes};
use icefront_kitchen::{Failure, Sheet, Text, sheet, sweep};
use pyo3::prelude::*;

use crate::failure::raised;

/// Where a load comes from; it is read when it is used.
#[pyclass(frozen, skip_from_py_object, module = "icefront._native")]
#[derive(Clone, Debug)]
pub struct Source(Kind);

#[derive(Clone, Debug)]
enum Kind {
    File(PathBuf),
    Sheet(Text),
    Json { name: String, text: String },
    Words { trays: Vec<String>, wishes: Wishes },
}

impl Source {
    /// The text of the sheet, and what was assumed.
    pub fn text(&self) -> Result<(Text, Vec<String>), Failure> {
        let sure = |text| Ok((text, Vec::new()));
        match &self.0 {
            Kind::File(path) => sure(Text::read(path, &Disk)?),
            Kind::Sheet(text) => sure(text.clone()),
            Kind::Json { name, text } => match sweep::read(text.as_bytes()) {
                Ok((_, text)) => sure(Text { path: name.into(), ..text }),
                Err(reason) => Err(Failure::unreadable(name, reason)),
            },
            Kind::Words { trays, wishes } => spoken::sheet(trays, wishes),
        }
    }

    /// How a command names the load again.
    pub fn again(&self, text: &Text) -> String {
        match &self.0 {
            Kind::Words { trays, .. } => trays.iter().map(|tray| format!("\"{tray}\"")).collect::<Vec<_>>().join(" "),
            _ => text.name(),
        }
    }

    /// The text, the checked sheet, and what was assumed.
    pub fn read(&self) -> Result<(Text, Sheet, Vec<String>), Failure> {
        let (text, assumed) = self.text()?;
        let sheet = sheet::read(&text, &Disk)?;
        Ok((text, sheet, assumed))
    }
}

#[pymethods]
impl Source {
    /// A load sheet on the disk.
    #[staticmethod]
    fn file(path: PathBuf) -> Self {
        Self(Kind::File(path))
    }

    /// The text of a load sheet.
    #[staticmethod]
    fn sheet(text: String, name: String) -> Self {
        Self(Kind::Sheet(Text { path: name.into(), text }))
    }

    /// A load sheet as a JSON object.
    #[staticmethod]
    fn json(text: String, name: String) -> Self {
        Self(Kind::Json { name, text })
    }

    /// The invented load of the demonstration.
    #[staticmethod]
    fn demonstration() -> Self {
        Self(Kind::Sheet(sheet::demonstration()))
    }

    /// Trays in words.
    #[staticmethod]
    fn words(
        trays: Vec<String>,
        dryer: Option<String>,
        room: Option<String>,
        price_per_kwh: Option<f64>,
        currency: Option<String>,
        servings: Option<f64>,
    ) -> Self {
        Self(Kind::Words {
            trays,
            wishes: Wishes { dryer, room, price_per_kwh, currency, servings, ..Wishes::default() },
        })
    }

    /// The sheet as TOML text.
    fn toml(&self, py: Python<'_>) -> PyResult<String> {
        self.text().map(|(text, _)| text.text).map_err(|failure| raised(py, &failure))
    }
}
