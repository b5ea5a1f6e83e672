//! `icefront shell`: completions for a shell and the manual page, made from the commands themselves.

use clap::{Args, Subcommand};
use clap_complete::Shell;

use crate::output;
use icefront_kitchen::Failure;

/// Raw arguments.
#[derive(Debug, Args)]
pub struct Arguments {
    #[command(subcommand)]
    what: What,
}

#[derive(Debug, Subcommand)]
enum What {
    /// Print completions: `icefront shell completions bash > ~/.local/share/bash-completion/completions/icefront`.
    Completions {
        /// Which shell.
        shell: Shell,
    },
    /// Print the manual pages, one after another: `icefront shell manual > icefront.1`.
    Manual,
}

/// Prints one of them.
pub fn run(arguments: &Arguments) -> Result<(), Failure> {
    let mut program = crate::commands::command();
    program.build();
    let mut page = Vec::new();
    match &arguments.what {
        What::Completions { shell } => clap_complete::generate(*shell, &mut program, "icefront", &mut page),
        What::Manual => {
            clap_mangen::Man::new(program.clone()).render(&mut page)?;
            for command in program.get_subcommands().filter(|c| c.get_name() != "help") {
                clap_mangen::Man::new(command.clone()).render(&mut page)?;
            }
        }
    }
    output::print(&String::from_utf8_lossy(&page))
}
