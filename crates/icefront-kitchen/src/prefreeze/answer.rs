//! The answer of `icefront prefreeze`, as data.

use serde::Serialize;

use crate::format;
use crate::json::Predicted;
use crate::prefreeze::advice::Reason;
use crate::prefreeze::advice_text::advice;
use crate::prefreeze::cautions;
use crate::prefreeze::course::Course;
use crate::prefreeze::way::{Place, Way};
use crate::prefreeze::ways::{Answer, Question};
use crate::prefreeze::words::ready_s;
use crate::weather::Sky;

/// Where to freeze.
#[derive(Clone, Debug, Serialize)]
pub struct Prefreezing<'a> {
    /// The way to take.
    pub advice: Advice,
    /// The night outdoors.
    pub night: Night<'a>,
    /// Core temperature that counts as frozen through.
    pub core_k: f64,
    /// Air of the freezer.
    pub freezer_k: f64,
    /// The three ways, followed to the end of the batch with typical numbers.
    pub ways: Ways<'a>,
    /// Doubts and dangers in words.
    pub cautions: Vec<String>,
}

/// The way to take.
#[derive(Clone, Debug, Serialize)]
pub struct Advice {
    /// `outdoors`, `freezer` or `machine`.
    pub way: Place,
    /// Why.
    pub reason: Reason,
    /// Both in words.
    pub words: String,
}

/// The night outdoors.
#[derive(Clone, Debug, Serialize)]
pub struct Night<'a> {
    /// Time of day at which the trays go out.
    pub set_out: String,
    /// Time of day at which they come in.
    pub until: String,
    /// Between the two.
    pub length_s: f64,
    /// Date of the weather; `null` for an even night.
    pub date: Option<&'a str>,
    /// Whether the trays have lids.
    pub covered: bool,
    /// Mean air temperature.
    pub air_mean_k: f64,
    /// Lowest air temperature.
    pub air_min_k: f64,
    /// Mean wind at the trays.
    pub wind_mean_m_per_s: f64,
    /// Mean radiant temperature of the sky.
    pub sky_mean_k: f64,
    /// What the sky is taken from: `infrared`, `dew-point-and-cloud` or `air`.
    pub sky_from: &'static str,
}

/// The three ways.
#[derive(Clone, Debug, Serialize)]
pub struct Ways<'a> {
    /// Outdoors in this night.
    pub outdoors: OneWay<'a>,
    /// In a chest freezer for as long.
    pub freezer: OneWay<'a>,
    /// In the machine, at once.
    pub machine: OneWay<'a>,
}

/// One way.
#[derive(Clone, Debug, Serialize)]
pub struct OneWay<'a> {
    /// Trays while they cool, from the bottom.
    pub trays: Vec<Tray<'a>>,
    /// Whether all are frozen through in time.
    pub all_frozen_in_time: bool,
    /// Whether none cools more slowly than the published limits; `null` where no limit applies.
    pub cooling_within_limits: Option<bool>,
    /// From the start of the machine until the food can be taken out.
    pub machine_s: Predicted,
    /// From the start of the machine to the end of the defrost.
    pub whole_run_s: Predicted,
    /// From setting out until the food can be taken out.
    pub food_ready_after_set_out_s: Predicted,
    /// Electricity of the dryer.
    pub energy_j: Predicted,
    /// Less than with freezing in the machine.
    pub saved_j: Predicted,
    /// Cost of the dryer's electricity; `null` without a price.
    pub cost: Predicted,
    /// Electricity of the freezer; only there.
    pub freezer_own_j: Predicted,
}

/// One tray.
#[derive(Clone, Debug, Serialize)]
pub struct Tray<'a> {
    /// Name, as in the sheet.
    pub tray: &'a str,
    /// Food, as in the sheet.
    pub food: &'a str,
    /// Frozen through after this time; `null`: not in time.
    pub frozen_at_s: Predicted,
    /// Core at the end of it.
    pub core_at_end_k: Predicted,
    /// Whether it is frozen through then.
    pub frozen_in_time: bool,
    /// How fast it cools; `null` where food safety sets no limit.
    pub cooling: Option<Clock>,
}

