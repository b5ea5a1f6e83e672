//! The questions that can be asked of a load, a machine and the tables, one file each.

pub mod catalogue;
pub mod compare;
pub mod explain;
pub mod learn;
pub mod log;
pub mod plan;
pub mod prefreeze;
pub mod update;

use std::path::Path;

use icefront_cli::Disk;
use icefront_kitchen::Failure;
use icefront_kitchen::quantity::Limit;
use icefront_kitchen::storage::{Memory, Storage};

/// Where a table is read from: the disk, or its text in memory under the same path.
fn storage(path: &Path, text: Option<&str>) -> Box<dyn Storage> {
    match text {
        Some(text) => Box::new(Memory::of(&[(&*path.to_string_lossy(), text)])),
        None => Box::new(Disk),
    }
}

/// A quantity with its unit, in SI.
fn quantity(key: &str, text: &str, limit: &Limit) -> Result<f64, Failure> {
    limit.read_text(text).map_err(|error| Failure::BadValue {
        key: key.into(),
        reason: error.to_string(),
        allowed: limit.words.into(),
    })
}

/// A word that another reader refuses.
fn read<T>(key: &str, text: &str, reader: impl Fn(&str) -> Result<T, String>) -> Result<T, Failure> {
    reader(text).map_err(|allowed| Failure::BadValue { key: key.into(), reason: format!("`{text}`"), allowed })
}
