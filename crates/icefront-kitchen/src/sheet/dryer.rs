//! Dryer files, the built-in ones, and which of them a load sheet means.

use std::path::Path;

use icefront_core::constants::ZERO_CELSIUS_K;
use icefront_core::machine::{Above, Cabinet, Condenser, Contact, Cutback, Heater, Refrigeration, Vacuum, vapour_path};
use icefront_core::units::Duration;

use crate::failure::Failure;
use crate::sheet::learned::{self, Known};
use crate::sheet::limits::{Kind, Limit};
use crate::sheet::section::Section;
use crate::sheet::text::{Reading, Text};

/// Built-in dryers: name and file. All invented.
pub const BUILT_IN: [(&str, &str); 3] = [
    ("0.36 m2", include_str!("../../data/dryers/0.36-m2.toml")),
    ("0.60 m2", include_str!("../../data/dryers/0.60-m2.toml")),
    ("1.00 m2", include_str!("../../data/dryers/1.00-m2.toml")),
];

const KEYS: [&str; 21] = [
    "icefront_dryer",
    "name",
    "note",
    "shelf_area",
    "shelves",
    "clear_height",
    "above_top_tray",
    "shelf_heat_capacity_j_per_m2_k",
    "controls",
    "heat_leak_w_per_k",
    "stack_to_cold_surface",
    "freeze_core",
    "freeze_limit",
    "evacuate_below",
    "defrost_heater",
    "heater",
    "contact",
    "condenser",
    "refrigeration",
    "vacuum",
    "learned",
];

/// A dryer file that was read and found right.
#[derive(Clone, Debug)]
pub struct DryerFile {
    /// The dryer as entered.
    pub cabinet: Cabinet,
    /// Keys of its rough (or exact) quantities, such as `[contact], gap`.
    pub rough: Vec<String>,
    /// What batches taught about it.
    pub learned: Option<Known>,
}

/// A built-in dryer by name; case and blanks do not matter.
pub fn built_in(name: &str) -> Option<Text> {
    let squeeze = |s: &str| s.replace(' ', "").to_lowercase();
    let (name, text) = BUILT_IN.iter().find(|(known, _)| squeeze(known) == squeeze(name))?;
    Some(Text { path: format!("built-in dryer {name}").into(), text: (*text).to_string() })
}

/// Reads the text of a dryer file.
pub fn read_text(text: &Text, reading: &Reading<'_>) -> Result<DryerFile, Failure> {
    let read = text.check(reading, |root| {
        let file = root.open("icefront_dryer", &KEYS)?;
        let learned = file.section("learned", &learned::KEYS).map(|table| learned::read(&table));
        Some((cabinet(&file)?, learned.flatten()))
    });
    let ((cabinet, learned), rough) = read.map_err(|bad| Failure::BadFiles(vec![bad]))?;
    Ok(DryerFile { cabinet, rough, learned })
}

/// The file of a dryer: built-in by name, or a path ending in `.toml` (in `folder`); `None` if it is neither.
pub fn file(name: &str, folder: &Path) -> Result<Option<Text>, Failure> {
    if let Some(text) = built_in(name) {
        return Ok(Some(text));
    }
    let is_path = Path::new(name).extension().is_some_and(|e| e.eq_ignore_ascii_case("toml"));
    is_path.then(|| Text::read(&folder.join(name))).transpose()
}

