//! Where to freeze: outdoors tonight, in a freezer, or in the machine, as `icefront prefreeze` decides it.

use icefront_kitchen::prefreeze::{self, Question, limits};
use icefront_kitchen::quantity::{Limit, WIND};
use icefront_kitchen::weather::clock::{Clock, Day};
use icefront_kitchen::weather::{Night, Outside, Stay};
use icefront_kitchen::{Failure, Look};
use icefront_plot::night_chart_svg;

use crate::folder::short;
use crate::questions::{Context, Report};

/// An option of the command as a field of the page.
#[derive(Clone, Copy, Debug)]
pub struct Field {
    /// Its option, without the dashes.
    pub option: &'static str,
    /// What it is called.
    pub label: &'static str,
    /// What is taken where it is empty, or an example.
    pub usual: &'static str,
    /// A word on it.
    pub hint: &'static str,
    /// Whether it is in sight.
    pub first: bool,
    /// Whether it is a time of day.
    pub is_clock: bool,
}

/// All that are typed.
pub const FIELDS: [Field; 8] = [
    field("temperature", "Air outdoors", "-10 °C", "without a weather file").first(),
    field("set-out", "Set out at", limits::USUAL_SET_OUT, "").first().clock(),
    field("until", "Taken in at", limits::USUAL_UNTIL, "").first().clock(),
    field("wind", "Wind at the trays", "0 m/s", "without a weather file; empty: still air"),
    field("date", "Evening", "01-15", "of the weather file; empty: its coldest night"),
    field("wind-share", "Share of the file's wind", limits::USUAL_WIND_SHARE, "a station measures 10 m up"),
    field("core", "Frozen means a core of", limits::USUAL_CORE, ""),
    field("freezer", "Air of a freezer", limits::USUAL_FREEZER, ""),
];

const fn field(option: &'static str, label: &'static str, usual: &'static str, hint: &'static str) -> Field {
    Field { option, label, usual, hint, first: false, is_clock: false }
}

impl Field {
    /// One of those in sight.
    const fn first(self) -> Self {
        Self { first: true, ..self }
    }

    /// A time of day.
    const fn clock(self) -> Self {
        Self { is_clock: true, ..self }
    }
}

/// The field of an option.
fn name(option: &str) -> String {
    format!("night.{option}")
}

/// The content of a field; empty if nothing was entered.
fn entered<'a>(context: &Context<'a>, option: &str) -> &'a str {
    context.request.field(&name(option))
}

fn quantity(context: &Context<'_>, option: &str, usual: &str, limit: &Limit) -> Result<f64, Failure> {
    let text = context.request.field_or(&name(option), usual);
    limit.read_text(text).map_err(|reason| wrong(option, reason.to_string(), limit.words))
}

fn clock(context: &Context<'_>, option: &str, usual: &str) -> Result<Clock, Failure> {
    let text = context.request.field_or(&name(option), usual);
    Clock::read(text).map_err(|reason| wrong(option, reason, "00:00 to 23:59"))
}

fn wrong(option: &str, reason: String, allowed: &str) -> Failure {
    Failure::BadValue { key: option.into(), reason, allowed: allowed.into() }
}

fn night(context: &Context<'_>) -> Result<Night, Failure> {
    let (weather, covered) = (entered(context, "weather"), context.request.is_on("night.covered"));
    let day = match entered(context, "date") {
        day if day.is_empty() || weather.is_empty() => None,
        day => Some(Day::read(day).map_err(|reason| wrong("date", reason, "a day of the file"))?),
    };
    let set_out = clock(context, "set-out", limits::USUAL_SET_OUT)?;
    let stay = Stay { set_out, until: clock(context, "until", limits::USUAL_UNTIL)?, day };
    if weather.is_empty() {
        let air_k = quantity(context, "temperature", "", &limits::NIGHT_AIR)?;
        return Ok(Night::constant(air_k, quantity(context, "wind", "0 m/s", &WIND)?, stay, covered));
    }
    let wind_share = quantity(context, "wind-share", limits::USUAL_WIND_SHARE, &limits::WIND_SHARE)?;
    let read = context.environment.folder.weather(weather);
    let night = read.and_then(|read| Night::from_file(&read, stay, Outside { wind_share, covered }));
    night.map_err(|failure| short(failure, weather))
}

/// The arguments that mean the same night.
fn arguments(context: &Context<'_>) -> Vec<String> {
    let mut all = vec!["prefreeze".to_string(), context.name().to_string()];
    let weather = entered(context, "weather");
    if !weather.is_empty() {
        all.extend(["--weather".to_string(), weather.to_string()]);
    }
    // a file has its own temperature and wind, and only a file has days and a wind to take a share of
    let strange = if weather.is_empty() { ["date", "wind-share"] } else { ["temperature", "wind"] };
    for option in FIELDS.iter().map(|field| field.option).filter(|option| !strange.contains(option)) {
        let value = entered(context, option);
        if !value.is_empty() {
            all.extend([format!("--{option}"), value.to_string()]);
        }
    }
    all.extend(context.request.is_on("night.covered").then(|| "--covered".to_string()));
    all
}

/// Follows the three ways of freezing this load.
pub fn prefreeze(context: &Context<'_>) -> Result<Report, Failure> {
    let question = Question {
        load: context.answer.sheet.load.clone(),
        night: night(context)?,
        wanted_k: quantity(context, "core", limits::USUAL_CORE, &limits::CORE)?,
        freezer_k: quantity(context, "freezer", limits::USUAL_FREEZER, &limits::FREEZER)?,
    };
    question.check().map_err(|unfit| context.unfit(unfit))?;
    let answer = question.answer()?;
    let weather = Some(entered(context, "weather")).filter(|weather| !weather.is_empty());
    let report = prefreeze::text(context.name(), weather, &question, &answer, Look::Page);
    let chart = night_chart_svg(&prefreeze::chart(&question, &answer))?;
    Ok(Report::new("Where to freeze", arguments(context), report).with(chart))
}
