//! `icefront new`: a load sheet to start from.

mod questions;

use std::io::IsTerminal;
use std::path::PathBuf;

use clap::Args;

use crate::commands::defaults;
use crate::{Disk, Targets, output};
use icefront_kitchen::Failure;
use icefront_kitchen::quantity::system::system_of;
use icefront_kitchen::sheet::schema::json;
use icefront_kitchen::sheet::spoken::{self, Wishes};

/// Raw arguments.
#[derive(Debug, Args)]
pub struct Arguments {
    /// Where to write it, then each tray in words, such as "chili, 1/2 in". Without trays it asks, on a terminal.
    #[arg(value_name = "PATH | TRAY")]
    words: Vec<String>,
    /// With trays in words: the dryer.
    #[arg(long, value_name = "NAME")]
    dryer: Option<String>,
    /// With trays in words: servings in the load.
    #[arg(long, value_name = "N")]
    servings: Option<f64>,
    /// Ask nothing: write a sheet to fill in.
    #[arg(long)]
    template: bool,
    /// Overwrite an existing file.
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
    let (first, trays) = match arguments.words.split_first() {
        Some((first, trays)) if first.ends_with(".toml") || !first.contains(',') && !spoken::says_how_much(first) => {
            (Some(first), trays)
        }
        _ => (None, arguments.words.as_slice()),
    };
    let path = &PathBuf::from(first.map_or("load.toml", String::as_str));
    let (targets, name) = Targets::check_file(path, arguments.force)?;
    let (sheet, assumed) = if !trays.is_empty() {
        of_words(arguments, trays)?
    } else if asks(arguments) {
        asked(arguments)?
    } else {
        (SHEET.to_string(), Vec::new())
    };
    let mut files = vec![(name, sheet.as_bytes())];
    let schemas = [(json::LOAD_FILE, json::load()), (json::DRYER_FILE, json::dryer())];
    for (name, schema) in schemas.iter().filter(|_| arguments.schema) {
        let beside = path.with_file_name(name);
        if !std::fs::read_to_string(&beside).is_ok_and(|there| there == *schema) {
            Targets::check_file(&beside, arguments.force)?;
            files.push((name, schema.as_bytes()));
        }
    }
    targets.write(&files)?;
    let assumed = if assumed.is_empty() { String::new() } else { format!("Assumed: {}.\n", assumed.join("; ")) };
    output::print(&format!("Wrote {}. Next: icefront plan {0}\n{assumed}", path.display()))
}

/// Whether someone is there to answer.
fn asks(arguments: &Arguments) -> bool {
    !arguments.template && std::io::stdin().is_terminal() && std::io::stderr().is_terminal()
}

/// The text of a sheet for trays in words, once it is found right.
fn of_words(arguments: &Arguments, trays: &[String]) -> Result<(String, Vec<String>), Failure> {
    let (wishes, assumed) = wishes(arguments)?;
    text(trays, wishes, assumed)
}

/// The text of a sheet for what is answered.
fn asked(arguments: &Arguments) -> Result<(String, Vec<String>), Failure> {
    let (mut wishes, assumed) = wishes(arguments)?;
    let trays = questions::ask(&mut questions::AtTerminal, &mut wishes)?;
    text(&trays, wishes, assumed)
}

/// What the options say and her own defaults fill in, and the latter in words.
fn wishes(arguments: &Arguments) -> Result<(Wishes, Vec<String>), Failure> {
    let mut wishes = Wishes { dryer: arguments.dryer.clone(), servings: arguments.servings, ..Wishes::default() };
    let filled = defaults::fill(&mut wishes)?.into_iter().collect();
    Ok((wishes, filled))
}

/// The text of a sheet for these trays, in the units they are said in where they are said in one system.
fn text(trays: &[String], wishes: Wishes, mut assumed: Vec<String>) -> Result<(String, Vec<String>), Failure> {
    let wishes = Wishes { units: system_of(trays.iter().map(String::as_str)).or(wishes.units), ..wishes };
    let of_defaults = |failure| defaults::check().err().unwrap_or(failure);
    let (text, notes) = right(trays, &wishes).map_err(of_defaults)?;
    assumed.extend(notes);
    Ok((text, assumed))
}

/// The text of a sheet for these trays and what was taken for granted, once it is found right.
fn right(trays: &[String], wishes: &Wishes) -> Result<(String, Vec<String>), Failure> {
    let (text, notes) = spoken::sheet(trays, wishes)?;
    icefront_kitchen::sheet::read(&text, &Disk)?;
    Ok((text.text, notes))
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