fn cabinet(file: &Section<'_>) -> Option<Cabinet> {
    let read = |key: &'static str, limit: Limit| needed(file, key, &limit);
    let above = [("heated shelf", Above::HeatedShelf), ("cold wall", Above::ColdWall), ("insulated", Above::Insulated)];
    let above_top_tray = file.required(
        "above_top_tray",
        file.choice("above_top_tray", &above),
        "`heated shelf`, `cold wall` or `insulated`",
    );
    let shelves = file.required("shelves", file.whole("shelves", 1..=40), "a whole number");
    let name = file.required("name", file.text("name"), "the name it goes by");
    let note = file.required("note", file.text("note"), "where its numbers come from");
    let shelf_area = read("shelf_area", area(0.01, 20.0, "0.01 m2 to 20 m2"));
    let clear_height = read("clear_height", length(0.005, 0.5, "5 mm to 500 mm"));
    let shelf_heat_capacity =
        read("shelf_heat_capacity_j_per_m2_k", Limit::number(500.0, 1e5, "500 to 100000 J/(m2 K)"));
    let controls = read("controls", power(0.0, 2000.0, "0 W to 2000 W"));
    let heat_leak = read("heat_leak_w_per_k", Limit::number(0.0, 100.0, "0 to 100 W/K"));
    let stack = read("stack_to_cold_surface", area(0.0, 20.0, "0 m2 to 20 m2"));
    let freeze_core = read("freeze_core", celsius(-60.0, -5.0, "-60 C to -5 C"));
    let freeze_limit = read("freeze_limit", Limit::new(Kind::Duration, 3600.0, 168.0 * 3600.0, "1 h to 168 h"));
    let evacuate_below = read("evacuate_below", celsius(-90.0, -10.0, "-90 C to -10 C"));
    let defrost_heater = file.quantity("defrost_heater", &power(0.0, 10_000.0, "0 W to 10000 W"));
    let part = |key: &str, keys: &[&str]| file.required(key, file.section(key, keys), "copy it from a built-in dryer");
    let heater = part("heater", &HEATER_KEYS).and_then(|s| heater(&s));
    let contact = part("contact", &CONTACT_KEYS).and_then(|s| contact(&s));
    let condenser = part("condenser", &CONDENSER_KEYS).and_then(|s| condenser(&s));
    let refrigeration = part("refrigeration", &REFRIGERATION_KEYS).and_then(|s| refrigeration(&s));
    let vacuum = part("vacuum", &VACUUM_KEYS).and_then(|s| vacuum(&s));
    Some(Cabinet {
        name: name?.into(),
        note: note?.into(),
        shelf_area_m2: shelf_area?,
        shelves: shelves?,
        clear_height_m: clear_height?,
        above_top_tray: above_top_tray?,
        shelf_heat_capacity_j_per_m2_k: shelf_heat_capacity?,
        heater: heater?,
        contact: contact?,
        condenser: condenser?,
        refrigeration: refrigeration?,
        vacuum: vacuum?,
        controls_w: controls?,
        heat_leak_w_per_k: heat_leak?,
        stack_to_cold_surface_m2: stack?,
        convection_times: 1.0,
        freeze_core_k: freeze_core?,
        freeze_limit_s: freeze_limit?,
        evacuate_below_k: evacuate_below?,
        defrost_heater_w: defrost_heater,
    })
}

const HEATER_KEYS: [&str; 4] = ["power_w_per_m2", "set_point", "cutback_from", "cutback_to"];

fn heater(s: &Section<'_>) -> Option<Heater> {
    let pressure = Limit::new(Kind::Pressure, 1.0, 600.0, "1 Pa to 600 Pa");
    let power = needed(s, "power_w_per_m2", &Limit::number(0.0, 20_000.0, "0 to 20000 W/m2"));
    let set_point = needed(s, "set_point", &celsius(-40.0, 120.0, "-40 C to 120 C"));
    if !s.has("cutback_from") {
        s.refuse(&["cutback_to"], "heaters that are never held back", "give `cutback_from` too");
        return Some(Heater { power_w_per_m2: power?, set_point_k: set_point?, cutback: None });
    }
    let from = needed(s, "cutback_from", &pressure);
    let to = needed(s, "cutback_to", &pressure);
    if let (Some(from), Some(to)) = (from, to)
        && to <= from
    {
        s.note("cutback_to", "`cutback_to` is not above `cutback_from`", "power must fall over a band", None);
    }
    let cutback = Some(Cutback { from_pa: from?, to_pa: to? });
    Some(Heater { power_w_per_m2: power?, set_point_k: set_point?, cutback })
}

