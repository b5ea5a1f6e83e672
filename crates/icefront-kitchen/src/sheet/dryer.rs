//! Dryer files, the built-in ones, and which of them a load sheet means.

use std::path::Path;

use icefront_core::machine::{
    Above, Cabinet, Condenser, Contact, Cutback, Gauge, Heater, Refrigeration, SetPoint, SetPointAt, Vacuum,
    vapour_path,
};
use icefront_core::units::Duration;

use crate::sheet::change::Change;
use crate::sheet::learned::{self, Known};
use crate::sheet::schema::dryer::DRYER;
use crate::sheet::section::{Checked, Section};
use crate::{Failure, Storage, Text};

/// Built-in dryers: name and file. All invented.
pub const BUILT_IN: [(&str, &str); 3] = [
    ("0.36 m2", include_str!("../../data/dryers/0.36-m2.toml")),
    ("0.60 m2", include_str!("../../data/dryers/0.60-m2.toml")),
    ("1.00 m2", include_str!("../../data/dryers/1.00-m2.toml")),
];

/// A built-in dryer by name; case and blanks do not matter.
pub fn built_in(name: &str) -> Option<Text> {
    let squeeze = |s: &str| s.replace(' ', "").to_lowercase();
    let (name, text) = BUILT_IN.iter().find(|(known, _)| squeeze(known) == squeeze(name))?;
    Some(Text { path: format!("built-in dryer {name}").into(), text: (*text).to_string() })
}

/// The dryer of a file.
///
/// # Errors
/// All that is wrong with the file.
pub fn read(text: &Text) -> Result<Cabinet, Failure> {
    read_changed(text, &[]).map(|file| file.made.0)
}

/// The dryer of a file with some values replaced, and what batches taught about it.
pub(super) fn read_changed(text: &Text, changes: &[Change]) -> Result<Checked<(Cabinet, Option<Known>)>, Failure> {
    let read = text.check(&DRYER, changes, |file| {
        let learned = file.section("learned").map(|table| learned::read(&table, &text.path));
        Some((cabinet(file)?, learned.flatten()))
    });
    read.map_err(|bad| Failure::BadFiles(vec![bad]))
}

/// The file of a dryer: built-in by name, or a path ending in `.toml` (in `folder`); `None` if it is neither.
pub fn file(name: &str, folder: &Path, files: &dyn Storage) -> Result<Option<Text>, Failure> {
    if let Some(text) = built_in(name) {
        return Ok(Some(text));
    }
    let is_path = Path::new(name).extension().is_some_and(|e| e.eq_ignore_ascii_case("toml"));
    is_path.then(|| Text::read(&folder.join(name), files)).transpose()
}

/// The dryer of a file's entries; `None` if a problem was noted. Its uncertain quantities are numbered in this order.
pub(super) fn cabinet(file: &Section<'_>) -> Option<Cabinet> {
    let [area, height, capacity, controls, leak, stack, core, limit, evacuate, defrost] = [
        "shelf_area",
        "clear_height",
        "shelf_heat_capacity_j_per_m2_k",
        "controls",
        "heat_leak_w_per_k",
        "stack_to_cold_surface",
        "freeze_core",
        "freeze_limit",
        "evacuate_below",
        "defrost_heater",
    ]
    .map(|key| file.quantity(key));
    let heater = file.section("heater").and_then(|s| heater(&s));
    let contact = file.section("contact").and_then(|s| contact(&s));
    let condenser = file.section("condenser").and_then(|s| condenser(&s, area));
    let refrigeration = file.section("refrigeration").and_then(|s| refrigeration(&s));
    let vacuum = file.section("vacuum").and_then(|s| vacuum(&s));
    Some(Cabinet {
        name: file.text("name")?.into(),
        note: file.text("note")?.into(),
        shelf_area_m2: area?,
        shelves: file.whole("shelves")?,
        clear_height_m: height?,
        above_top_tray: match file.word("above_top_tray")? {
            "heated shelf" => Above::HeatedShelf,
            "cold wall" => Above::ColdWall,
            _ => Above::Insulated,
        },
        shelf_heat_capacity_j_per_m2_k: capacity?,
        heater: heater?,
        contact: contact?,
        condenser: condenser?,
        refrigeration: refrigeration?,
        vacuum: vacuum?,
        controls_w: controls?,
        heat_leak_w_per_k: leak?,
        stack_to_cold_surface_m2: stack?,
        convection_times: 1.0,
        can_pause: file.flag("can_pause").unwrap_or(false),
        freeze_core_k: core?,
        freeze_limit_s: limit?,
        evacuate_below_k: evacuate?,
        defrost_heater_w: defrost,
    })
}

