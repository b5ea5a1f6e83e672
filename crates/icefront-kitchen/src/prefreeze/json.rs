//! The answer as JSON; its keys are described in `docs/weather.md`. Predicted quantities are objects
//! `{"typical": x}`, with `null` where not known.

use icefront_core::units::{Duration, Temperature};
use serde::Serialize;

use crate::format;
use crate::prefreeze::advice::Reason;
use crate::prefreeze::advice_text::advice;
use crate::prefreeze::cautions as mind;
use crate::prefreeze::course::Course;
use crate::prefreeze::ways::{Answer, Place, Question, Way};
use crate::prefreeze::words::ready_s;
use crate::weather::Sky;

/// The answer as JSON text, one line feed at its end.
pub fn json(question: &Question, answer: &Answer) -> Result<String, serde_json::Error> {
    Ok(serde_json::to_string_pretty(&report(question, answer))? + "\n")
}

#[derive(Serialize)]
struct Report {
    advice: Advice,
    night: NightTold,
    core_c: f64,
    freezer_c: f64,
    ways: Ways,
    cautions: Vec<String>,
}

#[derive(Serialize)]
struct Advice {
    way: &'static str,
    reason: &'static str,
    words: String,
}

#[derive(Serialize)]
struct NightTold {
    set_out: String,
    until: String,
    length_h: f64,
    date: Option<String>,
    covered: bool,
    air_mean_c: f64,
    air_min_c: f64,
    wind_mean_m_per_s: f64,
    sky_mean_c: f64,
    sky_from: &'static str,
}

#[derive(Serialize)]
struct Ways {
    outdoors: Told,
    freezer: Told,
    machine: Told,
}

#[derive(Serialize)]
struct Told {
    trays: Vec<Tray>,
    all_frozen_in_time: bool,
    cooling_within_limits: Option<bool>,
    machine_h: Typical,
    whole_run_h: Typical,
    food_ready_after_set_out_h: Typical,
    energy_kwh: Typical,
    saved_kwh: Typical,
    cost: Typical,
    freezer_own_kwh: Typical,
}

#[derive(Serialize)]
struct Tray {
    tray: String,
    food: String,
    frozen_at_h: Typical,
    core_at_end_c: Typical,
    frozen_in_time: bool,
    cooling: Option<Clock>,
}

#[derive(Serialize)]
struct Clock {
    to_21_c_h: Typical,
    to_5_c_h: Typical,
    limit_21_c_h: Option<f64>,
    limit_5_c_h: f64,
    within_limits: bool,
}

#[derive(Serialize)]
struct Typical {
    typical: Option<f64>,
}

fn report(question: &Question, answer: &Answer) -> Report {
    let way = |way: &Way| told(question, answer, way);
    Report {
        advice: Advice {
            way: place(answer.advice.place),
            reason: reason(answer.advice.reason),
            words: advice(question, answer).split_whitespace().collect::<Vec<_>>().join(" "),
        },
        night: night(question),
        core_c: celsius(question.wanted_k),
        freezer_c: celsius(question.freezer_k),
        ways: Ways { outdoors: way(&answer.outdoors), freezer: way(&answer.freezer), machine: way(&answer.machine) },
        cautions: mind::cautions(question, answer),
    }
}

fn place(place: Place) -> &'static str {
    match place {
        Place::Outdoors => "outdoors",
        Place::Freezer => "freezer",
        Place::Machine => "machine",
    }
}

fn reason(reason: Reason) -> &'static str {
    match reason {
        Reason::Saves => "saves",
        Reason::SavesTooLittle => "saves-too-little",
        Reason::OthersNotFrozen => "others-not-frozen",
        Reason::OthersTooSlow => "others-cool-too-slowly",
        Reason::CoolFirst => "cool-first",
    }
}

fn night(question: &Question) -> NightTold {
    let night = &question.night;
    NightTold {
        set_out: night.stay.set_out.to_string(),
        until: night.stay.until.to_string(),
        length_h: rounded(Duration::from_seconds(night.stay.length_s()).hours()),
        date: night.date.clone(),
        covered: night.is_covered(),
        air_mean_c: celsius(night.mean(|c| c.air_k)),
        air_min_c: celsius(night.quarters().map(|(_, now)| now.air_k).fold(f64::INFINITY, f64::min)),
        wind_mean_m_per_s: rounded(night.mean(|c| c.wind_m_per_s)),
        sky_mean_c: celsius(night.mean(|c| c.sky_k)),
        sky_from: match night.sky() {
            Sky::Measured => "infrared",
            Sky::Estimated => "dew-point-and-cloud",
            Sky::AsAir => "air",
        },
    }
}

fn told(question: &Question, answer: &Answer, way: &Way) -> Told {
    let kwh = format::kilowatt_hours(way.energy_j());
    let price = question.load.tariff.price_per_kwh;
    let trays = question.load.trays.iter().zip(&way.trays);
    Told {
        trays: trays.map(|(tray, course)| tray_told(tray.name.clone(), tray.food.clone(), course)).collect(),
        all_frozen_in_time: way.in_time(),
        cooling_within_limits: way.cooled_in_time(),
        machine_h: hours(ready_s(way)),
        whole_run_h: hours(ready_s(way).map(|_| way.plan.total_s())),
        food_ready_after_set_out_h: hours(ready_s(way).map(|ready_s| way.wait_s + ready_s)),
        energy_kwh: known(Some(kwh)),
        saved_kwh: known(Some(format::kilowatt_hours(answer.machine.energy_j()) - kwh)),
        cost: known(price.map(|price| price * kwh)),
        freezer_own_kwh: known((way.place == Place::Freezer).then(|| format::kilowatt_hours(way.freezer_energy_j()))),
    }
}

fn tray_told(tray: String, food: String, course: &Course) -> Tray {
    Tray {
        tray,
        food,
        frozen_at_h: hours(course.reached_at_s),
        core_at_end_c: known(Some(celsius(course.end_k))),
        frozen_in_time: course.is_frozen,
        cooling: course.cooling.map(|clock| Clock {
            to_21_c_h: hours(clock.to_middle_s),
            to_5_c_h: hours(clock.to_cold_s),
            limit_21_c_h: clock.middle_limit_s.map(|s| Duration::from_seconds(s).hours()),
            limit_5_c_h: Duration::from_seconds(clock.cold_limit_s).hours(),
            within_limits: clock.within_limits(),
        }),
    }
}

fn known(value: Option<f64>) -> Typical {
    Typical { typical: value.filter(|v| v.is_finite()).map(rounded) }
}

fn hours(seconds: Option<f64>) -> Typical {
    known(seconds.map(|s| Duration::from_seconds(s).hours()))
}

fn celsius(kelvin: f64) -> f64 {
    rounded(Temperature::from_kelvin(kelvin).celsius())
}

/// Seven digits: the last bits differ between machines and mean nothing.
fn rounded(value: f64) -> f64 {
    format!("{value:.6e}").parse().unwrap_or(value)
}
