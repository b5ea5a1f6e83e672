//! `icefront help`: commands in groups, one command, or the keys of a sheet; and the help texts that all commands share.

use std::fmt::Write;

use clap::{Args, CommandFactory};
use icefront_kitchen::problem::nearest;
use icefront_kitchen::readings;
use icefront_kitchen::sheet::schema::text::{self, Topic};

use crate::output;
use icefront_kitchen::Failure;

/// Raw arguments.
#[derive(Debug, Args)]
pub struct Arguments {
    /// A command; `sheet` or `dryer` for the keys of such a file, then a table of it, such as `tray` or `recipe`; or `readings`.
    #[arg(value_name = "COMMAND | sheet | dryer | readings")]
    topic: Vec<String>,
}

/// The commands in the order of a batch.
const GROUPS: [(&str, &[&str]); 5] = [
    ("Plan", &["new", "plan", "explain", "compare", "best", "prefreeze", "report"]),
    ("During the run", &["update", "dry"]),
    ("After the run", &["log", "learn", "pack", "labels", "store", "bill"]),
    ("Look up", &["foods", "dryers", "evidence", "help"]),
    ("Tools", &["page", "defaults", "sweep", "shell"]),
];

/// Under the long help of every command.
const EXIT_CODES: &str = "Exit codes:
  0  done
  1  done, but something was found that you wanted to fail on (sweep --strict)
  2  could not be done; nothing was written
  3  files were written, but the report could not be shown";

/// Under the help of the program.
const EXAMPLES: &str = "Examples:
  icefront plan \"chili, 1/2 in\" \"strawberries, sliced 1/4 in, 2 lb\" \"tonight at 6\" --price 0.29
  icefront new mine.toml \"raw chicken, 12 mm cubes, frozen\"
  icefront compare mine.toml --vary depth=8mm,16mm
  icefront help sheet";

/// What to type first, and the commands by group: what the program shows when it is asked nothing.
pub fn start_page() -> String {
    let mut text = String::from(START);
    for (group, names) in GROUPS {
        let _to_a_string = writeln!(text, "  {group:<15} {}", names.join(", "));
    }
    text + "\n`icefront help` says what each command does, `icefront help plan` what else you can say.\n"
}

/// How the start page begins.
const START: &str = "icefront: how long a batch of food takes to freeze-dry in a small vacuum cabinet,
what it costs, and why.

Name what is on each tray, each in quotation marks: the food, how deep or how large,
how much, and whether it is frozen. A start and a price of electricity if you like:

  icefront plan \"chili, 1/2 in\" \"strawberries, sliced 1/4 in, 2 lb, frozen\"
  icefront plan \"2 trays of rice, 1 kg\" \"tonight at 6\" \"16 cents/kWh\"

";

/// The program with its commands in groups.
pub fn command() -> clap::Command {
    let bare = super::Arguments::command();
    let template = format!("{{about}}\n\n{{usage-heading}} {{usage}}\n\n{}{{options}}{{after-help}}", groups(&bare));
    let with_codes = |command: clap::Command| {
        let before = command.get_after_help().map(|text| format!("{text}\n\n")).unwrap_or_default();
        command.after_long_help(format!("{before}{EXIT_CODES}"))
    };
    with_codes(bare.help_template(template).after_help(EXAMPLES)).mut_subcommands(with_codes)
}

/// The commands with what they do, by group.
fn groups(program: &clap::Command) -> String {
    let mut text = String::new();
    for (group, names) in GROUPS {
        text += &format!("{group}:\n");
        for command in names.iter().filter_map(|name| program.find_subcommand(name)) {
            let about = command.get_about().map(ToString::to_string).unwrap_or_default();
            let _to_a_string = writeln!(text, "  {:<10} {about}", command.get_name());
        }
        text.push('\n');
    }
    text + "Options:\n"
}

/// Shows it.
pub fn run(arguments: &Arguments, plain: bool) -> Result<(), Failure> {
    let mut program = command();
    let Some((first, rest)) = arguments.topic.split_first() else {
        return output::print(&program.render_long_help().to_string());
    };
    if let Some(file) = Topic::of_word(first) {
        let text = text::keys(file, &rest.join(".")).map_err(|near| Failure::unknown("table", rest.join("."), near))?;
        return output::report(plain, |_| text);
    }
    if first == "readings" {
        return output::report(plain, |_| readings::help::text());
    }
    program.build();
    let names: Vec<String> = program.get_subcommands().map(|c| c.get_name().to_string()).collect();
    if let Some(command) = program.find_subcommand_mut(first) {
        return output::print(&command.render_long_help().to_string());
    }
    // a table of a sheet by its name alone: `help recipe`
    if let Ok(keys) = text::keys(Topic::Sheet, &arguments.topic.join(".")) {
        return output::report(plain, |_| keys);
    }
    let near = nearest(first, names.iter().map(String::as_str).chain(["sheet", "dryer", "readings"]));
    let help = near.map_or_else(|| "`icefront help` lists them".to_string(), |n| format!("did you mean `{n}`?"));
    Err(Failure::unknown("command", first, help))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_command_is_in_one_group() {
        let mut grouped: Vec<&str> = GROUPS.iter().flat_map(|(_, names)| names.iter().copied()).collect();
        grouped.sort_unstable();
        let program = command();
        let mut all: Vec<&str> = program.get_subcommands().map(clap::Command::get_name).collect();
        all.sort_unstable();
        assert_eq!(grouped, all);
    }

    #[test]
    fn the_first_page_of_help_fits_80_columns() {
        let text = command().term_width(80).render_help().to_string();
        let wide: Vec<&str> = text.lines().filter(|line| line.chars().count() > 80).collect();
        assert!(wide.is_empty(), "{wide:#?}");
    }
}
