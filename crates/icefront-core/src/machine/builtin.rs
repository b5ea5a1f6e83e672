//! Dryers that come with the library, as data: invented, and named by their shelf area.

use std::sync::OnceLock;

use super::{Cabinet, Dryer};

/// Written by the kitchen crate from `data/dryers/*.toml`, and compared there.
const BUILTIN_JSON: &str = include_str!(concat!(env!("CARGO_MANIFEST_DIR"), "/data/dryers/builtin.json"));

/// No built-in dryer has this name.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("no built-in dryer is called `{name}`; there are {}", .known.join(", "))]
#[non_exhaustive]
pub struct UnknownDryer {
    /// The name looked for.
    pub name: String,
    /// All names.
    pub known: Vec<String>,
}

impl Dryer {
    /// The built-in dryer of this name, such as `0.60 m2`.
    ///
    /// # Errors
    /// [`UnknownDryer`] with the names there are.
    pub fn builtin(name: &str) -> Result<Self, UnknownDryer> {
        let found = builtin().iter().find(|cabinet| cabinet.name == name.trim());
        found.map(|cabinet| Self::Cabinet(Box::new(cabinet.clone()))).ok_or_else(|| UnknownDryer {
            name: name.into(),
            known: builtin().iter().map(|cabinet| cabinet.name.clone()).collect(),
        })
    }
}

/// All of them, smallest first.
pub fn builtin() -> &'static [Cabinet] {
    static ALL: OnceLock<Vec<Cabinet>> = OnceLock::new();
    // the file is compared with its source by a test
    ALL.get_or_init(|| serde_json::from_str(BUILTIN_JSON).unwrap_or_default())
}
