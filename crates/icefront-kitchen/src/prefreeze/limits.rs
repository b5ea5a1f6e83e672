//! Limits of what can be said of a night, and what is taken where nothing is said.

use crate::quantity::{Kind, Limit};

/// Air outdoors.
pub const NIGHT_AIR: Limit = Limit::celsius(-70.0, 25.0, "-70 °C to 25 °C");
/// Core that counts as frozen through.
pub const CORE: Limit = Limit::celsius(-40.0, -2.0, "-40 °C to -2 °C");
/// Air of a freezer.
pub const FREEZER: Limit = Limit::celsius(-45.0, -5.0, "-45 °C to -5 °C");
/// Wind at the trays over wind in a file.
pub const WIND_SHARE: Limit = Limit::new(Kind::Share, 0.0, 1.0, "0 % to 100 %");

/// When the trays are set out.
pub const USUAL_SET_OUT: &str = "18:00";
/// When they are taken in.
pub const USUAL_UNTIL: &str = "07:00";
/// A core that is hard.
pub const USUAL_CORE: &str = "-12 °C";
/// A household freezer.
pub const USUAL_FREEZER: &str = "-18 °C";
/// A station measures 10 m up.
pub const USUAL_WIND_SHARE: &str = "43 %";
