//! How near a load is to the limits of its machine, and what to take out.

use icefront_core::decide::limits::{Limits, MOST};
use icefront_core::decide::trouble::SLOW;
use icefront_core::load::{Load, Tray};
use icefront_core::machine::Dryer;
use icefront_core::result::BatchResult;
use serde::Serialize;

use crate::blocks::{Column, Table};
use crate::range::trouble_words;

/// The block of the report.
pub fn table(load: &Load, result: &BatchResult, limits: &Limits) -> Table {
    let units = load.units;
    let high = |m: f64| units.thickness(m);
    let mut rows = Vec::new();
    let mut row = |what: &str, here: String, machine: String, share: f64| {
        rows.push(vec![what.to_string(), here, machine, format!("{:.0} %", 100.0 * share)]);
    };
    let ice_m = result.machine.ice_thickness_m;
    row("ice on the condenser", high(ice_m), high(ice_m / limits.ice_frac.max(1e-9)), limits.ice_frac);
    if let Some((wanted, taken)) = limits.vapour_kg_per_s {
        let per_hour = |kg_per_s: f64| units.large_mass().written(3_600.0 * kg_per_s, 2) + "/h";
        row("vapour at the pressure limit", per_hour(wanted), per_hour(taken), wanted / taken.max(1e-9));
        row("time heaters are held back by it", String::new(), String::new(), limits.held_back_frac);
    }
    let trays_m2: f64 = load.trays.iter().map(|t| t.area_m2).sum();
    row("trays on the shelves", units.area(trays_m2), units.area(trays_m2 / limits.area_frac), limits.area_frac);
    let (tray, height_m, allowed_m) = limits.highest;
    let name = load.trays.get(tray).map_or("", |t| &t.name);
    row(&format!("highest food, {name}"), high(height_m), high(allowed_m), height_m / allowed_m);
    Table::of_numbers("limits", Column::words("", 36), ["this load", "the machine", "share"], rows)
        .note(take_out(load, result, limits))
}

/// What has to go, or how much more would do.
fn take_out(load: &Load, result: &BatchResult, limits: &Limits) -> String {
    let fullest = &limits.fullest;
    let stops: Vec<&str> = fullest.stops.iter().map(|t| trouble_words(*t)).collect();
    let stops = stops.join("; ");
    let over = too_high(load);
    let over = if over.is_empty() { String::new() } else { format!(" {}.", crate::format::capital(&over.join("; "))) };
    let advice = if fullest.share <= 0.0 {
        format!("LOADING LESS WON'T HELP by itself: even a tenth of this food {stops} more than 1 time in 10.{over}")
    } else if fullest.share < 1.0 {
        let loaded = load.units.mass(rounded_mass(loaded_kg(result)));
        let out = load.units.mass(rounded_mass(to_take_out_kg(result, limits)));
        format!(
            "TAKE OUT {out} of {loaded}, the same share from every tray, if you change nothing else. {:.0} % of this load \
             goes well at least 9 times in 10; with more: {stops}.{over}",
            (100.0 * fullest.share).floor()
        )
    } else if fullest.stops.is_empty() {
        format!("NOT TOO FULL: even {MOST:.0} times as much would go well at least 9 times in 10.")
    } else {
        format!(
            "NOT TOO FULL: up to {:.0} % of this load goes well at least 9 times in 10; with more: {stops}.",
            (100.0 * fullest.share).floor()
        )
    };
    let hours = if limits.held_back_frac > SLOW {
        " The heaters wait for the condenser much of the time. A smaller load is ready sooner. `icefront compare` shows \
         whether it also dries more food a week."
    } else {
        ""
    };
    advice + hours
}

/// Food to take out so that the rest is inside all limits, kg.
fn to_take_out_kg(result: &BatchResult, limits: &Limits) -> f64 {
    loaded_kg(result) * (1.0 - limits.fullest.share).max(0.0)
}

/// All food on the trays, kg.
pub fn loaded_kg(result: &BatchResult) -> f64 {
    result.trays.iter().map(|t| t.loaded_kg).sum()
}

/// How much too high the food of a tray stands for the shelf above, m; negative where there is room.
pub fn excess_m(load: &Load, tray: &Tray) -> f64 {
    match &load.dryer {
        Dryer::Cabinet(cabinet) => tray.shape.height_m() - cabinet.highest_food_m(),
        Dryer::Prescribed(_) => f64::NEG_INFINITY,
    }
}

/// Trays whose food stands too high for the shelf above.
fn too_high(load: &Load) -> Vec<String> {
    let Dryer::Cabinet(cabinet) = &load.dryer else { return Vec::new() };
    let words = |tray: &Tray| {
        let excess_m = excess_m(load, tray);
        let words = || format!("{} is {} too high", tray.name, load.units.length((excess_m * 1e4).round() / 1e4));
        cabinet.is_too_high(tray.shape.height_m()).then(words)
    };
    load.trays.iter().filter_map(words).collect()
}

/// To ten grams.
fn rounded_mass(kilograms: f64) -> f64 {
    (kilograms * 100.0).round() / 100.0
}

/// How near a load is to the machine's limits: shares of each limit.
#[derive(Clone, Debug, Serialize)]
pub struct Near {
    /// Ice over the condenser's room for it.
    pub ice_of_room: f64,
    /// Vapour of the first half of the ice with heaters that pressure does not hold back; `null` where no pressure limit is.
    pub vapour_wanted_kg_per_s: Option<f64>,
    /// What the condenser takes at the pressure limit.
    pub vapour_taken_kg_per_s: Option<f64>,
    /// Share of primary drying with the heaters held back.
    pub heaters_held_back_share: f64,
    /// Share of primary drying with the heaters at full power.
    pub heaters_full_power_share: f64,
    /// Trays over the shelves.
    pub trays_of_shelves: f64,
    /// Highest food over the height that is allowed, 80 % of the clear height.
    pub highest_food_of_allowed: f64,
    /// The largest load that goes well at least 9 times in 10, over this one: 3 at most, 0 where even a tenth does not.
    pub largest_load_share: f64,
    /// Food to take out so that the rest is inside all limits.
    pub take_out_kg: f64,
    /// What the next larger load runs into.
    pub stops: Vec<&'static str>,
}

/// The limits as data.
pub fn near(result: &BatchResult, limits: &Limits) -> Near {
    Near {
        ice_of_room: limits.ice_frac,
        vapour_wanted_kg_per_s: limits.vapour_kg_per_s.map(|(wanted, _)| wanted),
        vapour_taken_kg_per_s: limits.vapour_kg_per_s.map(|(_, taken)| taken),
        heaters_held_back_share: limits.held_back_frac,
        heaters_full_power_share: limits.full_power_frac,
        trays_of_shelves: limits.area_frac,
        highest_food_of_allowed: limits.highest.1 / limits.highest.2,
        largest_load_share: limits.fullest.share,
        take_out_kg: to_take_out_kg(result, limits),
        stops: limits.fullest.stops.iter().map(|trouble| trouble_words(*trouble)).collect(),
    }
}
