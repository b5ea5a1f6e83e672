//! Units, and the only place that knows them: text with a unit in, SI out, and the way back for printing.
//!
//! ```
//! use icefront_core::units::{Length, Temperature};
//! let depth: Length = "1/2 in".parse()?;
//! assert!((depth.metres() - 0.0127).abs() < 1e-12);
//! let shelf: Temperature = "50 °C".parse()?;
//! assert!((shelf.kelvin() - 323.15).abs() < 1e-9);
//! assert!("12".parse::<Length>().is_err()); // no unit
//! # Ok::<(), icefront_core::units::UnitError>(())
//! ```
//! Several terms add up (`1 h 30 min`, `1 lb 8 oz`), fractions are read (`1 1/2 cups`), a comma in a number is refused.

mod error;
mod parse;
mod scale;

use std::str::FromStr;

pub use error::UnitError;

/// A length.
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd)]
pub struct Length(f64);

impl Length {
    /// From metres.
    pub fn from_metres(metres: f64) -> Self {
        Self(metres)
    }
    /// In metres.
    pub fn metres(self) -> f64 {
        self.0
    }
    /// In millimetres.
    pub fn millimetres(self) -> f64 {
        self.0 / scale::MILLIMETRE
    }
    /// In centimetres.
    pub fn centimetres(self) -> f64 {
        self.0 / scale::CENTIMETRE
    }
    /// In inches.
    pub fn inches(self) -> f64 {
        self.0 / scale::INCH
    }
}

impl FromStr for Length {
    type Err = UnitError;
    fn from_str(text: &str) -> Result<Self, UnitError> {
        parse::quantity(text, &scale::LENGTH).map(Self)
    }
}

/// A temperature.
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd)]
pub struct Temperature(f64);

impl Temperature {
    /// From kelvin.
    pub fn from_kelvin(kelvin: f64) -> Self {
        Self(kelvin)
    }
    /// In kelvin.
    pub fn kelvin(self) -> f64 {
        self.0
    }
    /// In degrees Celsius.
    pub fn celsius(self) -> f64 {
        self.0 - crate::constants::ZERO_CELSIUS_K
    }
    /// In degrees Fahrenheit.
    pub fn fahrenheit(self) -> f64 {
        self.celsius() / scale::FAHRENHEIT_DEGREE + scale::FAHRENHEIT_AT_ZERO_CELSIUS
    }
}

impl FromStr for Temperature {
    type Err = UnitError;
    fn from_str(text: &str) -> Result<Self, UnitError> {
        let kelvin = parse::quantity(text, &scale::TEMPERATURE)?;
        if kelvin < 0.0 { Err(UnitError::BelowAbsoluteZero { text: text.to_owned() }) } else { Ok(Self(kelvin)) }
    }
}

/// A difference of two temperatures.
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd)]
pub struct TemperatureDifference(f64);

impl TemperatureDifference {
    /// From kelvin.
    pub fn from_kelvin(kelvin: f64) -> Self {
        Self(kelvin)
    }
    /// In kelvin.
    pub fn kelvin(self) -> f64 {
        self.0
    }
    /// In Fahrenheit degrees.
    pub fn fahrenheit_degrees(self) -> f64 {
        self.0 / scale::FAHRENHEIT_DEGREE
    }
}

impl FromStr for TemperatureDifference {
    type Err = UnitError;
    fn from_str(text: &str) -> Result<Self, UnitError> {
        parse::quantity(text, &scale::TEMPERATURE_DIFFERENCE).map(Self)
    }
}

/// An absolute pressure.
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd)]
pub struct Pressure(f64);

impl Pressure {
    /// From pascals.
    pub fn from_pascals(pascals: f64) -> Self {
        Self(pascals)
    }
    /// In pascals.
    pub fn pascals(self) -> f64 {
        self.0
    }
    /// In millibar.
    pub fn millibar(self) -> f64 {
        self.0 / scale::MILLIBAR
    }
    /// In millitorr.
    pub fn millitorr(self) -> f64 {
        self.0 / scale::MILLITORR
    }
}

impl FromStr for Pressure {
    type Err = UnitError;
    fn from_str(text: &str) -> Result<Self, UnitError> {
        parse::quantity(text, &scale::PRESSURE).map(Self)
    }
}

/// A mass.
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd)]
pub struct Mass(f64);

