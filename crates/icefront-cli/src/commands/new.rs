//! `icefront new`: a load sheet to start from.

use std::path::PathBuf;

use clap::Args;

use icefront_kitchen::failure::Failure;
use icefront_kitchen::output::{self, Targets};

/// Raw arguments.
#[derive(Debug, Args)]
pub struct Arguments {
    /// Where to write it.
    #[arg(value_name = "PATH", default_value = "load.toml")]
    path: PathBuf,
    /// Replace a file that is there.
    #[arg(long)]
    force: bool,
}

/// The sheet: short, with a remark for each line.
const SHEET: &str = icefront_kitchen::sheet::TEMPLATE;

/// Writes the sheet.
pub fn run(arguments: &Arguments) -> Result<(), Failure> {
    let path = &arguments.path;
    let (targets, name) = Targets::check_file(path, arguments.force)?;
    targets.write(&[(name, SHEET.as_bytes())])?;
    output::print(&format!("{} is written; next: icefront plan {0}\n", path.display()))
}

#[cfg(test)]
mod tests {
    use super::SHEET;
    use icefront_kitchen::sheet;

    #[test]
    fn the_sheet_can_be_planned_as_it_is() {
        sheet::read(&sheet::Text { path: "new.toml".into(), text: SHEET.into() }).unwrap();
    }
}
