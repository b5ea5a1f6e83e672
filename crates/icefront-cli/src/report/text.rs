//! The report as text: 80 columns, the answer first, then where it comes from, then what to mind.

use icefront_core::load::{EndRule, Load};
use icefront_core::machine::Dryer;
use icefront_core::result::{BatchResult, TrayResult};

use super::last::{Trait, WhyLast, why_last};
use super::range::{self, Range};
use super::{cautions, cost, flags, stopped, tables, wrap};
use crate::sheet::Sheet;
use crate::show;

/// The whole report. `source` says what the load was read from.
pub fn text(source: &str, sheet: &Sheet, result: &BatchResult, range: Option<&Range>) -> String {
    let load = &sheet.load;
    let mut parts = vec![headline(source, load, result, range)];
    parts.extend(range.map(|r| range::text(load, r)));
    parts.push(tables::stages(result));
    parts.push(tables::trays(load, result) + &moisture_note(load) + &taken(sheet));
    parts.extend(last(load, result));
    if let Dryer::Cabinet(_) = load.dryer {
        parts.push(tables::energy(result) + &money(load, result));
    }
    parts.push(water_and_front(result));
    parts.extend(machine(load, result));
    let cautions: String = cautions::cautions(load, result).iter().map(|c| wrap("- ", c)).collect();
    parts.push(format!("MIND\n{cautions}"));
    parts.join("\n")
}

fn headline(source: &str, load: &Load, result: &BatchResult, range: Option<&Range>) -> String {
    let dryer = match &load.dryer {
        Dryer::Cabinet(cabinet) => format!("dryer {}. {}", cabinet.name, cabinet.note),
        Dryer::Prescribed(_) => "a rig with given conditions.".to_string(),
    };
    let trays = if load.trays.len() == 1 { "1 tray".into() } else { format!("{} trays", load.trays.len()) };
    let what = format!("{source}: {trays}, room {}, {dryer}", show::celsius(load.room_k));
    let answer = typical_answer(load, result);
    let rule = match load.end {
        EndRule::WettestSpot { moisture_wet_frac } => {
            format!("It ends when no spot of any tray holds more than {} moisture.", show::percent(moisture_wet_frac))
        }
        EndRule::FixedTime { time_s } => format!("It ends {} after the pump starts.", show::hours(time_s)),
        EndRule::TemperaturesMeet { delta_k } => {
            format!("It ends when food and shelf are within {} K on every tray.", show::digits(delta_k))
        }
        EndRule::WeightConstant { loss_kg, over_s } => {
            format!("It ends when the load loses less than {} in {}.", show::mass(loss_kg), show::hours(over_s))
        }
    };
    let answer = match range {
        Some(range) => format!("{} With typical numbers: {answer}", range::sentence(range)),
        None => answer,
    };
    format!("{}\n{}", wrap("", &what), wrap("", &format!("{answer} {rule}")))
}

/// When the food can come out, with typical numbers.
pub fn typical_answer(load: &Load, result: &BatchResult) -> String {
    let ready = show::hours(result.food_ready_s());
    match load.dryer {
        _ if stopped(result) => format!("The food is not ready after {ready}, where the computation stops."),
        Dryer::Cabinet(_) => format!(
            "The food can come out after {ready}; with the ice melted off, the whole run takes {}.",
            show::hours(result.total_s())
        ),
        Dryer::Prescribed(_) => format!("The food can come out after {ready}."),
    }
}

fn moisture_note(load: &Load) -> String {
    let target = match load.end {
        EndRule::WettestSpot { moisture_wet_frac } => format!(" Dry: under {}.", show::percent(moisture_wet_frac)),
        _ => String::new(),
    };
    wrap("  ", &format!("Hours from the start. Moisture: water by weight in the wettest spot at the end.{target}"))
}

/// What the names of foods were taken to mean.
pub fn taken(sheet: &Sheet) -> String {
    if sheet.taken.is_empty() {
        return String::new();
    }
    let list: Vec<String> = sheet.taken.iter().map(|(asked, found)| format!("{asked} = {found}")).collect();
    wrap("  ", &format!("Foods taken from the table: {}.", list.join("; ")))
}