impl Mass {
    /// From kilograms.
    pub fn from_kilograms(kilograms: f64) -> Self {
        Self(kilograms)
    }
    /// In kilograms.
    pub fn kilograms(self) -> f64 {
        self.0
    }
    /// In grams.
    pub fn grams(self) -> f64 {
        self.0 * 1e3
    }
    /// In pounds.
    pub fn pounds(self) -> f64 {
        self.0 / scale::POUND
    }
    /// In ounces.
    pub fn ounces(self) -> f64 {
        self.0 / scale::OUNCE
    }
}

impl FromStr for Mass {
    type Err = UnitError;
    fn from_str(text: &str) -> Result<Self, UnitError> {
        parse::quantity(text, &scale::MASS).map(Self)
    }
}

/// A volume.
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd)]
pub struct Volume(f64);

impl Volume {
    /// From cubic metres.
    pub fn from_cubic_metres(cubic_metres: f64) -> Self {
        Self(cubic_metres)
    }
    /// In cubic metres.
    pub fn cubic_metres(self) -> f64 {
        self.0
    }
    /// In litres.
    pub fn litres(self) -> f64 {
        self.0 / scale::LITRE
    }
    /// In US cups.
    pub fn cups(self) -> f64 {
        self.0 / scale::CUP
    }
}

impl FromStr for Volume {
    type Err = UnitError;
    fn from_str(text: &str) -> Result<Self, UnitError> {
        parse::quantity(text, &scale::VOLUME).map(Self)
    }
}

/// An area; may be written as the product of two lengths.
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd)]
pub struct Area(f64);

impl Area {
    /// From square metres.
    pub fn from_square_metres(square_metres: f64) -> Self {
        Self(square_metres)
    }
    /// In square metres.
    pub fn square_metres(self) -> f64 {
        self.0
    }
    /// In square feet.
    pub fn square_feet(self) -> f64 {
        self.0 / scale::SQUARE_FOOT
    }
}

impl FromStr for Area {
    type Err = UnitError;
    fn from_str(text: &str) -> Result<Self, UnitError> {
        parse::area(text, &scale::AREA, &scale::LENGTH).map(Self)
    }
}

/// A time span.
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd)]
pub struct Duration(f64);

impl Duration {
    /// From seconds.
    pub fn from_seconds(seconds: f64) -> Self {
        Self(seconds)
    }
    /// In seconds.
    pub fn seconds(self) -> f64 {
        self.0
    }
    /// In minutes.
    pub fn minutes(self) -> f64 {
        self.0 / scale::MINUTE
    }
    /// In hours.
    pub fn hours(self) -> f64 {
        self.0 / scale::HOUR
    }
    /// In days.
    pub fn days(self) -> f64 {
        self.0 / scale::DAY
    }
}

impl FromStr for Duration {
    type Err = UnitError;
    fn from_str(text: &str) -> Result<Self, UnitError> {
        parse::quantity(text, &scale::DURATION).map(Self)
    }
}

/// A speed.
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd)]
pub struct Speed(f64);

impl Speed {
    /// From metres per second.
    pub fn from_metres_per_second(metres_per_second: f64) -> Self {
        Self(metres_per_second)
    }
    /// In metres per second.
    pub fn metres_per_second(self) -> f64 {
        self.0
    }
    /// In kilometres per hour.
    pub fn kilometres_per_hour(self) -> f64 {
        self.0 * scale::HOUR / 1e3
    }
}

impl FromStr for Speed {
    type Err = UnitError;
    fn from_str(text: &str) -> Result<Self, UnitError> {
        parse::quantity(text, &scale::SPEED).map(Self)
    }
}

/// A power.
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd)]
pub struct Power(f64);

impl Power {
    /// From watts.
    pub fn from_watts(watts: f64) -> Self {
        Self(watts)
    }
    /// In watts.
    pub fn watts(self) -> f64 {
        self.0
    }
}

impl FromStr for Power {
    type Err = UnitError;
    fn from_str(text: &str) -> Result<Self, UnitError> {
        parse::quantity(text, &scale::POWER).map(Self)
    }
}

/// An amount of energy.
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd)]
pub struct Energy(f64);

impl Energy {
    /// From joules.
    pub fn from_joules(joules: f64) -> Self {
        Self(joules)
    }
    /// In joules.
    pub fn joules(self) -> f64 {
        self.0
    }
    /// In kilowatt-hours.
    pub fn kilowatt_hours(self) -> f64 {
        self.0 / scale::KILOWATT_HOUR
    }
}

impl FromStr for Energy {
    type Err = UnitError;
    fn from_str(text: &str) -> Result<Self, UnitError> {
        parse::quantity(text, &scale::ENERGY).map(Self)
    }
}

#[cfg(test)]
mod tests;
