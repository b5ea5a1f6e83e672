//! What a report says: the answer first, then where it comes from, then what to mind.

use icefront_core::decide::limits::Limits;
use icefront_core::load::{EndRule, Load};
use icefront_core::machine::Dryer;
use icefront_core::result::{BatchResult, TrayResult};
use icefront_core::units::UnitSystem;

use crate::blocks::{List, Part, Table, Words, in_order};
use crate::plan::course::Course;
use crate::plan::last::{WhyLast, why_last};
use crate::plan::outcome::{cost, stopped};
use crate::plan::screen::trait_words;
use crate::plan::{Run, cautions, flags, headline, limits, tables, verdict};
use crate::range;
use crate::{Look, Sheet, format};

/// All that a report says.
#[derive(Clone, Debug)]
pub struct Document {
    /// The source.
    pub what: Words,
    /// When the food is ready, in one sentence.
    pub ready: String,
    /// What it takes in electricity and money, in one sentence.
    pub electricity: Option<String>,
    /// The run that is shown, where the first sentence gives a range.
    pub typical: Option<String>,
    /// What ends the run.
    pub rule: String,
    /// Ranges of the main numbers.
    pub range: Option<Table>,
    /// What the machine makes of the load.
    pub verdict: Option<Words>,
    /// Chances of trouble.
    pub chances: Option<Words>,
    /// When to start checking.
    pub run_until: Option<Words>,
    /// What to measure first.
    pub measure: Option<Words>,
    /// The run as bars.
    pub course: Course,
    /// What goes on each tray.
    pub loading: Table,
    /// Stages.
    pub stages: Table,
    /// Trays.
    pub trays: Table,
    /// Which tray is last, and why.
    pub last: Option<Words>,
    /// Electricity and what it costs; a rig has none.
    pub energy: Option<Table>,
    /// Where the water goes.
    pub water: Words,
    /// The warmest ice front.
    pub front: Option<Words>,
    /// How near the machine comes to its limits.
    pub machine: Option<Words>,
    /// How near the load is to each limit, and what to take out.
    pub limits: Option<Table>,
    /// Cautions.
    pub mind: List,
}

impl Document {
    /// Says it. `source` tells what the load was read from.
    pub fn new(source: &str, sheet: &Sheet, run: &Run, near: Option<&Limits>) -> Self {
        let (load, result, range) = (&run.load, &run.result, run.range.as_ref());
        let notes = [Some(moisture_note(load)), taken(sheet)].into_iter().flatten().collect();
        let has_bill = matches!(load.dryer, Dryer::Cabinet(_));
        Self {
            what: Words::new("", what(source, load)),
            ready: headline::ready(run, None),
            electricity: headline::electricity(run),
            typical: Some(match range {
                Some(_) => format!("The tables below show the typical one of these runs. {}", typical(load, result)),
                None => typical(load, result),
            }),
            rule: rule(load),
            range: range.map(|r| range::table(load, r)),
            verdict: verdict::sentence(sheet, run).map(|sentence| Words::new("", sentence)),
            chances: range.and_then(|r| range::chances(load, r)),
            run_until: range.map(|r| range::run_until(load, r)),
            measure: range.map(|r| range::measure_first(load, r)),
            course: Course::of(result),
            loading: tables::loading(&sheet.load),
            stages: tables::stages(result),
            trays: tables::trays(run, notes),
            last: last(load, result),
            energy: has_bill.then(|| tables::energy(result, money(load, result))),
            water: water(load, result),
            front: front(load.units, result),
            machine: machine(run),
            limits: near.map(|near| limits::table(load, result, near)),
            mind: List { label: "cautions", items: cautions::cautions(run) },
        }
    }

    /// As text, all in reading order.
    pub fn text(&self, look: Look) -> String {
        let sentences =
            [Some(self.ready.as_str()), self.electricity.as_deref(), self.typical.as_deref(), Some(self.rule.as_str())];
        let answer = Words::new("", sentences.into_iter().flatten().collect::<Vec<_>>().join(" "));
        let parts: [&dyn Part; 17] = [
            &self.what,
            &answer,
            &self.range,
            &self.verdict,
            &self.chances,
            &self.run_until,
            &self.measure,
            &self.course,
            &self.stages,
            &self.trays,
            &self.last,
            &self.energy,
            &self.water,
            &self.front,
            &self.machine,
            &self.limits,
            &self.mind,
        ];
        in_order(&parts, look)
    }
}

fn what(source: &str, load: &Load) -> String {
    let dryer = match &load.dryer {
        Dryer::Cabinet(cabinet) => format!("dryer {}. {}", cabinet.name, cabinet.note),
        Dryer::Prescribed(_) => "a rig with given conditions.".to_string(),
    };
    let trays = format::count(load.trays.len(), "tray");
    format!("{source}: {trays}, room {}, {dryer}", load.units.temperature(load.room_k))
}

/// When the food can come out in one run.
pub fn typical(load: &Load, result: &BatchResult) -> String {
    let ready = format::hours(result.food_ready_s());
    match load.dryer {
        _ if stopped(result) => format!("The food is not ready after {ready}, where the computation stops."),
        Dryer::Cabinet(_) => format!(
            "The food can come out after {ready}; with the ice melted off, the whole run takes {}.",
            format::hours(result.total_s())
        ),
        Dryer::Prescribed(_) => format!("The food can come out after {ready}."),
    }
}

