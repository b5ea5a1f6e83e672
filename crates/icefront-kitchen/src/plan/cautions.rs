//! Doubts and dangers beside the numbers: those that this run calls for, and the few that always hold.

use icefront_core::freezing::before::{GROWTH_FROM_K, GROWTH_TO_K};
use icefront_core::load::{Freezing, Load};
use icefront_core::machine::Dryer;
use icefront_core::result::{BatchResult, Warning};
use icefront_core::units::UnitSystem;

use crate::format;
use crate::plan::{Run, care, flags};

/// Skin burns on longer contact with metal above this. From memory.
const HOT_K: f64 = 316.15;
/// Skin freezes to metal below this. From memory.
const FROSTBITE_K: f64 = 258.15;
/// Ice melts above this pressure of vapour.
const TRIPLE_POINT_PA: f64 = 612.0;
/// Above this power a dryer should have a circuit of its own. Common practice, no source.
const OWN_CIRCUIT_W: f64 = 1000.0;

/// All cautions, most pressing first.
pub fn cautions(run: &Run) -> Vec<String> {
    let (load, result) = (&run.load, &run.result);
    let mut list: Vec<String> = result.warnings.iter().map(|w| warning(w, result, load.units)).collect();
    list.extend(flags::sentences(run));
    list.extend(care::of(load, &run.dishes));
    if let Dryer::Cabinet(_) = &load.dryer {
        list.extend(machine(load, result));
    }
    list.extend(ALWAYS.lines().map(String::from));
    list
}

const ALWAYS: &str = include_str!("always.txt");

fn machine(load: &Load, result: &BatchResult) -> Vec<String> {
    let units = load.units;
    let mut list = vec![
        "Never open or lean on the door under vacuum: it can burst inwards. Let all the air in first.".to_string(),
        "Check the pump oil before each batch; cloudy oil pumps badly. Keep its mist out of the room.".to_string(),
    ];
    let power_w = result.history.iter().map(|s| s.power_w.total()).fold(0.0, f64::max);
    if power_w > OWN_CIRCUIT_W {
        list.push(format!("It uses up to {:.1} kW: its own circuit, no extension lead.", power_w / 1000.0));
    }
    let shelf_k = result.history.iter().flat_map(|s| &s.trays).map(|t| t.shelf_k).fold(0.0, f64::max);
    if shelf_k > HOT_K {
        list.push(format!("Shelves reach {}: let them cool, or use gloves.", units.whole_degrees(shelf_k)));
    }
    let came_frozen = load.trays.iter().any(|t| !matches!(t.freezing, Freezing::InMachine { .. }));
    let cold_k = result.machine.condenser_min_k;
    if came_frozen || cold_k < FROSTBITE_K {
        list.push(format!(
            "The cold surface gets down to {}: wet or bare skin freezes to it{}.",
            units.whole_degrees(cold_k),
            if came_frozen { ", and to frozen trays" } else { "" }
        ));
    }
    list
}

fn warning(warning: &Warning, result: &BatchResult, units: UnitSystem) -> String {
    let tray = |index: usize| {
        let tray = result.trays.get(index);
        tray.map_or_else(|| format!("Tray {}", index + 1), |t| crate::format::capital(&flags::named(t)))
    };
    let pressure = |pascals: f64| units.pressure(pascals);
    match warning {
        Warning::FreezingNotReached { tray: index, reached_k, wanted_k } => format!(
            "{}: its core only got down to {}, not to {}, in the time allowed. Freeze it before loading, or load less.",
            tray(*index),
            units.whole_degrees(*reached_k),
            units.whole_degrees(*wanted_k)
        ),
        Warning::RunTooLong { limit_s } => format!(
            "It will not finish: it would still be wet after {} at this pace. Load less, spread it thinner, or run \
             `icefront explain`.",
            format::hours(*limit_s)
        ),
        Warning::AboveTriplePoint { pressure_pa } => format!(
            "It will not dry: the condenser cannot take all the vapour, so the pressure stays at {}. Above {} \
             ice melts instead of turning into vapour. Load less, or heat less.",
            pressure(*pressure_pa),
            pressure(TRIPLE_POINT_PA)
        ),
        Warning::AirTooHigh { air_pa, limit_pa } => format!(
            "It will not dry: leaking air keeps the pressure at {}, and the heaters switch off at {}. Check door \
             seal, drain, hose and pump oil.",
            pressure(*air_pa),
            pressure(*limit_pa)
        ),
        Warning::CondenserTooWeak { pressure_pa } => format!(
            "The condenser cannot hold this much vapour: pressure rose to {}. Load less, or heat less.",
            pressure(*pressure_pa)
        ),
        Warning::NoRoomForIce { thickness_m, room_m } => format!(
            "The condenser would collect {} of ice but has room for {}. Load less, or defrost half-way.",
            units.length(*thickness_m),
            units.length(*room_m)
        ),
        Warning::TraysExceedShelves { trays_m2, shelves_m2 } => format!(
            "The trays cover {} and the shelves only {}: this load does not fit the dryer.",
            units.area(*trays_m2),
            units.area(*shelves_m2)
        ),
        Warning::TrayTooFull { tray: index, height_m, clear_m } => format!(
            "{}: the food is {} high under {} of clear space. It would touch the shelf above, block vapour or spill.",
            tray(*index),
            units.length(*height_m),
            units.length(*clear_m)
        ),
        Warning::SlowCooling { tray: index, time_s } => format!(
            "{}: its core spends {} between {} and {} while it cools. Germs grow there: cool it in shallow dishes \
             and in the refrigerator first, within the time your local rules give.",
            tray(*index),
            format::hours(*time_s),
            units.temperature(GROWTH_TO_K),
            units.temperature(GROWTH_FROM_K)
        ),
        other => format!("{other:?}"),
    }
}
