//! The load sheet that most commands begin with.

use std::path::PathBuf;

use clap::Args;

use crate::Disk;
use icefront_kitchen::Failure;
use icefront_kitchen::sheet::{self, Sheet, Text};

/// A load sheet, or none.
#[derive(Debug, Args)]
pub struct LoadArgument {
    /// Load sheet (its keys: docs/load-sheet.md); without it the invented demonstration load is taken.
    #[arg(value_name = "LOAD.toml")]
    load: Option<PathBuf>,
}

impl LoadArgument {
    /// The text of the sheet, and the sheet, checked.
    pub fn read(&self) -> Result<(Text, Sheet), Failure> {
        let text = Text::read_or_demonstration(self.load.as_deref(), &Disk)?;
        let sheet = sheet::read(&text, &Disk)?;
        Ok((text, sheet))
    }
}
