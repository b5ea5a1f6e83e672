//! Where to freeze: outdoors tonight, in a freezer, or in the machine, as `icefront prefreeze` decides it.

use icefront_kitchen::failure::Failure;
use icefront_kitchen::prefreeze::{self, Question, limits};
use icefront_kitchen::quantity::{Limit, WIND};
use icefront_kitchen::style::Look;
use icefront_kitchen::weather::clock::{Clock, Day};
use icefront_kitchen::weather::{Night, Outside, Stay};
use icefront_plot::night_chart_svg;

use crate::folder::short;
use crate::questions::context::Context;
use crate::questions::report::Report;
use crate::request::Request;

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
}

/// All that are typed.
pub const FIELDS: [Field; 8] = [
    field("temperature", "Air outdoors", "-10 C", "without a weather file"),
    field("wind", "Wind at the trays", "0 m/s", "without a weather file; empty: still air"),
    field("date", "Evening", "01-15", "of the weather file; empty: its coldest night"),
    field("wind-share", "Share of the file's wind", limits::USUAL_WIND_SHARE, "a station measures 10 m up"),
    field("set-out", "Set out at", limits::USUAL_SET_OUT, ""),
    field("until", "Taken in at", limits::USUAL_UNTIL, ""),
    field("core", "Frozen means a core of", limits::USUAL_CORE, ""),
    field("freezer", "Air of a freezer", limits::USUAL_FREEZER, ""),
];

const fn field(option: &'static str, label: &'static str, usual: &'static str, hint: &'static str) -> Field {
    Field { option, label, usual, hint }
}

/// The night as it was entered.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct NightOptions {
    /// A weather file of the folder; empty if temperature and wind are entered.
    pub weather: String,
    /// The content of each of [`FIELDS`].
    pub values: [String; FIELDS.len()],
    /// Whether lids lie on the trays.
    pub covered: bool,
}

impl NightOptions {
    /// As it was sent.
    pub fn of(request: &Request) -> Self {
        let field = |name: &str| request.field(&format!("night.{name}")).to_string();
        Self {
            weather: field("weather"),
            values: FIELDS.map(|one| field(one.option)),
            covered: field("covered") == "true",
        }
    }

    /// What was typed for an option; empty if nothing was.
    fn typed(&self, option: &str) -> &str {
        let all = FIELDS.iter().zip(&self.values);
        all.into_iter().find(|(field, _)| field.option == option).map_or("", |(_, value)| value)
    }

    /// The same, or what is usual.
    fn or<'a>(&'a self, option: &str, usual: &'a str) -> &'a str {
        if self.typed(option).is_empty() { usual } else { self.typed(option) }
    }

    fn quantity(&self, option: &str, usual: &str, limit: &Limit) -> Result<f64, Failure> {
        limit.read_text(self.or(option, usual)).map_err(|reason| wrong(option, reason.to_string(), limit.words))
    }

    fn clock(&self, option: &str, usual: &str) -> Result<Clock, Failure> {
        Clock::read(self.or(option, usual)).map_err(|reason| wrong(option, reason, "00:00 to 23:59"))
    }

    fn night(&self, context: &Context<'_>) -> Result<Night, Failure> {
        let day = match self.typed("date") {
            day if day.is_empty() || self.weather.is_empty() => None,
            day => Some(Day::read(day).map_err(|reason| wrong("date", reason, "a day of the file"))?),
        };
        let (set_out, until) =
            (self.clock("set-out", limits::USUAL_SET_OUT)?, self.clock("until", limits::USUAL_UNTIL)?);
        let stay = Stay { set_out, until, day };
        if self.weather.is_empty() {
            let air_k = self.quantity("temperature", "", &limits::NIGHT_AIR)?;
            return Ok(Night::constant(air_k, self.quantity("wind", "0 m/s", &WIND)?, stay, self.covered));
        }
        let wind_share = self.quantity("wind-share", limits::USUAL_WIND_SHARE, &limits::WIND_SHARE)?;
        let outside = Outside { wind_share, covered: self.covered };
        let weather = context.environment.folder.weather(&self.weather);
        let night = weather.and_then(|weather| Night::from_file(&weather, stay, outside));
        night.map_err(|failure| short(failure, &self.weather))
    }

    /// The options that mean the same night.
    fn arguments(&self) -> Vec<String> {
        let of_file = |option: &str| matches!(option, "date" | "wind-share");
        let of_numbers = |option: &str| matches!(option, "temperature" | "wind");
        let mut all = Vec::new();
        if !self.weather.is_empty() {
            all.extend(["--weather".to_string(), self.weather.clone()]);
        }
        for (field, value) in FIELDS.iter().zip(&self.values).filter(|(_, value)| !value.is_empty()) {
            let strange = if self.weather.is_empty() { of_file(field.option) } else { of_numbers(field.option) };
            if !strange {
                all.extend([format!("--{}", field.option), value.clone()]);
            }
        }
        all.extend(self.covered.then(|| "--covered".to_string()));
        all
    }
}

fn wrong(option: &str, reason: String, allowed: &str) -> Failure {
    Failure::BadValue { key: option.into(), reason, allowed: allowed.into() }
}

/// Follows the three ways of freezing this load.
pub fn prefreeze(options: &NightOptions, context: &Context<'_>) -> Result<Report, Failure> {
    let question = Question {
        load: context.answer.sheet.load.clone(),
        night: options.night(context)?,
        wanted_k: options.quantity("core", limits::USUAL_CORE, &limits::CORE)?,
        freezer_k: options.quantity("freezer", limits::USUAL_FREEZER, &limits::FREEZER)?,
    };
    question.check().map_err(|unfit| context.unfit(unfit))?;
    let answer = question.answer()?;
    let weather = (!options.weather.is_empty()).then_some(options.weather.as_str());
    let report = prefreeze::text(context.name(), weather, &question, &answer, Look::Page);
    let chart = night_chart_svg(&prefreeze::chart(&question, &answer))?;
    let arguments = options.arguments();
    let arguments: Vec<&str> =
        ["prefreeze", context.name()].into_iter().chain(arguments.iter().map(String::as_str)).collect();
    Ok(Report::new("Where to freeze", &arguments, report).with(chart))
}
