//! `icefront new`: a load sheet to start from.

use std::path::PathBuf;

use clap::Args;

use crate::{Targets, output};
use icefront_kitchen::Failure;
use icefront_kitchen::sheet::schema::json;

/// Raw arguments.
#[derive(Debug, Args)]
pub struct Arguments {
    /// Where to write it.
    #[arg(value_name = "PATH", default_value = "load.toml")]
    path: PathBuf,
    /// Replace a file that is there.
    #[arg(long)]
    force: bool,
    /// Write beside it what a TOML editor needs to complete and check it: the JSON Schemas of sheets and dryer files.
    #[arg(long)]
    schema: bool,
}

/// The sheet: short, with a remark for each line.
const SHEET: &str = icefront_kitchen::sheet::TEMPLATE;

/// Writes the sheet. Its first line names its schema as TOML editors read it: a file beside it, for nothing here is looked
/// up on a network.
pub fn run(arguments: &Arguments) -> Result<(), Failure> {
    let path = &arguments.path;
    let (targets, name) = Targets::check_file(path, arguments.force)?;
    let mut files = vec![(name, SHEET.as_bytes())];
    let schemas = [(json::LOAD_FILE, json::load()), (json::DRYER_FILE, json::dryer())];
    for (name, schema) in schemas.iter().filter(|_| arguments.schema) {
        let beside = path.with_file_name(name);
        if !std::fs::read_to_string(&beside).is_ok_and(|there| there == *schema) {
            Targets::check_file(&beside, arguments.force)?;
            files.push((name, schema.as_bytes()));
        }
    }
    targets.write(&files)?;
    output::print(&format!("{} is written; next: icefront plan {0}\n", path.display()))
}

#[cfg(test)]
mod tests {
    use super::{SHEET, json};
    use crate::disk::Disk;
    use icefront_kitchen::sheet;

    #[test]
    fn the_first_line_names_the_schema() {
        assert_eq!(SHEET.lines().next(), Some(format!("#:schema ./{}", json::LOAD_FILE).as_str()));
    }

    #[test]
    fn the_sheet_can_be_planned_as_it_is() {
        sheet::read(&sheet::Text { path: "new.toml".into(), text: SHEET.into() }, &Disk).unwrap();
    }
}
