//! `icefront dryers`: the built-in dryers, or one of them as a file to copy.

use clap::Args;
use icefront_core::machine::Cabinet;

use crate::output;
use icefront_kitchen::blocks::{Column, Table, in_order};
use icefront_kitchen::failure::Failure;
use icefront_kitchen::format;
use icefront_kitchen::problem::spelling_help;
use icefront_kitchen::sheet::{Reading, dryer};
use icefront_kitchen::style::Look;

/// Raw arguments.
#[derive(Debug, Args)]
pub struct Arguments {
    /// Name of one, such as "0.60 m2".
    name: Option<String>,
}

/// Lists, or prints one.
pub fn run(arguments: &Arguments, plain: bool) -> Result<(), Failure> {
    let Some(name) = &arguments.name else {
        let rows: Result<_, Failure> = dryer::BUILT_IN
            .iter()
            .filter_map(|(name, _)| dryer::built_in(name))
            .map(|text| Ok(row(&dryer::read_text(&text, &Reading::TYPICAL)?.cabinet)))
            .collect();
        return output::print(&in_order(&[&table(rows?)], Look::of(plain, &std::io::stdout())));
    };
    let names: Vec<&str> = dryer::BUILT_IN.iter().map(|(name, _)| *name).collect();
    let text = dryer::built_in(name).ok_or_else(|| Failure::UnknownName {
        what: "dryer",
        asked: name.clone(),
        help: spelling_help(name, &names),
    })?;
    output::print(&text.text)
}

fn table(rows: Vec<Vec<String>>) -> Table {
    Table {
        label: "dryers",
        about: String::new(),
        columns: vec![
            Column::words("", 10),
            Column::number("shelves"),
            Column::number("apart"),
            Column::number("heated to"),
            Column::number("condenser"),
        ],
        rows,
        notes: vec![
            "All are invented and named by their shelf area. To describe your own: `icefront dryers \"0.60 m2\" > \
             mine.toml`, change what you know, and write dryer = \"mine.toml\" in the load sheet."
                .into(),
        ],
    }
}

fn row(dryer: &Cabinet) -> Vec<String> {
    vec![
        dryer.name.clone(),
        dryer.shelves.to_string(),
        format::millimetres(dryer.clear_height_m),
        format::celsius(dryer.heater.set_point_k),
        format::area(dryer.condenser.area_m2),
    ]
}