fn heater(s: &Section<'_>) -> Option<Heater> {
    let (power_w_per_m2, set_point) = (s.quantity("power_w_per_m2")?, set_point(s, "set_point")?);
    if !s.has("cutback_from") {
        s.refuse(&["cutback_to", "cutback_gauge"], "heaters that are never held back", "give `cutback_from` too");
        return Some(Heater { power_w_per_m2, set_point, cutback: None });
    }
    let (from_pa, to_pa) = (s.quantity("cutback_from")?, s.needed("cutback_to")?);
    let gauge = match s.word("cutback_gauge") {
        Some("heat conduction") => Gauge::HeatConduction,
        _ => Gauge::Absolute,
    };
    if to_pa <= from_pa {
        s.note("cutback_to", "`cutback_to` is not above `cutback_from`", "power must fall over a band", "");
    }
    Some(Heater { power_w_per_m2, set_point, cutback: Some(Cutback { from_pa, to_pa, gauge }) })
}

/// What the shelves are heated to: one temperature, or a list of `{ after, temperature }`; `None` if a problem was noted or
/// there is no such key.
pub fn set_point(s: &Section<'_>, key: &str) -> Option<SetPoint> {
    if let Some(shelf_k) = s.quantity(key) {
        return Some(SetPoint::constant(shelf_k));
    }
    let entries = s.list(key);
    if s.is_list(key) && entries.is_empty() {
        s.note(
            key,
            format!("`{key}` has no entries"),
            "nothing in it",
            "such as { after = \"6 h\", temperature = \"30 °C\" }",
        );
    }
    let mut points: Vec<SetPointAt> = Vec::new();
    for entry in entries {
        let point = SetPointAt { time_s: entry.quantity("after")?, shelf_k: entry.quantity("temperature")? };
        if points.last().is_some_and(|before| point.time_s < before.time_s + SHORTEST_RAMP_S) {
            entry.note(
                "after",
                "`after` does not rise",
                "not later than the entry before",
                "a ramp takes a minute or more",
            );
            return None;
        }
        points.push(point);
    }
    (!points.is_empty()).then(|| SetPoint::programme(points))
}

/// Shortest time from one entry of a programme to the next, s.
const SHORTEST_RAMP_S: f64 = 60.0;

/// Reads `[contact]`, of a dryer file or a rig.
pub fn contact(s: &Section<'_>) -> Option<Contact> {
    Some(Contact {
        accommodation: s.quantity("accommodation")?,
        direct_w_per_m2_k: s.quantity("direct_w_per_m2_k")?,
        gap_m: s.quantity("gap")?,
        lining_gap_m: s.quantity("lining_gap")?,
        frozen_block_gap_m: s.quantity("frozen_block_gap")?,
        emissivity_above: s.quantity("emissivity_above")?,
        emissivity_below: s.quantity("emissivity_below")?,
        uneven_frac: s.usual("uneven"),
    })
}

/// Shelf area over condenser area, at most (`from memory`): the ice of a usual load would lie a quarter of a metre thick on a
/// smaller one.
const MOST_SHELF_PER_CONDENSER: f64 = 20.0;

fn condenser(s: &Section<'_>, shelf_area_m2: Option<f64>) -> Option<Condenser> {
    let area_m2 = s.quantity("area")?;
    if let Some(shelves_m2) = shelf_area_m2.filter(|shelves_m2| area_m2 * MOST_SHELF_PER_CONDENSER < *shelves_m2) {
        let label = format!("{} for {} of shelves", s.units().area(area_m2), s.units().area(shelves_m2));
        let help = format!("use a {MOST_SHELF_PER_CONDENSER:.0}th of `shelf_area` or more");
        s.note("area", "the condenser is too small for these shelves", label, help);
    }
    Some(Condenser {
        area_m2,
        heat_capacity_j_per_k: s.quantity("heat_capacity_j_per_k")?,
        deposit_conductivity_w_per_m_k: s.quantity("deposit_conductivity_w_per_m_k")?,
        deposit_density_kg_per_m3: s.quantity("deposit_density_kg_per_m3")?,
        thickness_limit_m: s.quantity("thickness_limit")?,
        opening_m2: s.quantity("opening")?,
    })
}

