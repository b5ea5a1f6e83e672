//! What can go wrong with a batch, and which of it a cook must not risk.

use serde::Serialize;

use crate::load::Load;
use crate::machine::Dryer;
use crate::ranges::{Outcome, TrayOutcome};
use crate::result::Flag;

/// Something that goes wrong in a run.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Trouble {
    /// A tray is not frozen when the pump starts.
    NotFrozen,
    /// A tray melts while it dries.
    Melts,
    /// A tray without cell walls collapses.
    Collapses,
    /// Ice is left at the end.
    IceLeft,
    /// A tray is not dry at the end.
    NotDry,
    /// More ice than the condenser has room for.
    NoRoomForIce,
    /// Food stands too near the shelf above.
    TooHigh,
}

impl Trouble {
    /// All, in the order of a run.
    pub const ALL: [Self; 7] =
        [Self::NotFrozen, Self::Melts, Self::Collapses, Self::IceLeft, Self::NotDry, Self::NoRoomForIce, Self::TooHigh];

    /// Whether a run of a load shows it.
    pub fn is_in(self, load: &Load, outcome: &Outcome) -> bool {
        match self {
            Self::NoRoomForIce => outcome.ice_room_frac > 1.0,
            Self::TooHigh => too_high(load),
            of_tray => of_tray.flag().is_some_and(|flag| outcome.shows(flag)),
        }
    }

    /// Whether it spoils the batch or harms the machine. A collapsed tray dries, if badly.
    pub fn is_grave(self) -> bool {
        self != Self::Collapses
    }

    /// Whether a single tray shows it; `None` for what concerns the whole load.
    pub fn is_in_tray(self, tray: &TrayOutcome) -> Option<bool> {
        self.flag().map(|flag| tray.flags.contains(&flag))
    }

    /// The finding about a tray that it is; `None` for what concerns the whole load.
    pub fn flag(self) -> Option<Flag> {
        match self {
            Self::NotFrozen => Some(Flag::NotFrozen),
            Self::Melts => Some(Flag::Melts),
            Self::Collapses => Some(Flag::Collapses),
            Self::IceLeft => Some(Flag::IceLeft),
            Self::NotDry => Some(Flag::NotDry),
            Self::NoRoomForIce | Self::TooHigh => None,
        }
    }
}

fn too_high(load: &Load) -> bool {
    let Dryer::Cabinet(cabinet) = &load.dryer else { return false };
    load.trays.iter().any(|tray| cabinet.is_too_high(tray.shape.height_m()))
}

/// What the machine makes of a load.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum LoadVerdict {
    /// Nothing holds it up.
    Fine,
    /// The heaters wait for the condenser for much of the time: hours, not food, are lost.
    SlowButSafe,
    /// Something spoils the batch or harms the machine.
    TooMuch,
}

/// Share of primary drying with the heaters held back from which a load counts as slow (`common practice, no source`).
pub const SLOW: f64 = 0.5;

impl LoadVerdict {
    /// Of one run of a load.
    pub fn of(load: &Load, outcome: &Outcome) -> Self {
        if Trouble::ALL.into_iter().any(|trouble| trouble.is_grave() && trouble.is_in(load, outcome)) {
            Self::TooMuch
        } else if outcome.held_back_frac > SLOW {
            Self::SlowButSafe
        } else {
            Self::Fine
        }
    }
}