/// Keys of `[contact]`, in a dryer file and in a rig.
pub const CONTACT_KEYS: [&str; 7] = [
    "gap",
    "direct_w_per_m2_k",
    "accommodation",
    "lining_gap",
    "frozen_block_gap",
    "emissivity_above",
    "emissivity_below",
];

/// Reads `[contact]`.
pub fn contact(s: &Section<'_>) -> Option<Contact> {
    let share = Limit::number(0.0, 1.0, "0 to 1");
    let gap = length(0.0, 0.1, "0 mm to 100 mm");
    let accommodation = needed(s, "accommodation", &Limit::number(0.05, 1.0, "0.05 to 1"));
    let direct = needed(s, "direct_w_per_m2_k", &Limit::number(0.0, 1000.0, "0 to 1000 W/(m2 K)"));
    let (tray_gap, lining, block) =
        (needed(s, "gap", &gap), needed(s, "lining_gap", &gap), needed(s, "frozen_block_gap", &gap));
    let (above, below) = (needed(s, "emissivity_above", &share), needed(s, "emissivity_below", &share));
    Some(Contact {
        gap_m: tray_gap?,
        direct_w_per_m2_k: direct?,
        accommodation: accommodation?,
        lining_gap_m: lining?,
        frozen_block_gap_m: block?,
        emissivity_above: above?,
        emissivity_below: below?,
    })
}

const CONDENSER_KEYS: [&str; 6] = [
    "area",
    "heat_capacity_j_per_k",
    "deposit_conductivity_w_per_m_k",
    "deposit_density_kg_per_m3",
    "thickness_limit",
    "opening",
];

fn condenser(s: &Section<'_>) -> Option<Condenser> {
    let surface = needed(s, "area", &area(0.01, 50.0, "0.01 m2 to 50 m2"));
    let capacity = needed(s, "heat_capacity_j_per_k", &Limit::number(100.0, 1e6, "100 to 1000000 J/K"));
    let conductivity = needed(s, "deposit_conductivity_w_per_m_k", &Limit::number(0.05, 3.0, "0.05 to 3 W/(m K)"));
    let density = needed(s, "deposit_density_kg_per_m3", &Limit::number(100.0, 920.0, "100 to 920 kg/m3"));
    let limit = needed(s, "thickness_limit", &length(0.001, 0.2, "1 mm to 200 mm"));
    let opening = needed(s, "opening", &area(1e-4, 10.0, "0.0001 m2 to 10 m2"));
    Some(Condenser {
        area_m2: surface?,
        heat_capacity_j_per_k: capacity?,
        deposit_conductivity_w_per_m_k: conductivity?,
        deposit_density_kg_per_m3: density?,
        thickness_limit_m: limit?,
        opening_m2: opening?,
    })
}

const REFRIGERATION_KEYS: [&str; 7] = [
    "swept_m3_per_s",
    "clearance",
    "isentropic_efficiency",
    "loss",
    "power_limit",
    "wall_conductance_w_per_k",
    "hot_side_conductance_w_per_k",
];

fn refrigeration(s: &Section<'_>) -> Option<Refrigeration> {
    let conductance = Limit::number(1.0, 2000.0, "1 to 2000 W/K");
    let swept = needed(s, "swept_m3_per_s", &Limit::number(1e-5, 0.1, "0.00001 to 0.1 m3/s"));
    let clearance = needed(s, "clearance", &Limit::number(0.01, 0.3, "0.01 to 0.3"));
    let efficiency = needed(s, "isentropic_efficiency", &Limit::number(0.1, 0.9, "0.1 to 0.9"));
    let loss = needed(s, "loss", &power(0.0, 2000.0, "0 W to 2000 W"));
    let limit = needed(s, "power_limit", &power(50.0, 20_000.0, "50 W to 20000 W"));
    let wall = needed(s, "wall_conductance_w_per_k", &conductance);
    let hot_side = needed(s, "hot_side_conductance_w_per_k", &conductance);
    Some(Refrigeration {
        swept_m3_per_s: swept?,
        clearance: clearance?,
        isentropic_efficiency: efficiency?,
        loss_w: loss?,
        power_limit_w: limit?,
        wall_conductance_w_per_k: wall?,
        hot_side_conductance_w_per_k: hot_side?,
    })
}

