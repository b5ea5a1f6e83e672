//! `icefront page`: the kitchen page.

use std::net::IpAddr;
use std::path::{Path, PathBuf};

use clap::Args;

use crate::{Disk, output, page};
use icefront_kitchen::failure::{Failure, plain_reason};
use icefront_page::{Folder, Settings};

/// Raw arguments.
#[derive(Debug, Args)]
#[command(after_help = "Reads and writes .toml files of the folder of LOAD.toml (or of this folder) and no others. \
                        Without LOAD.toml it starts with an invented demonstration load.")]
pub struct Arguments {
    /// Load sheet to start with.
    #[arg(value_name = "LOAD.toml")]
    load: Option<PathBuf>,
    /// Port to listen on; 0 takes a free one.
    #[arg(long, value_name = "N", default_value_t = 0)]
    port: u16,
    /// Let others in the home network open it too, with the link and QR code that are shown.
    #[arg(long)]
    share: bool,
    /// Address of this computer that is shared, where it has several.
    #[arg(long, value_name = "IP", requires = "share")]
    address: Option<IpAddr>,
    /// Number of samples for the range once you stop typing.
    #[arg(long = "samples", alias = "draws", value_name = "N", default_value_t = 256, value_parser = clap::value_parser!(u32).range(1..=10_000))]
    draws: u32,
    /// Seed of the samples; the same seed gives the same answer.
    #[arg(long, value_name = "N", default_value_t = 1)]
    seed: u32,
}

/// Checks the sheet's name, opens the door, says where it is, serves.
pub fn run(arguments: &Arguments) -> Result<(), Failure> {
    let path = arguments.load.as_deref();
    if let Some(folder) = path.and_then(Path::parent).filter(|folder| !folder.as_os_str().is_empty()) {
        // from here on files go by their names alone
        std::env::set_current_dir(folder).map_err(|e| Failure::unreadable(folder, plain_reason(&e)))?;
    }
    let folder = Folder::new(Path::new(""), Disk);
    let first = path.map(|path| first(path, &folder)).transpose()?;
    let door = page::open(arguments.port, arguments.share, arguments.address)?;
    output::print(&door.words())?;
    page::serve(door, folder, first, Settings { draws: arguments.draws as usize, seed: arguments.seed })
}

/// The name of the sheet to begin with, found readable.
fn first(path: &Path, folder: &Folder) -> Result<String, Failure> {
    let nameless = || Failure::unreadable(path, "this is not the name of a file");
    let name = path.file_name().and_then(|name| name.to_str()).ok_or_else(nameless)?;
    folder.open(name)?;
    Ok(name.to_string())
}