/// Why the last tray is last.
pub fn last(load: &Load, result: &BatchResult) -> Option<String> {
    let tray = result.last_tray().filter(|_| result.trays.len() > 1)?;
    let name = flags::named(tray);
    let why = match why_last(load, result) {
        Some(why) => reasons(&why, result)?,
        None => "it had not reached the target when the run ended.".to_string(),
    };
    Some(wrap("", &format!("LAST: {name}; {why}")))
}

fn reasons(why: &WhyLast, result: &BatchResult) -> Option<String> {
    let other = flags::named(result.trays.get(why.other)?);
    let later = format!("it is dry {} after {other}, the middle one of the others.", show::hours(why.later_s));
    let given: Vec<String> = why
        .traits
        .iter()
        .map(|(what, cost_s)| {
            let what = match what {
                Trait::Shape => "depth or piece size",
                Trait::Food => "food",
                Trait::Place => "place in the cabinet",
                Trait::Contact => "lining, contact and freezing",
            };
            format!("with its {what} {} sooner", show::hours(*cost_s))
        })
        .collect();
    Some(if given.is_empty() {
        format!("{later} No single trait of it explains that.")
    } else {
        format!("{later} Computed again with one trait of that tray alone, it is dry: {}.", given.join(", "))
    })
}

/// What the electricity costs.
pub fn money(load: &Load, result: &BatchResult) -> String {
    let Some(cost) = cost(load, result) else {
        return wrap("  ", "Cost: not known without a price; give [tariff] with price_per_kwh and currency.");
    };
    let (price, currency) = (load.tariff.price_per_kwh.unwrap_or(cost), &load.tariff.currency);
    let each = match load.servings {
        Some(servings) => {
            format!(", {:.2} {currency} for each of {} servings", cost / servings, show::digits(servings))
        }
        None => String::new(),
    };
    wrap("  ", &format!("Cost: {cost:.2} {currency} at {} {currency} per kWh{each}.", show::digits(price)))
}

/// Water taken out, and the tray whose ice front comes nearest to its limit.
pub fn water_and_front(result: &BatchResult) -> String {
    let water = &result.water;
    let dried_kg: f64 = result.trays.iter().map(|t| t.dry_matter_kg + t.water_left_kg).sum();
    let loaded_kg: f64 = result.trays.iter().map(|t| t.loaded_kg).sum();
    let sums = format!(
        "WATER: of {:.2} kg in the food {:.2} kg is taken out and {:.2} kg left. {loaded_kg:.2} kg of food becomes \
         {dried_kg:.2} kg.",
        water.loaded_kg, water.removed_kg, water.left_kg
    );
    let margin = |t: &TrayResult| t.collapse_k - t.front_max_k;
    let Some(tray) = result.trays.iter().min_by(|a, b| margin(a).total_cmp(&margin(b))) else {
        return wrap("", &sums);
    };
    let front = format!(
        "ICE FRONT (where the ice ends in the food): warmest for its food in {}, up to {}; this food bears about {}.",
        flags::named(tray),
        show::celsius_0(tray.front_max_k),
        show::celsius_0(tray.collapse_k)
    );
    wrap("", &sums) + &wrap("", &front)
}

/// How near the machine comes to its limits.
pub fn machine(load: &Load, result: &BatchResult) -> Option<String> {
    let Dryer::Cabinet(cabinet) = &load.dryer else { return None };
    let m = &result.machine;
    let room = match m.ice_room_frac {
        Some(frac) => format!(" ({:.0} % of its room)", frac * 100.0),
        None => String::new(),
    };
    let held = if cabinet.heater.cutback_from_pa.is_finite() {
        format!(" Heaters were held back by pressure for {:.0} % of primary drying.", m.time_limited_frac * 100.0)
    } else {
        String::new()
    };
    Some(wrap(
        "",
        &format!(
            "MACHINE: pressure {:.0} Pa on average and {:.0} Pa at most while ice was left.{held} Ice on the \
             condenser: {:.1} mm{room}.",
            m.mean_pressure_pa,
            m.max_pressure_pa,
            icefront_core::units::Length::from_metres(m.ice_thickness_m).millimetres()
        ),
    ))
}