fn rule(load: &Load) -> String {
    match load.end {
        EndRule::WettestSpot { moisture_wet_frac: most } => {
            format!("It ends when no spot of any tray holds more than {} moisture.", format::percent(most))
        }
        EndRule::FixedTime { time_s } => format!("It ends {} after the pump starts.", format::hours(time_s)),
        EndRule::TemperaturesMeet { delta_k } => {
            format!("It ends when food and shelf are within {} on every tray.", load.units.difference(delta_k))
        }
        EndRule::WeightConstant { loss_kg, over_s } => {
            format!("It ends when the load loses less than {} in {}.", load.units.mass(loss_kg), format::hours(over_s))
        }
    }
}

fn moisture_note(load: &Load) -> String {
    let target = match load.end {
        EndRule::WettestSpot { moisture_wet_frac } => format!(" Dry: under {}.", format::percent(moisture_wet_frac)),
        _ => String::new(),
    };
    format!("Hours from the start. Moisture: water by weight in the wettest spot at the end.{target}")
}

/// What the names of foods were taken to mean.
fn taken(sheet: &Sheet) -> Option<String> {
    let list: Vec<String> =
        sheet.taken.iter().map(|(name, found)| format!("{name} = {}{}", found.description, found.more)).collect();
    (!list.is_empty()).then(|| format!("Foods taken from the table: {}.", list.join("; ")))
}

fn last(load: &Load, result: &BatchResult) -> Option<Words> {
    let tray = result.last_tray().filter(|_| result.trays.len() > 1)?;
    let name = flags::named(tray);
    let why = match why_last(load, result) {
        Some(why) => reasons(&why, result)?,
        None => "it had not reached the target when the run ended.".to_string(),
    };
    Some(Words::new("last", format!("{name}; {why}")))
}

fn reasons(why: &WhyLast, result: &BatchResult) -> Option<String> {
    let other = flags::named(result.trays.get(why.other)?);
    let later = format!("it is dry {} after {other}, the typical tray.", format::hours(why.later_s));
    let given: Vec<String> = why
        .traits
        .iter()
        .map(|(what, cost_s)| format!("{} ({})", trait_words(*what), format::hours(*cost_s)))
        .collect();
    Some(if given.is_empty() {
        format!("{later} No single cause explains that.")
    } else {
        format!("{later} It is slow mainly because of {}.", format::and(&given))
    })
}

fn money(load: &Load, result: &BatchResult) -> String {
    let Some(cost) = cost(load, result) else {
        return "Cost: not known without a price: add `--price 0.16`, or `[tariff]` to the sheet.".to_string();
    };
    let (price, currency) = (load.tariff.price_per_kwh.unwrap_or(cost), &load.tariff.currency);
    let each = load.servings.map(|servings| {
        format!(", {} for each of {} servings", format::money(cost / servings, currency), format::digits(servings))
    });
    let rate = match currency.as_str() {
        "" => format::digits(price),
        currency => format!("{} {currency}", format::digits(price)),
    };
    format!("Cost: {} at {rate} per kWh{}.", format::money(cost, currency), each.unwrap_or_default())
}

fn water(load: &Load, result: &BatchResult) -> Words {
    let water = &result.water;
    let dried_kg: f64 = result.trays.iter().map(|t| t.dry_matter_kg + t.water_left_kg).sum();
    let loaded_kg: f64 = result.trays.iter().map(|t| t.loaded_kg).sum();
    let mass = |kilograms| load.units.large_mass().written(kilograms, 2);
    let sums = format!(
        "of {} in the food {} is taken out and {} left. {} of food becomes {}.",
        mass(water.loaded_kg),
        mass(water.removed_kg),
        mass(water.left_kg),
        mass(loaded_kg),
        mass(dried_kg)
    );
    Words::new("water", sums)
}

fn front(units: UnitSystem, result: &BatchResult) -> Option<Words> {
    let margin = |t: &TrayResult| t.collapse_k - t.front_mean_k;
    let tray = result.trays.iter().min_by(|a, b| margin(a).total_cmp(&margin(b)))?;
    let front = format!(
        "the ice in {} comes closest to its limit: {} on average, {} at most. This food is best kept below {}.",
        flags::named(tray),
        units.whole_degrees(tray.front_mean_k),
        units.whole_degrees(tray.front_max_k),
        units.whole_degrees(tray.collapse_k)
    );
    Some(Words::new("warmest ice", front))
}

fn machine(run: &Run) -> Option<Words> {
    let (load, result) = (&run.load, &run.result);
    let Dryer::Cabinet(cabinet) = &load.dryer else { return None };
    let m = &result.machine;
    let room = m.ice_room_frac.map(|frac| format!(" ({:.0} % of its room)", frac * 100.0)).unwrap_or_default();
    let held_percent = m.time_limited_frac * 100.0;
    let held = || format!(" Heaters were held back by pressure for {held_percent:.0} % of primary drying.");
    let held = cabinet.heater.cutback.map(|_| held()).unwrap_or_default();
    Some(Words::new(
        "machine",
        format!(
            "pressure {} on average and {} at most while ice was left.{held} Ice on the condenser: {}{room}.",
            load.units.pressure(m.mean_pressure_pa),
            load.units.pressure(m.max_pressure_pa),
            load.units.thickness(m.ice_thickness_m)
        ),
    ))
}
