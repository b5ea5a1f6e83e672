//! `icefront dryers`: the built-in dryers, or one of them as a file to copy.

use clap::Args;

use crate::commands::units::UnitsArgument;
use crate::output;
use icefront_kitchen::blocks::{Column, Table, in_order};
use icefront_kitchen::catalogue::{Dryer, dryers};
use icefront_kitchen::format::UnitSystem;
use icefront_kitchen::problem::spelling_help;
use icefront_kitchen::sheet::dryer;
use icefront_kitchen::{Failure, json};

/// Raw arguments.
#[derive(Debug, Args)]
pub struct Arguments {
    /// Name of one, such as "0.60 m2".
    #[arg(conflicts_with = "json")]
    name: Option<String>,
    /// Print the list as JSON instead of text; its keys are in docs/json.md.
    #[arg(long)]
    json: bool,
    #[command(flatten)]
    units: UnitsArgument,
}

/// Lists, or prints one.
pub fn run(arguments: &Arguments, plain: bool) -> Result<(), Failure> {
    let Some(name) = &arguments.name else {
        let answer = dryers()?;
        let units = arguments.units.units()?;
        let as_text = |look| in_order(&[&table(answer.dryers.iter().map(|dryer| row(dryer, units)).collect())], look);
        return output::answer(arguments.json, plain, || json::text(&answer), as_text);
    };
    let names: Vec<&str> = dryer::BUILT_IN.iter().map(|(name, _)| *name).collect();
    let text = dryer::built_in(name).ok_or_else(|| Failure::unknown("dryer", name, spelling_help(name, &names)))?;
    output::print(&text.text)
}

fn table(rows: Vec<Vec<String>>) -> Table {
    Table::of_numbers("dryers", Column::words("", 10), ["shelves", "apart", "heated to", "condenser"], rows).note(
        "All are invented and named by their shelf area. To describe your own: `icefront dryers \"0.60 m2\" > \
             mine.toml`, change what you know, and write dryer = \"mine.toml\" in the load sheet.",
    )
}

fn row(dryer: &Dryer, units: UnitSystem) -> Vec<String> {
    vec![
        dryer.name.clone(),
        dryer.shelves.to_string(),
        units.length(dryer.clear_height_m),
        units.temperature(dryer.set_point_k),
        units.area(dryer.condenser_area_m2),
    ]
}
