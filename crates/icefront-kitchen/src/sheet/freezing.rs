//! `[before_loading]`: how the food comes to be frozen.

use icefront_core::constants::ZERO_CELSIUS_K;
use icefront_core::load::Freezing;

use crate::sheet::limits;
use crate::sheet::section::Section;

/// Keys of the table.
pub const KEYS: [&str; 5] = ["method", "temperature", "air", "wind", "time"];

/// Food straight from a refrigerator, where the sheet does not say.
const FROM_FRIDGE_K: f64 = ZERO_CELSIUS_K + 5.0;
/// Food and air of a household freezer, where the sheet does not say.
const FREEZER_K: f64 = ZERO_CELSIUS_K - 18.0;

/// What holds where the sheet has no such table. A rig does not freeze.
pub fn usual(in_rig: bool) -> Freezing {
    if in_rig { Freezing::Frozen { loaded_k: FREEZER_K } } else { Freezing::InMachine { loaded_k: FROM_FRIDGE_K } }
}

#[derive(Clone, Copy)]
enum Method {
    InMachine,
    AlreadyFrozen,
    Freezer,
    Outdoors,
}

/// Reads the table; `None` if a problem was noted.
pub fn read(table: &Section<'_>, in_rig: bool) -> Option<Freezing> {
    let methods = [
        ("in machine", Method::InMachine),
        ("already frozen", Method::AlreadyFrozen),
        ("freezer", Method::Freezer),
        ("outdoors", Method::Outdoors),
    ];
    let help = "`in machine`, `already frozen`, `freezer` or `outdoors`";
    let method = table.required("method", table.choice("method", &methods), help)?;
    match method {
        Method::InMachine if in_rig => {
            let help = "`already frozen`, `freezer` or `outdoors`";
            table.note("method", "a `[rig]` does not freeze", "nothing would freeze it", Some(help.into()));
            None
        }
        Method::InMachine => {
            table.refuse(&KEYS[2..], "freezing in the machine", "it takes `temperature`");
            let loaded = table.quantity("temperature", &limits::FOOD_TEMPERATURE);
            Some(Freezing::InMachine { loaded_k: loaded.unwrap_or(FROM_FRIDGE_K) })
        }
        Method::AlreadyFrozen => {
            table.refuse(&KEYS[2..], "food already frozen", "it takes `temperature`");
            let loaded = table.quantity("temperature", &limits::FROZEN_TEMPERATURE);
            Some(Freezing::Frozen { loaded_k: loaded.unwrap_or(FREEZER_K) })
        }
        Method::Freezer => before(table, Some(FREEZER_K), false),
        Method::Outdoors => before(table, None, true),
    }
}

fn before(table: &Section<'_>, usual_air_k: Option<f64>, outdoors: bool) -> Option<Freezing> {
    let start = table.quantity("temperature", &limits::FOOD_TEMPERATURE);
    let mut air = table.quantity("air", &limits::COLD_AIR).or(usual_air_k);
    if outdoors {
        air = table.required("air", air, "temperature of the air, such as \"-12 C\"");
    }
    let wind = table.quantity("wind", &limits::WIND);
    let time = table.required("time", table.quantity("time", &limits::TIME_BEFORE), "such as \"14 h\"");
    Some(Freezing::Before {
        start_k: start.unwrap_or(FROM_FRIDGE_K),
        air_k: air?,
        wind_m_per_s: wind.unwrap_or(0.0),
        time_s: time?,
        outdoors,
    })
}
