//! The views of the page: one for each time of a batch.

use std::str::FromStr;

/// A view.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum View {
    /// What goes on the trays, and when it is ready.
    #[default]
    Plan,
    /// Where the food is frozen.
    Freeze,
    /// While the machine runs.
    Run,
    /// Packs, labels, the pantry.
    Pack,
    /// Files, comparisons, the sheet as text.
    More,
}

impl View {
    /// All, in the order of a batch.
    pub const ALL: [Self; 5] = [Self::Plan, Self::Freeze, Self::Run, Self::Pack, Self::More];

    /// What it is called.
    pub fn title(self) -> &'static str {
        match self {
            Self::Plan => "Plan",
            Self::Freeze => "Freeze",
            Self::Run => "Run",
            Self::Pack => "Pack",
            Self::More => "More",
        }
    }

    /// Its name in forms.
    pub fn name(self) -> &'static str {
        match self {
            Self::Plan => "plan",
            Self::Freeze => "freeze",
            Self::Run => "run",
            Self::Pack => "pack",
            Self::More => "more",
        }
    }
}

impl FromStr for View {
    type Err = ();

    fn from_str(name: &str) -> Result<Self, ()> {
        Self::ALL.into_iter().find(|view| view.name() == name).ok_or(())
    }
}
