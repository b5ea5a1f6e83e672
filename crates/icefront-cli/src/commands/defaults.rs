//! `icefront defaults`: dryer, room, price, units and habits for loads given in words.

use std::path::{Path, PathBuf};

use clap::Args;

use crate::commands::load;
use crate::commands::units::system;
use crate::{Disk, output};
use icefront_core::units::DateOrder;
use icefront_kitchen::blocks::{Words, in_order};
use icefront_kitchen::defaults::Defaults;
use icefront_kitchen::format::UnitSystem;
use icefront_kitchen::sheet::spoken::Wishes;
use icefront_kitchen::{Failure, Storage};

/// Raw arguments.
#[derive(Debug, Args)]
#[command(
    after_help = "The file is in your configuration folder, or where ICEFRONT_DEFAULTS says. It is used for loads in \
                  words, never for load sheets."
)]
pub struct Arguments {
    /// The dryer: a built-in one, or the path of a dryer file.
    #[arg(long, value_name = "NAME")]
    dryer: Option<String>,
    /// Room temperature, such as "20 °C".
    #[arg(long, value_name = "TEMPERATURE", allow_hyphen_values = true)]
    room: Option<String>,
    /// Price of 1 kWh, such as 0.29, "$0.16", "16 cents" or 27p.
    #[arg(long, value_name = "PRICE", allow_hyphen_values = true)]
    price: Option<String>,
    /// Its currency, where the price does not say it.
    #[arg(long, value_name = "TEXT")]
    currency: Option<String>,
    /// Units of the answers: metric or us.
    #[arg(long, value_name = "SYSTEM", value_parser = system)]
    units: Option<UnitSystem>,
    /// How you write dates with slashes: "day first" or "month first".
    #[arg(long, value_name = "ORDER", value_parser = order)]
    dates: Option<DateOrder>,
    /// Whether your dryer may be opened during a run to weigh a tray: yes or no.
    #[arg(long, value_name = "YES", value_parser = yes)]
    can_pause: Option<bool>,
    /// Forget all defaults.
    #[arg(long, conflicts_with_all = ["dryer", "room", "price", "currency", "units", "dates", "can_pause"])]
    clear: bool,
}

fn order(text: &str) -> Result<DateOrder, String> {
    DateOrder::named(&text.to_lowercase()).ok_or_else(|| "use `day first` or `month first`".into())
}

fn yes(text: &str) -> Result<bool, String> {
    match text.to_lowercase().as_str() {
        "yes" | "true" => Ok(true),
        "no" | "false" => Ok(false),
        _ => Err("use `yes` or `no`".into()),
    }
}

/// The file of defaults; `None` where the environment names no place for it.
pub fn path() -> Option<PathBuf> {
    let set = |name: &str| std::env::var_os(name).filter(|value| !value.is_empty()).map(PathBuf::from);
    if let Some(path) = std::env::var_os("ICEFRONT_DEFAULTS") {
        return (!path.is_empty()).then(|| path.into());
    }
    let folder =
        set("XDG_CONFIG_HOME").or_else(|| set("APPDATA")).or_else(|| set("HOME").map(|home| home.join(".config")));
    folder.map(|folder| folder.join("icefront").join("defaults.toml"))
}

/// The defaults; none where there is no file.
///
/// # Errors
/// A file that cannot be read or understood.
pub fn read() -> Result<Defaults, Failure> {
    path().map_or_else(|| Ok(Defaults::default()), |path| Defaults::read(&path, &Disk))
}

/// Fills in what words leave open; what was filled in, as it is said.
pub fn fill(wishes: &mut Wishes) -> Result<Option<String>, Failure> {
    let Some(path) = path() else { return Ok(None) };
    let used = Defaults::read(&path, &Disk)?.fill(wishes);
    Ok((!used.is_empty()).then(|| format!("your defaults: {}", used.join(", "))))
}

/// Checks the defaults; the error names their file.
///
/// # Errors
/// The first that cannot be used.
pub fn check() -> Result<(), Failure> {
    let Some(path) = path() else { return Ok(()) };
    Defaults::read(&path, &Disk)?.check(&Disk).map_err(|wrong| Failure::unfit(&path, wrong.sentence()))
}

/// Writes them; where there were none, the folder is made too.
fn write(path: &Path, defaults: &Defaults) -> Result<(), Failure> {
    if let Some(folder) = path.parent() {
        std::fs::create_dir_all(folder).map_err(Failure::from)?;
    }
    Disk.update(path, &mut |_| Ok(defaults.text().into_bytes()))
}

/// What the options say.
fn given(arguments: &Arguments) -> Result<Defaults, Failure> {
    let price = load::price_of(arguments.price.as_deref(), arguments.currency.as_deref())?;
    Ok(Defaults {
        dryer: arguments.dryer.clone(),
        room: arguments.room.clone(),
        price_per_kwh: price.as_ref().map(|price| price.per_kwh),
        currency: price.and_then(|price| price.currency).or_else(|| arguments.currency.clone()),
        units: arguments.units,
        dates: arguments.dates,
        can_pause: arguments.can_pause,
    })
}

/// Reads, changes where something is given, shows.
pub fn run(arguments: &Arguments, plain: bool) -> Result<(), Failure> {
    let Some(path) = path() else {
        return Err(Failure::BadValue {
            key: "ICEFRONT_DEFAULTS".into(),
            reason: "there is no folder for the file".into(),
            allowed: "the path of a file".into(),
        });
    };
    if arguments.clear {
        if path.exists() {
            write(&path, &Defaults::default())?;
        }
        let what = format!("Your defaults are cleared. New ones go into {}.", path.display());
        return output::report(plain, |look| in_order(&[&Words::new("", what)], look));
    }
    let given = given(arguments)?;
    given.check(&Disk).map_err(|wrong| wrong.of_option())?;
    let old = Defaults::read(&path, &Disk)?;
    let changed = given != Defaults::default();
    let now = old.with(given);
    if changed {
        write(&path, &now)?;
    }
    let what = if now == Defaults::default() {
        format!("No defaults yet. They go into {}.", path.display())
    } else {
        let written = if changed { "Saved in" } else { "From" };
        let lines: Vec<String> = now.text().lines().skip(1).map(String::from).collect();
        format!("{written} {}: {}.", path.display(), lines.join("; "))
    };
    output::report(plain, |look| in_order(&[&Words::new("", what)], look))
}
