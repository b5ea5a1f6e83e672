//! The answer as text: 80 columns, the recommendation first, then one table, then where it comes from.

use icefront_core::units::Duration;

use super::{advice, clock, mind};
use crate::prefreeze::{Answer, Course, FREEZER_HEAT_PER_WORK, Question, Way};
use crate::report::wrap::{fit, wrap};
use crate::show;
use crate::weather::Sky;

/// The whole answer. `source` says what the load was read from, `weather` what the night was read from.
pub fn text(source: &str, weather: Option<&str>, question: &Question, answer: &Answer) -> String {
    let cautions: String = mind::cautions(question, answer).iter().map(|c| wrap("- ", c)).collect();
    [
        headline(source, question) + &wrap("", &advice(question, answer)),
        table(question, answer),
        wrap("", &night(weather, question)),
        wrap("", &mind::cooling(question, answer)),
        wrap("", &freezer(question, answer)),
        format!("MIND\n{cautions}"),
    ]
    .join("\n")
}

fn headline(source: &str, question: &Question) -> String {
    let trays = question.load.trays.len();
    let trays = if trays == 1 { "1 tray".to_string() } else { format!("{trays} trays") };
    let stay = question.night.stay;
    let (mass_kg, out, until) = (mass_kg(question), stay.set_out, stay.until);
    wrap("", &format!("{source}: {trays}, {mass_kg:.1} kg of food; set out at {out}, taken in at {until}.")) + "\n"
}

fn mass_kg(question: &Question) -> f64 {
    question.load.trays.iter().map(|t| t.model.density_kg_per_m3 * t.shape.volume_per_area_m() * t.area_m2).sum()
}

fn table(question: &Question, answer: &Answer) -> String {
    let ways = [&answer.outdoors, &answer.freezer, &answer.machine];
    let row = |label: &str, cells: [String; 3]| {
        let [outdoors, freezer, machine] = cells;
        format!("  {} {outdoors:>13} {freezer:>13} {machine:>13}\n", fit(label, 34))
    };
    let wanted = show::celsius(question.wanted_k);
    let mut table =
        format!("{:<36} {:>13} {:>13} {:>13}\n", format!("CORE AT {wanted}"), "outdoors", "freezer", "machine");
    for (index, tray) in question.load.trays.iter().enumerate() {
        let cell = |way: &Way| way.trays.get(index).map_or_else(String::new, |course| reached(question, course));
        table.push_str(&row(&format!("{}  {}", tray.name, tray.food), ways.map(cell)));
    }
    let yes_no = |way: &Way| if way.in_time() { "yes" } else { "no" }.to_string();
    let until = question.night.stay.until;
    table.push_str(&row(&format!("all of them, at {until}"), [yes_no(ways[0]), yes_no(ways[1]), "-".into()]));
    let hours = |seconds: f64| format!("{:.1}", Duration::from_seconds(seconds).hours());
    table.push_str(&row("hours in the machine", ways.map(|way| hours(way.plan.food_ready_s()))));
    let wait_s = question.night.stay.length_s();
    let ready = [wait_s, wait_s, 0.0];
    let mut ready = ready.iter().zip(ways).map(|(wait_s, way)| hours(wait_s + way.plan.food_ready_s()));
    let mut next = || ready.next().unwrap_or_default();
    table.push_str(&row(&format!("food out, hours after {}", question.night.stay.set_out), [next(), next(), next()]));
    let kwh = |joules: f64| format!("{:.1}", show::kilowatt_hours(joules));
    table.push_str(&row("electricity of the dryer, kWh", ways.map(|way| kwh(way.energy_j()))));
    let against = |value: fn(&Way) -> f64, show: fn(f64) -> String| {
        let saved = |way: &Way| show(value(&answer.machine) - value(way));
        [saved(ways[0]), saved(ways[1]), "-".to_string()]
    };
    table.push_str(&row(
        "saved against the machine, kWh",
        against(Way::energy_j, |j| format!("{:.1}", show::kilowatt_hours(j))),
    ));
    if let Some(price) = question.load.tariff.price_per_kwh {
        let cost = |way: &Way| format!("{:.2}", price * show::kilowatt_hours(way.energy_j()));
        table.push_str(&row(&format!("its cost, {}", question.load.tariff.currency), ways.map(cost)));
    }
    let note = if question.load.tariff.price_per_kwh.is_some() { "" } else { " No cost is told without a [tariff]." };
    let after = format!(
        "A tray whose core is less than three quarters ice then goes into the machine at once and is frozen on there; the \
         others wait in the cold until the machine is cold.{note}"
    );
    table + &wrap("  ", &after)
}

