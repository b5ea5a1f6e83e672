//! How well a tray comes out, in one order from best to worst.

use serde::Serialize;

use crate::result::Flag;

/// How a tray comes out; the later the worse.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Grade {
    /// Crisp, in its shape.
    Keeps,
    /// In its shape, but softer.
    Softens,
    /// Shrunken; without cell walls collapsed.
    Shrinks,
    /// Half of its water is liquid before it dries.
    Melts,
    /// Wet at the end.
    NeverDry,
}

impl Grade {
    /// All, from the best.
    pub const ALL: [Self; 5] = [Self::Keeps, Self::Softens, Self::Shrinks, Self::Melts, Self::NeverDry];

    /// By what was found about a tray.
    pub fn of(flags: &[Flag]) -> Self {
        let worst = flags.iter().map(|flag| match flag {
            Flag::Softens => Self::Softens,
            Flag::Shrinks | Flag::Collapses => Self::Shrinks,
            Flag::Melts | Flag::NotFrozen => Self::Melts,
            Flag::IceLeft | Flag::NotDry => Self::NeverDry,
            Flag::Fatty => Self::Keeps,
        });
        worst.max().unwrap_or(Self::Keeps)
    }
}
