//! Dryer files.

use icefront_core::machine::{LEAST_CLEARANCE, LEAST_EMISSIVITY, MOST_UNEVEN};

use super::Value::{self, Flag, List, Numbers, Text, Version, Whole, Words};
use super::{Key, Table, area, celsius, hours, length, number, power, pressure, share};
use crate::quantity::Limit;

const COPY: &str = "copy it from a built-in dryer";
const GAP: Value = length(0.0, 0.1, "0 mm to 100 mm");
const EMISSIVITY: Value = number(LEAST_EMISSIVITY, 1.0, "0.02 to 1");
const CUTBACK: Value = pressure(1.0, 600.0, "1 Pa to 600 Pa");
const CONDUCTANCE: Value = number(1.0, 2000.0, "1 to 2000 W/K");
const DEVIATIONS: Limit = Limit::number(-20.0, 20.0, "-20 to 20");

const fn needed(name: &'static str, value: Value, about: &'static str) -> Key {
    Key::new(name, value, about).required("")
}

/// A dryer file.
#[rustfmt::skip]
pub static DRYER: Table = Table::new(&[
    needed("icefront_dryer", Version, "the version of this format"),
    needed("name", Text("any"), "its name"),
    needed("note", Text("any"), "where its numbers come from"),
    needed("shelf_area", area(0.01, 20.0, "0.01 m2 to 20 m2"), "of all trays together"),
    needed("shelves", Whole(1, 40), "that take a tray"),
    needed("clear_height", length(0.005, 0.5, "5 mm to 500 mm"), "above a shelf"),
    needed("above_top_tray", Words(&[("heated shelf", ""), ("cold wall", ""), ("insulated", "")]), "what the topmost tray faces"),
    needed("shelf_heat_capacity_j_per_m2_k", number(500.0, 1e5, "500 to 100000 J/(m2 K)"), "metal of shelf and tray"),
    needed("controls", power(0.0, 2000.0, "0 W to 2000 W"), "controls and fans"),
    needed("heat_leak_w_per_k", number(0.0, 100.0, "0 to 100 W/K"), "from the room into the cabinet"),
    needed("stack_to_cold_surface", area(0.0, 20.0, "0 m2 to 20 m2"), "that radiates from the shelves to the cold surface"),
    needed("freeze_core", celsius(-60.0, -5.0, "-60 °C to -5 °C"), "core temperature at which freezing is over"),
    needed("freeze_limit", hours(1.0, 168.0, "1 h to 168 h"), "longest freezing"),
    needed("evacuate_below", celsius(-90.0, -10.0, "-90 °C to -10 °C"), "temperature of the cold surface at which the pump starts"),
    Key::new("can_pause", Flag, "a run may be paused to open the door and weigh a tray").usual("false"),
    Key::new("defrost_heater", power(0.0, 10_000.0, "0 W to 10000 W"), "melts the ice off").or("the room melts it", ""),
    needed("heater", Value::Table(&HEATER), COPY),
    needed("contact", Value::Table(&CONTACT), COPY),
    needed("condenser", Value::Table(&CONDENSER), COPY),
    needed("refrigeration", Value::Table(&REFRIGERATION), COPY),
    needed("vacuum", Value::Table(&VACUUM), COPY),
    Key::new("learned", Value::Table(&LEARNED), "what batches taught; written by `icefront learn`, see [learning.md](guide/learning.md)").or("nothing yet", ""),
]);

/// What shelves are heated to, in a dryer file and in a sheet.
pub const SET_POINT: Value = Value::QuantityOr(Limit::celsius(-40.0, 120.0, "-40 °C to 120 °C"), &PROGRAMME);

/// One entry of a shelf programme.
#[rustfmt::skip]
static PROGRAMME: Table = Table::new(&[
    needed("after", hours(0.0, 240.0, "0 h to 240 h"), "time since the air is out and drying began; later than that of the entry before"),
    needed("temperature", celsius(-40.0, 120.0, "-40 °C to 120 °C"), "of the shelves then; it changes evenly from one entry to the next, and stays after the last"),
]);

/// `[heater]`
#[rustfmt::skip]
static HEATER: Table = Table::new(&[
    needed("power_w_per_m2", number(0.0, 20_000.0, "0 to 20000 W/m2"), "at full heat"),
    needed("set_point", SET_POINT, "what the shelves are heated to: one temperature, or a programme"),
    Key::new("cutback_from", CUTBACK, "pressure from which heaters are held back").or("never held back", ""),
    Key::new("cutback_to", CUTBACK, "pressure at which they are off: above `cutback_from`").or("required with `cutback_from`", ""),
    Key::new("cutback_gauge", Words(&[("absolute", ""), ("heat conduction", "")]), "what reads these pressures: a heat-conduction gauge (Pirani, thermocouple) shows about 1.5 times the pressure of vapour").usual("absolute"),
]);