/// `21:40`, or how far it came.
fn reached(question: &Question, course: &Course) -> String {
    match course.reached_at_s {
        _ if course.was_frozen() => "came frozen".to_string(),
        Some(at_s) if course.is_frozen => clock(&question.night, at_s),
        _ => format!("no, {}", show::celsius_0(course.end_k)),
    }
}

fn night(weather: Option<&str>, question: &Question) -> String {
    let night = &question.night;
    let air = || night.quarters().map(|(_, now)| now.air_k);
    let (coldest_k, warmest_k) = (air().fold(f64::INFINITY, f64::min), air().fold(f64::NEG_INFINITY, f64::max));
    let when = match (&night.date, weather) {
        (Some(date), Some(file)) => {
            let chosen = if night.stay.day.is_some() { "as asked" } else { "the coldest it holds" };
            format!("the evening of {date} from {file} ({chosen})")
        }
        _ => "as told".to_string(),
    };
    let sky = match (night.is_covered(), night.sky()) {
        (true, _) => "lids on: no sky, and no wind on the food".to_string(),
        (false, Sky::Measured) => format!("open sky at {} by its infrared in the file", mean_sky(question)),
        (false, Sky::Estimated) => format!("open sky at {} by dew point and cloud", mean_sky(question)),
        (false, Sky::AsAir) => {
            "sky taken to be as warm as the air, since nothing is told of it: a clear night freezes faster".to_string()
        }
    };
    let gap = if night.longest_gap_s > 3_700.0 {
        format!(" Hours are missing: {} at most were bridged.", show::hours(night.longest_gap_s))
    } else {
        String::new()
    };
    let air = if warmest_k - coldest_k < 0.05 {
        show::celsius(coldest_k)
    } else {
        let mean = show::celsius(night.mean(|c| c.air_k));
        format!("{} to {}, {mean} on average", show::celsius(warmest_k), show::celsius(coldest_k))
    };
    let wind = night.mean(|c| c.wind_m_per_s);
    format!(
        "NIGHT: {when}. Air {air}; wind {wind:.1} m/s at the trays; {sky}. The trays stand on a grid in the open, with air \
         under them.{gap}"
    )
}

fn mean_sky(question: &Question) -> String {
    show::celsius_0(question.night.mean(|c| c.sky_k))
}

/// Household freezers freeze this much food in a day, kg per m3 of room. Source: Michigan State University Extension,
/// 2 to 3 lb per cubic foot.
const FREEZER_KG_PER_M3: (f64, f64) = (32.0, 48.0);

fn freezer(question: &Question, answer: &Answer) -> String {
    let (low, usual, high) = FREEZER_HEAT_PER_WORK;
    let kwh = |ratio: f64| show::kilowatt_hours(answer.freezer.heat_before_j / ratio);
    let litres = |kg_per_m3: f64| (100.0 * mass_kg(question) / kg_per_m3).round() * 10.0;
    format!(
        "FREEZER: taken to hold {} whatever is put in. Its own electricity is not in the table: about {:.1} kWh ({:.1} to \
         {:.1}; from memory, not measured). In a day it freezes 2 to 3 lb of food per cubic foot ({} to {} kg per m3), so \
         this load wants {:.0} to {:.0} L of it for itself.",
        show::celsius(question.freezer_k),
        kwh(usual),
        kwh(high),
        kwh(low),
        FREEZER_KG_PER_M3.0,
        FREEZER_KG_PER_M3.1,
        litres(FREEZER_KG_PER_M3.1),
        litres(FREEZER_KG_PER_M3.0)
    )
}
