//! Doubts and dangers beside the numbers: those that this run calls for, and the few that always hold.

use icefront_core::load::{Freezing, Load};
use icefront_core::machine::Dryer;
use icefront_core::result::{BatchResult, Warning};

use crate::format;
use crate::plan::{care, flags};
use crate::sheet::dish::Dish;

/// Skin burns on longer contact with metal above this. From memory.
const HOT_K: f64 = 316.15;
/// Skin freezes to metal below this. From memory.
const FROSTBITE_K: f64 = 258.15;
/// Above this power a dryer should have a circuit of its own. Common practice, no source.
const OWN_CIRCUIT_W: f64 = 1000.0;

/// All cautions, most pressing first.
pub fn cautions(load: &Load, result: &BatchResult, dishes: &[Dish]) -> Vec<String> {
    let mut list: Vec<String> = result.warnings.iter().map(|w| warning(w, result)).collect();
    list.extend(flags::ALL.into_iter().filter_map(|flag| flags::sentence(flag, &result.trays)));
    list.extend(care::of(load, dishes));
    if let Dryer::Cabinet(_) = &load.dryer {
        list.extend(machine(load, result));
    }
    list.extend(ALWAYS.lines().map(String::from));
    list
}

const ALWAYS: &str = include_str!("always.txt");

fn machine(load: &Load, result: &BatchResult) -> Vec<String> {
    let mut list = vec![
        "Never open the chamber or lean on its door under vacuum. Glass or plastic can burst inwards. Let all the air \
         in first."
            .to_string(),
        "Check level and colour of the pump oil before each batch. Cloudy oil holds water and pumps badly. Keep its \
         mist out of the room."
            .to_string(),
    ];
    let power_w = result.history.iter().map(|s| s.power_w.total()).fold(0.0, f64::max);
    if power_w > OWN_CIRCUIT_W {
        list.push(format!(
            "The dryer uses up to {:.1} kW. Give it its own circuit and no extension lead.",
            power_w / 1000.0
        ));
    }
    let shelf_k = result.history.iter().flat_map(|s| &s.trays).map(|t| t.shelf_k).fold(0.0, f64::max);
    if shelf_k > HOT_K {
        list.push(format!("Shelves reach {}. Let them cool, or use gloves.", format::celsius_0(shelf_k)));
    }
    let came_frozen = load.trays.iter().any(|t| !matches!(t.freezing, Freezing::InMachine { .. }));
    let cold_k = result.machine.condenser_min_k;
    if came_frozen || cold_k < FROSTBITE_K {
        list.push(format!(
            "The cold surface gets down to {}. Wet or bare skin freezes to it{}.",
            format::celsius_0(cold_k),
            if came_frozen { ", and to frozen trays" } else { "" }
        ));
    }
    list
}

fn warning(warning: &Warning, result: &BatchResult) -> String {
    let tray = |index: usize| {
        let tray = result.trays.get(index);
        tray.map_or_else(|| format!("Tray {}", index + 1), |t| crate::format::capital(&flags::named(t)))
    };
    match warning {
        Warning::FreezingNotReached { tray: index, reached_k, wanted_k } => format!(
            "{}: its core only got down to {}, not to {}, in the time allowed. Freeze it before loading, or load less.",
            tray(*index),
            format::celsius_0(*reached_k),
            format::celsius_0(*wanted_k)
        ),
        Warning::RunTooLong { limit_s } => format!(
            "It will not finish: it would still be wet after {} at this pace. Load less, spread it thinner, or run \
             `icefront explain`.",
            format::hours(*limit_s)
        ),
        Warning::AboveTriplePoint { pressure_pa } => format!(
            "It will not dry: the condenser cannot take all the vapour, so the pressure stays at {pressure_pa:.0} Pa. \
             Above 612 Pa ice melts instead of turning into vapour. Load less, or heat less."
        ),
        Warning::AirTooHigh { air_pa, limit_pa } => format!(
            "It will not dry: leaking air keeps the pressure at {air_pa:.0} Pa, and the heaters switch off at \
             {limit_pa:.0} Pa. Check door seal, drain, hose and pump oil."
        ),
        Warning::CondenserTooWeak { pressure_pa } => format!(
            "The condenser cannot hold this much vapour: pressure rose to {pressure_pa:.0} Pa. Load less, or heat less."
        ),
        Warning::NoRoomForIce { thickness_m, room_m } => format!(
            "The condenser would collect {} of ice but has room for {}. Load less, or defrost half-way.",
            format::millimetres(*thickness_m),
            format::millimetres(*room_m)
        ),
        Warning::TraysExceedShelves { trays_m2, shelves_m2 } => format!(
            "The trays cover {} and the shelves only {}: this load does not fit the dryer.",
            format::area(*trays_m2),
            format::area(*shelves_m2)
        ),
        Warning::TrayTooFull { tray: index, height_m, clear_m } => format!(
            "{}: the food is {} high under {} of clear space. It would touch the shelf above, block vapour or spill.",
            tray(*index),
            format::millimetres(*height_m),
            format::millimetres(*clear_m)
        ),
        Warning::SlowCooling { tray: index, time_s } => format!(
            "{}: its core spends {} between 57 and 5 C while it cools. Germs grow there: cool it in shallow dishes \
             and in the refrigerator first, within the time your local rules give.",
            tray(*index),
            format::hours(*time_s)
        ),
        other => format!("{other:?}"),
    }
}
