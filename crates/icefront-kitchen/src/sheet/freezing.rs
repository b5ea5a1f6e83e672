//! `[before_loading]`: how the food comes to be frozen.

use icefront_core::load::Freezing;

use crate::sheet::schema::Key;
use crate::sheet::schema::load::BEFORE_LOADING;
use crate::sheet::section::Section;

/// What holds where the sheet has no such table. A rig does not freeze.
pub fn usual(in_rig: bool) -> Freezing {
    let temperature_k = |method| BEFORE_LOADING.row("temperature", Some(method)).map_or(f64::NAN, Key::example_si);
    if in_rig {
        Freezing::Frozen { loaded_k: temperature_k("already frozen") }
    } else {
        Freezing::InMachine { loaded_k: temperature_k("in machine") }
    }
}

/// Reads the table; `None` if a problem was noted.
pub fn read(table: &Section<'_>, in_rig: bool) -> Option<Freezing> {
    match table.word("method")? {
        "in machine" if in_rig => {
            let help = "`already frozen`, `freezer` or `outdoors`";
            table.note("method", "a `[rig]` does not freeze", "nothing would freeze it", help);
            None
        }
        "in machine" => Some(Freezing::InMachine { loaded_k: table.usual("temperature") }),
        "already frozen" => Some(Freezing::Frozen { loaded_k: table.usual("temperature") }),
        place => {
            let (start_k, air_k, wind_m_per_s) = (table.usual("temperature"), table.usual("air"), table.usual("wind"));
            Some(Freezing::Before {
                start_k,
                air_k,
                wind_m_per_s,
                time_s: table.quantity("time")?,
                outdoors: place == "outdoors",
            })
        }
    }
}
