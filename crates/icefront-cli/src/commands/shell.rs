//! `icefront shell`: completions for a shell and the manual pages, made from the commands themselves.

use std::path::PathBuf;

use clap::{Args, Command, Subcommand};
use clap_complete::Shell;
use clap_mangen::Man;

use crate::{Targets, output};
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
    /// Print the manual page of icefront, or write one page for each command: `--out ~/.local/share/man/man1`.
    Manual {
        /// Folder for icefront.1, icefront-plan.1, ...
        #[arg(long, value_name = "DIR")]
        out: Option<PathBuf>,
        /// Overwrite existing files.
        #[arg(long)]
        force: bool,
    },
}

/// Prints or writes them.
pub fn run(arguments: &Arguments) -> Result<(), Failure> {
    let mut program = super::command();
    program.build();
    match &arguments.what {
        What::Completions { shell } => {
            let mut text = Vec::new();
            clap_complete::generate(*shell, &mut program, "icefront", &mut text);
            output::print(&String::from_utf8_lossy(&text))
        }
        What::Manual { out: None, .. } => output::print(&String::from_utf8_lossy(&page(&program)?.1)),
        What::Manual { out: Some(folder), force } => {
            let mut pages = Vec::new();
            add_pages(&program, &mut pages)?;
            let names: Vec<&str> = pages.iter().map(|(name, _)| name.as_str()).collect();
            Targets::check(folder, &names, *force)?.write(&pages)
        }
    }
}

/// Adds the pages of a command and of all below it, each with the name of its file.
fn add_pages(command: &Command, pages: &mut Vec<(String, Vec<u8>)>) -> Result<(), Failure> {
    pages.push(page(command)?);
    // clap adds a `help` below commands that have others below them
    let has_help = command.get_name() == "icefront";
    let mut below = command.get_subcommands().filter(|c| has_help || c.get_name() != "help");
    below.try_for_each(|command| add_pages(command, pages))
}

/// The page of a command, and the name of its file.
fn page(command: &Command) -> Result<(String, Vec<u8>), Failure> {
    let man = Man::new(command.clone()).source(concat!("icefront ", env!("CARGO_PKG_VERSION")));
    let mut text = Vec::new();
    man.render(&mut text)?;
    Ok((man.get_filename(), text))
}