const VACUUM_KEYS: [&str; 5] = ["volume_m3", "speed_m3_per_s", "ultimate", "power", "leak_pa_m3_per_s"];

fn vacuum(s: &Section<'_>) -> Option<Vacuum> {
    let volume = needed(s, "volume_m3", &Limit::number(0.005, 20.0, "0.005 to 20 m3"));
    let speed = needed(s, "speed_m3_per_s", &Limit::number(1e-4, 1.0, "0.0001 to 1 m3/s"));
    let ultimate = needed(s, "ultimate", &Limit::new(Kind::Pressure, 0.0, 300.0, "0 Pa to 300 Pa"));
    let electric = needed(s, "power", &power(0.0, 10_000.0, "0 W to 10000 W"));
    let leak = needed(s, "leak_pa_m3_per_s", &Limit::number(0.0, 1.0, "0 to 1 Pa m3/s"));
    let vacuum = Vacuum {
        volume_m3: volume?,
        speed_m3_per_s: speed?,
        ultimate_pa: ultimate?,
        power_w: electric?,
        leak_pa_m3_per_s: leak?,
    };
    pump_suffices(s, &vacuum);
    Some(vacuum)
}

/// Notes a pump that is too weak for its leak or its chamber.
fn pump_suffices(s: &Section<'_>, vacuum: &Vacuum) {
    let air_pa = vapour_path::air_pressure_pa(vacuum);
    let down_s = vapour_path::evacuation_s(vacuum);
    if air_pa > vapour_path::MOST_AIR_PA {
        let help =
            format!("allowed: `ultimate` + `leak_pa_m3_per_s`/`speed_m3_per_s` up to {} Pa", vapour_path::MOST_AIR_PA);
        s.note(
            "leak_pa_m3_per_s",
            "the pump is too weak for this leak",
            format!("leaves {air_pa:.0} Pa of air in the chamber"),
            Some(help),
        );
    } else if down_s > vapour_path::SLOWEST_PUMP_DOWN_S {
        let hours = |seconds: f64| Duration::from_seconds(seconds).hours();
        let help = format!("allowed: up to {:.0} h", hours(vapour_path::SLOWEST_PUMP_DOWN_S));
        s.note(
            "speed_m3_per_s",
            "the pump is too slow for this chamber",
            format!("takes {:.0} h to empty it", hours(down_s)),
            Some(help),
        );
    }
}

fn needed(section: &Section<'_>, key: &str, limit: &Limit) -> Option<f64> {
    section.required(key, section.quantity(key, limit), &format!("allowed: {}", limit.words))
}

const fn length(low: f64, high: f64, words: &'static str) -> Limit {
    Limit::new(Kind::Length, low, high, words)
}

const fn area(low: f64, high: f64, words: &'static str) -> Limit {
    Limit::new(Kind::Area, low, high, words)
}

const fn power(low: f64, high: f64, words: &'static str) -> Limit {
    Limit::new(Kind::Power, low, high, words)
}

const fn celsius(low: f64, high: f64, words: &'static str) -> Limit {
    Limit::new(Kind::Temperature, ZERO_CELSIUS_K + low, ZERO_CELSIUS_K + high, words)
}

/// Keys of a dryer file and of its tables.
#[cfg(test)]
pub fn all_keys() -> Vec<&'static str> {
    let tables = [&HEATER_KEYS[..], &CONTACT_KEYS, &CONDENSER_KEYS, &REFRIGERATION_KEYS, &VACUUM_KEYS].concat();
    [&KEYS[..], &tables, &learned::KEYS, &learned::UNKNOWN_KEYS].concat()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn built_in_dryers_read_and_scale_with_area() {
        for (name, text) in BUILT_IN {
            let text = Text { path: name.into(), text: text.into() };
            let dryer = read_text(&text, &Reading::TYPICAL).unwrap().cabinet;
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