fn refrigeration(s: &Section<'_>) -> Option<Refrigeration> {
    let made = Refrigeration {
        swept_m3_per_s: s.quantity("swept_m3_per_s")?,
        clearance: s.quantity("clearance")?,
        isentropic_efficiency: s.quantity("isentropic_efficiency")?,
        loss_w: s.quantity("loss")?,
        power_limit_w: s.quantity("power_limit")?,
        wall_conductance_w_per_k: s.quantity("wall_conductance_w_per_k")?,
        hot_side_conductance_w_per_k: s.quantity("hot_side_conductance_w_per_k")?,
    };
    if made.loss_w >= made.power_limit_w {
        let help = "use less than `power_limit`".to_string();
        s.note("loss", "the compressor loses all its power", "leaves nothing to cool with", help);
    }
    Some(made)
}

fn vacuum(s: &Section<'_>) -> Option<Vacuum> {
    let vacuum = Vacuum {
        volume_m3: s.quantity("volume_m3")?,
        speed_m3_per_s: s.quantity("speed_m3_per_s")?,
        ultimate_pa: s.quantity("ultimate")?,
        power_w: s.quantity("power")?,
        leak_pa_m3_per_s: s.quantity("leak_pa_m3_per_s")?,
    };
    pump_suffices(s, &vacuum);
    Some(vacuum)
}

/// Notes a pump that is too weak for its leak or its chamber.
fn pump_suffices(s: &Section<'_>, vacuum: &Vacuum) {
    let (air_pa, down_s) = (vapour_path::air_pressure_pa(vacuum), vapour_path::evacuation_s(vacuum));
    let hours = |seconds: f64| Duration::from_seconds(seconds).hours();
    if air_pa > vapour_path::MOST_AIR_PA {
        let help =
            format!("`ultimate` + `leak_pa_m3_per_s`/`speed_m3_per_s` must be at most {} Pa", vapour_path::MOST_AIR_PA);
        let label = format!("leaves {air_pa:.0} Pa of air in the chamber");
        s.note("leak_pa_m3_per_s", "the pump is too weak for this leak", label, help);
    } else if down_s > vapour_path::SLOWEST_PUMP_DOWN_S {
        let help = format!("use up to {:.0} h instead", hours(vapour_path::SLOWEST_PUMP_DOWN_S));
        let label = format!("takes {:.0} h to empty it", hours(down_s));
        s.note("speed_m3_per_s", "the pump is too slow for this chamber", label, help);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The core has the built-in dryers as data, made from the files here; `ICEFRONT_DOCS=write` makes them anew.
    #[test]
    fn the_core_has_the_same_built_in_dryers() {
        let read =
            |(_, text): &(&str, &str)| super::read(&Text { path: "dryer.toml".into(), text: (*text).into() }).unwrap();
        let all: Vec<Cabinet> = BUILT_IN.iter().map(read).collect();
        let json = serde_json::to_string_pretty(&all).unwrap() + "\n";
        let path = concat!(env!("CARGO_MANIFEST_DIR"), "/../../data/dryers/builtin.json");
        if std::env::var_os("ICEFRONT_DOCS").is_some_and(|v| v == "write") {
            std::fs::write(path, &json).unwrap();
        }
        assert_eq!(
            std::fs::read_to_string(path).unwrap(),
            json,
            "ICEFRONT_DOCS=write cargo test -p icefront-kitchen --lib built_in"
        );
    }

    #[test]
    fn built_in_dryers_read_and_scale_with_area() {
        for (name, text) in BUILT_IN {
            let text = Text { path: name.into(), text: text.into() };
            let dryer = read(&text).unwrap();
            assert_eq!(dryer.name, name);
            assert!(dryer.note.contains("Invented"));
            let scale = dryer.shelf_area_m2 / 0.5;
            for (what, got, per_half_m2) in [
                ("condenser area", dryer.condenser.area_m2, 0.6),
                ("wall conductance", dryer.refrigeration.wall_conductance_w_per_k, 40.0),
                ("pump power", dryer.vacuum.power_w, 250.0),
            ] {
                assert!((got / scale - per_half_m2).abs() < 1e-3, "{name}: {what} {got} at scale {scale}");
            }
        }
    }

    #[test]
    fn a_built_in_dryer_is_found_however_it_is_spaced() {
        assert!(built_in("0.60m2").is_some() && built_in("0.60 M2").is_some());
        assert_eq!(built_in("0.61 m2"), None);
    }
}
