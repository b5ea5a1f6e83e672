//! What a page stands in: its folder, its settings and the day.

use icefront_kitchen::weather::clock::Date;

use crate::Folder;

/// Settings that the whole page shares with `icefront plan`.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Settings {
    /// Draws of a whole answer.
    pub draws: usize,
    /// Their seed.
    pub seed: u32,
}

impl Settings {
    /// Those of a command without options.
    pub const USUAL: Self = Self { draws: 256, seed: 1 };
}

/// What a page stands in.
#[derive(Clone, Copy, Debug)]
pub struct Environment<'a> {
    /// Sheets and dryer files.
    pub folder: &'a Folder,
    /// Draws and seed.
    pub settings: Settings,
    /// The day, for labels and the pantry.
    pub today: Date,
    /// The link under which others in the house find this page, where there is one.
    pub link: Option<&'a str>,
}
