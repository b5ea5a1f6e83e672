//! Freeze outdoors tonight, in a freezer, or in the machine?

use std::path::PathBuf;

use icefront_kitchen::prefreeze::{self, Question, limits};
use icefront_kitchen::quantity::WIND;
use icefront_kitchen::weather::clock::{Clock, Day};
use icefront_kitchen::weather::{Night, Outside, Stay, Weather};
use icefront_kitchen::{Failure, Look, json};
use pyo3::prelude::*;

use crate::answer::{Answer, Parts};
use crate::questions::{quantity, read, storage};
use crate::source::Source;

struct Prefrozen {
    name: String,
    weather: Option<String>,
    question: Question,
    answer: prefreeze::Answer,
}

impl Parts for Prefrozen {
    fn text(&self, look: Look) -> String {
        prefreeze::text(&self.name, self.weather.as_deref(), &self.question, &self.answer, look)
    }

    fn charts(&self) -> Result<Vec<(String, String, String)>, Failure> {
        let svg = icefront_plot::night_chart_svg(&prefreeze::chart(&self.question, &self.answer))?;
        Ok(vec![("night".into(), "The night outdoors".into(), svg)])
    }

    fn table(&self) -> Result<Option<String>, Failure> {
        let csv = prefreeze::night_csv(&self.question, &self.answer).map_err(std::io::Error::from)?;
        Ok(Some(String::from_utf8_lossy(&csv).into_owned()))
    }
}

/// A night outdoors as it is given: quantities with their units, as text.
#[derive(FromPyObject)]
#[pyo3(from_item_all)]
pub struct Outdoors {
    weather: Option<(PathBuf, Option<String>)>,
    temperature: Option<String>,
    wind: Option<String>,
    date: Option<String>,
    set_out: Option<String>,
    until: Option<String>,
    core: Option<String>,
    freezer: Option<String>,
    covered: bool,
    wind_share: Option<String>,
}

impl Outdoors {
    fn night(&self) -> Result<Night, Failure> {
        let clock =
            |key, given: &Option<String>, usual: &str| read(key, given.as_deref().unwrap_or(usual), Clock::read);
        let stay = Stay {
            set_out: clock("set_out", &self.set_out, limits::USUAL_SET_OUT)?,
            until: clock("until", &self.until, limits::USUAL_UNTIL)?,
            day: self.date.as_deref().map(|date| read("date", date, Day::read)).transpose()?,
        };
        match (&self.weather, &self.temperature) {
            (Some((path, text)), None) => {
                let share = self.wind_share.as_deref().unwrap_or(limits::USUAL_WIND_SHARE);
                let wind_share = quantity("wind_share", share, &limits::WIND_SHARE)?;
                let weather = Weather::read(path, &*storage(path, text.as_deref()))?;
                Night::from_file(&weather, stay, Outside { wind_share, covered: self.covered })
            }
            (None, Some(air)) => {
                let air_k = quantity("temperature", air, &limits::NIGHT_AIR)?;
                let wind = self.wind.as_deref().map(|wind| quantity("wind", wind, &WIND)).transpose()?;
                Ok(Night::constant(air_k, wind.unwrap_or(0.0), stay, self.covered))
            }
            _ => Err(Failure::BadValue {
                key: "temperature".into(),
                reason: "one night is wanted".into(),
                allowed: "either `temperature` for an even night, or `weather`, a file".into(),
            }),
        }
    }
}

/// Compares the three ways to freeze a load.
#[pyfunction(name = "prefreeze")]
pub fn ask(py: Python<'_>, source: &Source, outdoors: Outdoors) -> PyResult<Answer> {
    Answer::computed(py, || {
        let (text, sheet, _) = source.read()?;
        let core = outdoors.core.as_deref().unwrap_or(limits::USUAL_CORE);
        let freezer = outdoors.freezer.as_deref().unwrap_or(limits::USUAL_FREEZER);
        let question = Question {
            load: sheet.load,
            night: outdoors.night()?,
            wanted_k: quantity("core", core, &limits::CORE)?,
            freezer_k: quantity("freezer", freezer, &limits::FREEZER)?,
        };
        question.check().map_err(|unfit| Failure::unfit(&text.path, unfit))?;
        let answer = question.answer()?;
        let json = json::text(&prefreeze::prefreezing(&question, &answer))?;
        let weather = outdoors.weather.as_ref().map(|(path, _)| path.display().to_string());
        Ok(Answer::new(json, Prefrozen { name: text.name(), weather, question, answer }))
    })
}
