//! The units that a person reads: as asked for, else by her defaults, else metric.

use clap::Args;

use crate::commands::defaults;
use icefront_kitchen::Failure;
use icefront_kitchen::format::UnitSystem;

/// An option for commands without a load sheet.
#[derive(Debug, Args)]
pub struct UnitsArgument {
    /// Units of the answer: metric or us (inches, pounds, °F). Without it: those of your defaults, else metric.
    #[arg(long, value_name = "SYSTEM", value_parser = system)]
    units: Option<UnitSystem>,
}

impl UnitsArgument {
    /// The units to answer in.
    ///
    /// # Errors
    /// Defaults that cannot be read.
    pub fn units(&self) -> Result<UnitSystem, Failure> {
        match self.units {
            Some(units) => Ok(units),
            None => Ok(defaults::read()?.units.unwrap_or_default()),
        }
    }
}

/// A system by its name.
pub fn system(name: &str) -> Result<UnitSystem, String> {
    UnitSystem::named(&name.to_lowercase()).ok_or_else(|| "use `metric` or `us`".into())
}
