//! Kinds of quantities: what each is called, how its text becomes SI, and how it is shown.

use icefront_core::units::{
    Area, Duration, Length, Mass, Power, Pressure, Speed, Temperature, TemperatureDifference, UnitError, UnitSystem,
    Volume,
};

use super::QuantityError;
use crate::format;

/// Ranges are written in metric units.
const METRIC: UnitSystem = UnitSystem::Metric;

/// Kind of a value: how it is read and shown.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Kind {
    /// Text with a unit of length.
    Length,
    /// Text with a unit of temperature.
    Temperature,
    /// Text with a unit of temperature difference.
    Difference,
    /// Text with a unit of pressure.
    Pressure,
    /// Text with a unit of mass.
    Mass,
    /// Text with a unit of volume.
    Volume,
    /// Text with a unit of area.
    Area,
    /// Text with a unit of time.
    Duration,
    /// Text with a unit of speed.
    Speed,
    /// Text with a unit of power.
    Power,
    /// A share: a number from 0 to 1, or text in percent.
    Share,
    /// A number; its key names the SI unit.
    Number,
}

impl Kind {
    /// Its name, and a value as an example.
    fn words(self) -> (&'static str, &'static str) {
        match self {
            Self::Length => ("length", "12 mm"),
            Self::Temperature => ("temperature", "-18 °C"),
            Self::Difference => ("temperature difference", "2 K"),
            Self::Pressure => ("pressure", "40 Pa"),
            Self::Mass => ("mass", "900 g"),
            Self::Volume => ("volume", "60 L"),
            Self::Area => ("area", "0.1 m2"),
            Self::Duration => ("time", "14 h"),
            Self::Speed => ("speed", "2 m/s"),
            Self::Power => ("power", "30 W"),
            Self::Share => ("share", "3 %"),
            Self::Number => ("number", ""),
        }
    }

    /// Its name.
    pub fn name(self) -> &'static str {
        self.words().0
    }

    /// What to write.
    pub fn wanted(self) -> String {
        match (self, self.words()) {
            (Self::Share, _) => "a number from 0 to 1 or text in percent, such as \"3 %\"".into(),
            (Self::Number, _) => "a number; its key names the unit".into(),
            (_, (name, example)) => format!("text with a unit of {name}, such as \"{example}\""),
        }
    }

    /// SI value of a text.
    pub(super) fn parse(self, text: &str) -> Result<f64, QuantityError> {
        let si: Result<f64, UnitError> = match self {
            Self::Length => text.parse().map(Length::metres),
            Self::Temperature => text.parse().map(Temperature::kelvin),
            Self::Difference => text.parse().map(TemperatureDifference::kelvin),
            Self::Pressure => text.parse().map(Pressure::pascals),
            Self::Mass => text.parse().map(Mass::kilograms),
            Self::Volume => text.parse().map(Volume::cubic_metres),
            Self::Area => text.parse().map(Area::square_metres),
            Self::Duration => text.parse().map(Duration::seconds),
            Self::Speed => text.parse().map(Speed::metres_per_second),
            Self::Power => text.parse().map(Power::watts),
            Self::Share => {
                return percent(text).ok_or_else(|| QuantityError::NoNumber { text: text.into(), percent: true });
            }
            Self::Number => return Err(QuantityError::Text),
        };
        Ok(si?)
    }

    /// A value in US units; `None` for what has none.
    pub fn show_us(self, si: f64) -> Option<String> {
        let us = UnitSystem::Us;
        Some(match self {
            Self::Length => us.length(si),
            Self::Temperature => us.temperature(si),
            Self::Difference => us.difference(si),
            Self::Mass => us.mass(si),
            Self::Volume => us.volume(si),
            Self::Area => us.area(si),
            Self::Pressure => us.pressure(si),
            Self::Speed => us.speed(si),
            Self::Duration | Self::Power | Self::Share | Self::Number => return None,
        })
    }

    /// A value in the unit that its ranges are written in.
    pub fn show(self, si: f64) -> String {
        let (value, unit) = match self {
            Self::Length => return METRIC.length(si),
            Self::Temperature => return METRIC.temperature(si),
            Self::Mass => return METRIC.mass(si),
            Self::Share => return format::percent(si),
            Self::Area => return METRIC.area(si),
            Self::Number => return format::digits(si),
            Self::Difference => (si, "K"),
            Self::Pressure => (si, "Pa"),
            Self::Volume => (Volume::from_cubic_metres(si).litres(), "L"),
            Self::Duration => (Duration::from_seconds(si).hours(), "h"),
            Self::Speed => (si, "m/s"),
            Self::Power => (si, "W"),
        };
        format!("{} {unit}", format::digits(value))
    }
}

fn percent(text: &str) -> Option<f64> {
    let number: f64 = text.strip_suffix('%')?.trim().parse().ok()?;
    Some(number / 100.0)
}
