//! The answer as text: 80 columns, the recommendation first, then one table, then where it comes from.

use crate::blocks::{List, Part, Words, in_order};
use crate::prefreeze::advice_text::advice;
use crate::prefreeze::way::FREEZER_HEAT_PER_WORK;
use crate::prefreeze::ways::{Answer, Question};
use crate::prefreeze::{cautions as mind, table};
use crate::weather::Sky;
use crate::{Look, format};

/// The whole answer. `source` says what the load was read from, `weather` what the night was read from.
pub fn text(source: &str, weather: Option<&str>, question: &Question, answer: &Answer, look: Look) -> String {
    let parts: [&dyn Part; 7] = [
        &Words::new("", advice(question, answer)),
        &headline(source, question),
        &table::table(question, answer),
        &Words::new("night", night(weather, question)),
        &mind::cooling(question, answer),
        &Words::new("freezer", freezer(question, answer)),
        &List { label: "cautions", items: mind::cautions(question, answer) },
    ];
    in_order(&parts, look)
}

fn headline(source: &str, question: &Question) -> Words {
    let trays = format::count(question.load.trays.len(), "tray");
    let stay = question.night.stay;
    let (food, out, until) = (question.load.units.mass(rounded(mass_kg(question))), stay.set_out, stay.until);
    Words::new("", format!("{source}: {trays}, {food} of food; set out at {out}, taken in at {until}."))
}

/// To a hundred grams.
fn rounded(kilograms: f64) -> f64 {
    (10.0 * kilograms).round() / 10.0
}

fn mass_kg(question: &Question) -> f64 {
    question.load.trays.iter().map(|t| t.model.density_kg_per_m3 * t.shape.volume_per_area_m() * t.area_m2).sum()
}

fn night(weather: Option<&str>, question: &Question) -> String {
    let (night, units) = (&question.night, question.load.units);
    let air = || night.quarters().map(|(_, now)| now.air_k);
    let (coldest_k, warmest_k) = (air().fold(f64::INFINITY, f64::min), air().fold(f64::NEG_INFINITY, f64::max));
    let when = match (&night.date, weather) {
        (Some(date), Some(file)) => {
            let chosen = if night.stay.day.is_some() { "as chosen" } else { "the coldest it holds" };
            format!("the evening of {date} from {file} ({chosen})")
        }
        _ => "as given".to_string(),
    };
    let sky = match (night.is_covered(), night.sky()) {
        (true, _) => "lids on: no sky, and no wind on the food".to_string(),
        (false, Sky::Measured) => format!("open sky at {} by its infrared in the file", mean_sky(question)),
        (false, Sky::Estimated) => format!("open sky at {} by dew point and cloud", mean_sky(question)),
        (false, Sky::AsAir) => {
            "sky taken to be as warm as the air, since nothing is known of it: a clear night freezes faster".to_string()
        }
    };
    let words = || format!(" Hours are missing: {} at most were bridged.", format::hours(night.longest_gap_s));
    let gap = (night.longest_gap_s > 3_700.0).then(words).unwrap_or_default();
    let air = if warmest_k - coldest_k < 0.05 {
        units.temperature(coldest_k)
    } else {
        let mean = units.temperature(night.mean(|c| c.air_k));
        format!("{} to {}, {mean} on average", units.temperature(warmest_k), units.temperature(coldest_k))
    };
    let wind = units.speed(night.mean(|c| c.wind_m_per_s));
    format!(
        "{when}. Air {air}; wind {wind} at the trays; {sky}. The trays are on a grid in the open, with air \
         under them.{gap}"
    )
}

fn mean_sky(question: &Question) -> String {
    question.load.units.whole_degrees(question.night.mean(|c| c.sky_k))
}

/// Household freezers freeze this much food in a day, kg per m3 of room. Source: Michigan State University Extension,
/// 2 to 3 lb per cubic foot.
const FREEZER_KG_PER_M3: (f64, f64) = (32.0, 48.0);

fn freezer(question: &Question, answer: &Answer) -> String {
    let (low, usual, high) = FREEZER_HEAT_PER_WORK;
    let kwh = |ratio: f64| format::kilowatt_hours(answer.freezer.heat_before_j / ratio);
    let units = question.load.units;
    let (least, most) = FREEZER_KG_PER_M3;
    let room = |kg_per_m3: f64| units.freezer_room(mass_kg(question) / kg_per_m3);
    format!(
        "assumed to stay at {} whatever you put in. Its own electricity is not in the table: about {:.1} kWh ({:.1} \
         to {:.1}; from memory, not measured). This load needs {} to {} of its room: that \
         much freezes in a day.",
        units.temperature(question.freezer_k),
        kwh(usual),
        kwh(high),
        kwh(low),
        room(most),
        room(least)
    )
}
