//! `icefront dryers`: the built-in dryers, or one of them as a file to copy.

use clap::Args;
use icefront_core::machine::Cabinet;

use crate::failure::Failure;
use crate::problem::spelling_help;
use crate::sheet::{Reading, dryer};
use crate::{output, report, show};

/// Raw arguments.
#[derive(Debug, Args)]
pub struct Arguments {
    /// Name of one, such as "0.60 m2".
    name: Option<String>,
}

/// Lists, or prints one.
pub fn run(arguments: &Arguments) -> Result<(), Failure> {
    let Some(name) = &arguments.name else {
        let rows: Result<Vec<String>, Failure> = dryer::BUILT_IN
            .iter()
            .filter_map(|(name, _)| dryer::built_in(name))
            .map(|t| Ok(row(&dryer::read_text(&t, &Reading::TYPICAL)?.cabinet)))
            .collect();
        return output::print(&format!("{}\n{}", rows?.concat(), note()));
    };
    let names: Vec<&str> = dryer::BUILT_IN.iter().map(|(name, _)| *name).collect();
    let text = dryer::built_in(name).ok_or_else(|| Failure::UnknownName {
        what: "dryer",
        asked: name.clone(),
        help: spelling_help(name, &names),
    })?;
    output::print(&text.text)
}

fn row(dryer: &Cabinet) -> String {
    format!(
        "{:<8}  {} shelves, {} apart, heated to {}, condenser {}\n",
        dryer.name,
        dryer.shelves,
        show::millimetres(dryer.clear_height_m),
        show::celsius(dryer.heater.set_point_k),
        show::area(dryer.condenser.area_m2)
    )
}

fn note() -> String {
    report::wrap(
        "",
        "All are invented and named by their shelf area. To describe your own: `icefront dryers \"0.60 m2\" > \
         mine.toml`, change what you know, and write dryer = \"mine.toml\" in the load sheet.",
    )
}
