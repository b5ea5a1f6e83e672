//! What can go wrong with a batch, and which of it a cook must not risk.

use serde::Serialize;

use crate::load::Load;
use crate::machine::Dryer;
use crate::ranges::Outcome;
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
    /// Pressure holds the heaters back for most of primary drying.
    Overload,
    /// More ice than the condenser has room for.
    NoRoomForIce,
    /// Food stands too near the shelf above.
    TooHigh,
}

/// Share of primary drying with the heaters held back from which the load counts as too much for the machine
/// (`common practice, no source`).
const OVERLOAD: f64 = 0.5;

impl Trouble {
    /// All, in the order of a run.
    pub const ALL: [Self; 8] = [
        Self::NotFrozen,
        Self::Melts,
        Self::Collapses,
        Self::IceLeft,
        Self::NotDry,
        Self::Overload,
        Self::NoRoomForIce,
        Self::TooHigh,
    ];

    /// Whether a run of a load shows it.
    pub fn is_in(self, load: &Load, outcome: &Outcome) -> bool {
        match self {
            Self::NotFrozen => outcome.shows(Flag::NotFrozen),
            Self::Melts => outcome.shows(Flag::Melts),
            Self::Collapses => outcome.shows(Flag::Collapses),
            Self::IceLeft => outcome.shows(Flag::IceLeft),
            Self::NotDry => outcome.shows(Flag::NotDry),
            Self::Overload => outcome.held_back_frac > OVERLOAD,
            Self::NoRoomForIce => outcome.ice_room_frac > 1.0,
            Self::TooHigh => too_high(load),
        }
    }

    /// Whether it spoils the batch or harms the machine. A collapsed tray dries, if badly; an overload costs hours.
    pub fn is_grave(self) -> bool {
        !matches!(self, Self::Collapses | Self::Overload)
    }
}

fn too_high(load: &Load) -> bool {
    let Dryer::Cabinet(cabinet) = &load.dryer else { return false };
    load.trays.iter().any(|tray| tray.shape.height_m() > cabinet.highest_food_m())
}
