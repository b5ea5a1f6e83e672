//! Dryer files, the built-in ones, and which of them a load sheet means.

use std::path::Path;

use icefront_core::machine::{Above, Cabinet, Condenser, Contact, Cutback, Heater, Refrigeration, Vacuum, vapour_path};
use icefront_core::units::Duration;

use crate::failure::Failure;
use crate::format;
use crate::sheet::learned::{self, Known};
use crate::sheet::schema::dryer::DRYER;
use crate::sheet::section::Section;
use crate::sheet::text::{Reading, Text};
use crate::storage::Storage;

/// Built-in dryers: name and file. All invented.
pub const BUILT_IN: [(&str, &str); 3] = [
    ("0.36 m2", include_str!("../../data/dryers/0.36-m2.toml")),
    ("0.60 m2", include_str!("../../data/dryers/0.60-m2.toml")),
    ("1.00 m2", include_str!("../../data/dryers/1.00-m2.toml")),
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
        let file = root.open(&DRYER)?;
        let learned = file.section("learned").map(|table| learned::read(&table));
        Some((cabinet(&file)?, learned.flatten()))
    });
    let ((cabinet, learned), rough) = read.map_err(|bad| Failure::BadFiles(vec![bad]))?;
    Ok(DryerFile { cabinet, rough, learned })
}

/// The file of a dryer: built-in by name, or a path ending in `.toml` (in `folder`); `None` if it is neither.
pub fn file(name: &str, folder: &Path, files: &dyn Storage) -> Result<Option<Text>, Failure> {
    if let Some(text) = built_in(name) {
        return Ok(Some(text));
    }
    let is_path = Path::new(name).extension().is_some_and(|e| e.eq_ignore_ascii_case("toml"));
    is_path.then(|| Text::read(&folder.join(name), files)).transpose()
}

fn cabinet(file: &Section<'_>) -> Option<Cabinet> {
    let above_top_tray = file.word("above_top_tray").map(|word| match word {
        "heated shelf" => Above::HeatedShelf,
        "cold wall" => Above::ColdWall,
        _ => Above::Insulated,
    });
    let (shelves, name, note) = (file.whole("shelves"), file.text("name"), file.text("note"));
    let (shelf_area, clear_height) = (file.quantity("shelf_area"), file.quantity("clear_height"));
    let shelf_heat_capacity = file.quantity("shelf_heat_capacity_j_per_m2_k");
    let (controls, heat_leak) = (file.quantity("controls"), file.quantity("heat_leak_w_per_k"));
    let stack = file.quantity("stack_to_cold_surface");
    let (freeze_core, freeze_limit) = (file.quantity("freeze_core"), file.quantity("freeze_limit"));
    let (evacuate_below, defrost_heater) = (file.quantity("evacuate_below"), file.quantity("defrost_heater"));
    let heater = file.section("heater").and_then(|s| heater(&s));
    let contact = file.section("contact").and_then(|s| contact(&s));
    let condenser = file.section("condenser").and_then(|s| condenser(&s, shelf_area));
    let refrigeration = file.section("refrigeration").and_then(|s| refrigeration(&s));
    let vacuum = file.section("vacuum").and_then(|s| vacuum(&s));
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

fn heater(s: &Section<'_>) -> Option<Heater> {
    let (power, set_point) = (s.quantity("power_w_per_m2"), s.quantity("set_point"));
    if !s.has("cutback_from") {
        s.refuse(&["cutback_to"], "heaters that are never held back", "give `cutback_from` too");
        return Some(Heater { power_w_per_m2: power?, set_point_k: set_point?, cutback: None });
    }
    let from = s.quantity("cutback_from");
    let to = s.needed("cutback_to");
    if let (Some(from), Some(to)) = (from, to)
        && to <= from
    {
        s.note("cutback_to", "`cutback_to` is not above `cutback_from`", "power must fall over a band", None);
    }
    let cutback = Some(Cutback { from_pa: from?, to_pa: to? });
    Some(Heater { power_w_per_m2: power?, set_point_k: set_point?, cutback })
}

/// Reads `[contact]`, of a dryer file or a rig.
pub fn contact(s: &Section<'_>) -> Option<Contact> {
    let (accommodation, direct) = (s.quantity("accommodation"), s.quantity("direct_w_per_m2_k"));
    let (gap, lining, block) = (s.quantity("gap"), s.quantity("lining_gap"), s.quantity("frozen_block_gap"));
    let (above, below) = (s.quantity("emissivity_above"), s.quantity("emissivity_below"));
    Some(Contact {
        gap_m: gap?,
        direct_w_per_m2_k: direct?,
        accommodation: accommodation?,
        lining_gap_m: lining?,
        frozen_block_gap_m: block?,
        emissivity_above: above?,
        emissivity_below: below?,
    })
}

/// Shelf area over condenser area, at most (`from memory`): the ice of a usual load would lie a quarter of a metre thick on a
/// smaller one.
const MOST_SHELF_PER_CONDENSER: f64 = 20.0;

fn condenser(s: &Section<'_>, shelf_area_m2: Option<f64>) -> Option<Condenser> {
    let (area, capacity) = (s.quantity("area"), s.quantity("heat_capacity_j_per_k"));
    if let (Some(surface), Some(shelves)) = (area, shelf_area_m2)
        && surface * MOST_SHELF_PER_CONDENSER < shelves
    {
        let label = format!("{} for {} of shelves", format::area(surface), format::area(shelves));
        let help = format!("allowed: a {MOST_SHELF_PER_CONDENSER:.0}th of `shelf_area` or more");
        s.note("area", "the condenser is too small for these shelves", label, Some(help));
    }
    let conductivity = s.quantity("deposit_conductivity_w_per_m_k");
    let (density, limit) = (s.quantity("deposit_density_kg_per_m3"), s.quantity("thickness_limit"));
    let opening = s.quantity("opening");
    Some(Condenser {
        area_m2: area?,
        heat_capacity_j_per_k: capacity?,
        deposit_conductivity_w_per_m_k: conductivity?,
        deposit_density_kg_per_m3: density?,
        thickness_limit_m: limit?,
        opening_m2: opening?,
    })
}

fn refrigeration(s: &Section<'_>) -> Option<Refrigeration> {
    let (swept, clearance) = (s.quantity("swept_m3_per_s"), s.quantity("clearance"));
    let (efficiency, loss) = (s.quantity("isentropic_efficiency"), s.quantity("loss"));
    let (limit, wall) = (s.quantity("power_limit"), s.quantity("wall_conductance_w_per_k"));
    let hot_side = s.quantity("hot_side_conductance_w_per_k");
    if let (Some(loss), Some(limit)) = (loss, limit)
        && loss >= limit
    {
        s.note(
            "loss",
            "the compressor loses all its power",
            "leaves nothing to cool with",
            Some("allowed: less than `power_limit`".into()),
        );
    }
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

fn vacuum(s: &Section<'_>) -> Option<Vacuum> {
    let (volume, speed, ultimate) = (s.quantity("volume_m3"), s.quantity("speed_m3_per_s"), s.quantity("ultimate"));
    let (power, leak) = (s.quantity("power"), s.quantity("leak_pa_m3_per_s"));
    let vacuum = Vacuum {
        volume_m3: volume?,
        speed_m3_per_s: speed?,
        ultimate_pa: ultimate?,
        power_w: power?,
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