/// `[contact]`, in a dryer file and in a rig.
#[rustfmt::skip]
pub static CONTACT: Table = Table::new(&[
    needed("gap", GAP, "between tray and shelf"),
    needed("direct_w_per_m2_k", number(0.0, 1000.0, "0 to 1000 W/(m2 K)"), "metal on metal"),
    needed("accommodation", number(0.05, 1.0, "0.05 to 1"), "of vapour on the surfaces"),
    needed("lining_gap", GAP, "that a lining adds"),
    needed("frozen_block_gap", GAP, "under food loaded frozen"),
    needed("emissivity_above", EMISSIVITY, "of the underside of the shelf above"),
    needed("emissivity_below", EMISSIVITY, "of tray and shelf, seen from below the food"),
    Key::new("uneven", share(0.0, MOST_UNEVEN, "0 % to 95 %"), "how much less heat from below the worst part of a tray gets than the whole tray on average").usual("30 %"),
]);

/// `[condenser]`
#[rustfmt::skip]
static CONDENSER: Table = Table::new(&[
    needed("area", area(0.01, 50.0, "0.01 m2 to 50 m2"), "cold surface that takes ice; a 20th of `shelf_area` or more"),
    needed("heat_capacity_j_per_k", number(100.0, 1e6, "100 to 1000000 J/K"), "of its metal"),
    needed("deposit_conductivity_w_per_m_k", number(0.05, 3.0, "0.05 to 3 W/(m K)"), "of the ice on it"),
    needed("deposit_density_kg_per_m3", number(100.0, 920.0, "100 to 920 kg/m3"), "of the ice on it"),
    needed("thickness_limit", length(0.001, 0.2, "1 mm to 200 mm"), "room for ice"),
    needed("opening", area(1e-4, 10.0, "0.0001 m2 to 10 m2"), "narrowest on the way of the vapour to it"),
]);

/// `[refrigeration]`
#[rustfmt::skip]
static REFRIGERATION: Table = Table::new(&[
    needed("swept_m3_per_s", number(1e-5, 0.1, "0.00001 to 0.1 m3/s"), "by the compressor"),
    needed("clearance", number(LEAST_CLEARANCE, 0.3, "0.01 to 0.3"), "clearance volume over swept volume"),
    needed("isentropic_efficiency", number(0.1, 0.9, "0.1 to 0.9"), "of the compressor"),
    needed("loss", power(0.0, 2000.0, "0 W to 2000 W"), "constant, of the compressor; less than `power_limit`"),
    needed("power_limit", power(50.0, 20_000.0, "50 W to 20000 W"), "most that the compressor takes"),
    needed("wall_conductance_w_per_k", CONDUCTANCE, "cold surface to refrigerant"),
    needed("hot_side_conductance_w_per_k", CONDUCTANCE, "refrigerant to room"),
]);

/// `[vacuum]`
#[rustfmt::skip]
static VACUUM: Table = Table::new(&[
    needed("volume_m3", number(0.005, 20.0, "0.005 to 20 m3"), "of the chamber"),
    needed("speed_m3_per_s", number(1e-4, 1.0, "0.0001 to 1 m3/s"), "of the pump: it empties the chamber within 96 h"),
    needed("ultimate", pressure(0.0, 300.0, "0 Pa to 300 Pa"), "that the pump reaches"),
    needed("power", power(0.0, 10_000.0, "0 W to 10000 W"), "of the pump"),
    needed("leak_pa_m3_per_s", number(0.0, 1.0, "0 to 1 Pa m3/s"), "air leaking in; over the speed, with `ultimate`, at most 600 Pa of air"),
]);

/// `[learned]`
#[rustfmt::skip]
static LEARNED: Table = Table::new(&[
    needed("from", Text("any"), "which batches it was learned from"),
    Key::new("model", Whole(1, 1_000_000), "version of the model whose unknowns these are").or("1", "1"),
    Key::new("history", Text("any"), "file of the batches, to learn from them again").or("not known", "history.csv"),
    Key::new("model_error", number(0.001, 1.0, "0.001 to 1"), "error of a tray's water at half of it, share").or("0.075", "0.05"),
    Key::new("model_error_log", number(0.01, 3.0, "0.01 to 3"), "standard deviation of the logarithm of that").or("0.724", "0.4"),
    needed("unknown", List(&UNKNOWN), "let `icefront learn` write it"),
]);

/// `[[learned.unknown]]`
#[rustfmt::skip]
static UNKNOWN: Table = Table::new(&[
    Key::new("name", Text("an unknown of machine or foods"), "whose value was learned").required("contact.gap"),
    needed("best", Value::Quantity(DEVIATIONS), "best explanation, in standard deviations of the band"),
    needed("draws", Numbers(DEVIATIONS), "a number for each believable machine"),
]);