/// The clock of food safety.
#[derive(Clone, Debug, Serialize)]
pub struct Clock {
    /// Until 21 degC.
    pub to_21_c_s: Predicted,
    /// Until 5 degC.
    pub to_5_c_s: Predicted,
    /// Longest time allowed to 21 degC.
    pub limit_21_c_s: Option<f64>,
    /// Longest time allowed to 5 degC.
    pub limit_5_c_s: f64,
    /// Whether both are kept.
    pub within_limits: bool,
}

/// The answer as data.
pub fn prefreezing<'a>(question: &'a Question, answer: &Answer) -> Prefreezing<'a> {
    let way = |way: &Way| one_way(question, answer, way);
    Prefreezing {
        advice: Advice {
            way: answer.advice.place,
            reason: answer.advice.reason,
            words: advice(question, answer).split_whitespace().collect::<Vec<_>>().join(" "),
        },
        night: night(question),
        core_k: question.wanted_k,
        freezer_k: question.freezer_k,
        ways: Ways { outdoors: way(&answer.outdoors), freezer: way(&answer.freezer), machine: way(&answer.machine) },
        cautions: cautions::cautions(question, answer),
    }
}

fn night(question: &Question) -> Night<'_> {
    let night = &question.night;
    Night {
        set_out: night.stay.set_out.to_string(),
        until: night.stay.until.to_string(),
        length_s: night.stay.length_s(),
        date: night.date.as_deref(),
        covered: night.is_covered(),
        air_mean_k: night.mean(|c| c.air_k),
        air_min_k: night.quarters().map(|(_, now)| now.air_k).fold(f64::INFINITY, f64::min),
        wind_mean_m_per_s: night.mean(|c| c.wind_m_per_s),
        sky_mean_k: night.mean(|c| c.sky_k),
        sky_from: match night.sky() {
            Sky::Measured => "infrared",
            Sky::Estimated => "dew-point-and-cloud",
            Sky::AsAir => "air",
        },
    }
}

fn one_way<'a>(question: &'a Question, answer: &Answer, way: &Way) -> OneWay<'a> {
    let energy_j = way.energy_j();
    let price = question.load.tariff.price_per_kwh;
    let known = |value: f64| Predicted::undrawn(Some(value));
    OneWay {
        trays: question.load.trays.iter().zip(&way.trays).map(|(t, course)| tray(&t.name, &t.food, course)).collect(),
        all_frozen_in_time: way.in_time(),
        cooling_within_limits: way.cooled_in_time(),
        machine_s: Predicted::undrawn(ready_s(way)),
        whole_run_s: Predicted::undrawn(ready_s(way).map(|_| way.plan.total_s())),
        food_ready_after_set_out_s: Predicted::undrawn(ready_s(way).map(|ready_s| way.wait_s + ready_s)),
        energy_j: known(energy_j),
        saved_j: known(answer.machine.energy_j() - energy_j),
        cost: Predicted::undrawn(price.map(|price| price * format::kilowatt_hours(energy_j))),
        freezer_own_j: Predicted::undrawn((way.place == Place::Freezer).then(|| way.freezer_energy_j())),
    }
}

fn tray<'a>(tray: &'a str, food: &'a str, course: &Course) -> Tray<'a> {
    Tray {
        tray,
        food,
        frozen_at_s: Predicted::undrawn(course.reached_at_s),
        core_at_end_k: Predicted::undrawn(Some(course.end_k)),
        frozen_in_time: course.is_frozen,
        cooling: course.cooling.map(|clock| Clock {
            to_21_c_s: Predicted::undrawn(clock.to_middle_s),
            to_5_c_s: Predicted::undrawn(clock.to_cold_s),
            limit_21_c_s: clock.middle_limit_s,
            limit_5_c_s: clock.cold_limit_s,
            within_limits: clock.within_limits(),
        }),
    }
}
